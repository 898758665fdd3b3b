"""A sound log to tamper with, and ways of doing so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sim.activities import PLUG_AND_PERFORATE, PUMP_STAGE
from sim.log import Interval, Level, Log
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, units, well

DAY_SHIFT = {"hours": "day shift"}
CAPACITY_BBL = 1500.0

Where = Callable[[Interval], bool]


def sample_pad() -> Scenario:
    """A zipper of two wells of four stages, short of water; crew and flowback spread on day shift."""
    preparation = {"nipple_up": "9 h", "pressure_test": "5 h"}
    wells = [
        well(name, 4, minutes(90), minutes(60), toe=name == "A", fluid="1000 bbl", preparation=preparation)
        for name in ("A", "B")
    ]
    flowback = {"rig_up": "5 h", "duration": "30 h", "turn_in_line": "7 h"} | DAY_SHIFT
    stated = units(preparation_crews=DAY_SHIFT, flowback_spreads=flowback)
    storage = {"capacity": f"{CAPACITY_BBL} bbl", "erect": "2 h"}
    water = {"sources": [{"name": "Pond", "rate": "300 bbl/h"}], "storage": storage}
    return pad(wells, {"swap": {"time": "20 min"}}, units=stated, water=water)


def numbers_where(log: Log, condition: Where) -> list[int]:
    """Numbers of the rows of that kind; there are at least two, or the log is no use here."""
    found = [number for number, row in enumerate(log.intervals) if condition(row)]
    assert len(found) >= 2
    return found


def of_unit(unit: str) -> Where:
    """Rows of one unit."""
    return lambda row: row.unit == unit


def pumping(well: str, stage: int = 0) -> Where:
    """Rows of work in which the well, or one stage of it, is pumped."""
    return lambda row: row[3:5] == (PUMP_STAGE, well) and row.kind == "work" and stage in {0, row.stage}


def perforating(well: str) -> Where:
    """Rows of wireline work in the well."""
    return lambda row: row[3:5] == (PLUG_AND_PERFORATE, well) and row.kind == "work"


def flowing_back_until_18(row: Interval) -> bool:
    """Work of the flowback spread that ends with its shift."""
    return row.unit == "Flowback spread" and row.kind == "work" and row.end_h % 24 == 18


def with_row(log: Log, number: int, **changes: Any) -> Log:
    """The log with one row changed."""
    rows = list(log.intervals)
    rows[number] = rows[number]._replace(**changes)
    return replace(log, intervals=rows)


def with_more(log: Log, *rows: Interval) -> Log:
    """The log with rows added at its end."""
    return replace(log, intervals=[*log.intervals, *rows])


def without(log: Log, condition: Where) -> Log:
    """The log without some of its rows."""
    return replace(log, intervals=[row for row in log.intervals if not condition(row)])


def swapped(log: Log, one: int, other: int) -> Log:
    """The log with the stages of two rows exchanged."""
    stages = log.intervals[one].stage, log.intervals[other].stage
    return with_row(with_row(log, one, stage=stages[1]), other, stage=stages[0])


def with_level(log: Log, number: int, **changes: Any) -> Log:
    """The log with one level row changed."""
    levels = list(log.levels)
    levels[number] = levels[number]._replace(**changes)
    return replace(log, levels=levels)


def pumping_level(log: Log) -> int:
    """Number of a level row during pumping that is neither the first nor the last."""

    def drawn(row: Level) -> bool:
        return row.outflow > 0

    return next(number for number, row in enumerate(log.levels[:-1]) if number > 0 and drawn(row))
