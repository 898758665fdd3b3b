"""Each check of the audit: silent on a sound log, and naming what is wrong with one that was tampered with."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest

from sim import audit
from sim.activities import PLUG_AND_PERFORATE, PUMP_STAGE
from sim.log import NO_ROW, Interval, Level, Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, units, well

WATER = {
    "sources": [{"name": "Pond", "rate": "300 bbl/h"}],
    "storage": {"capacity": "1500 bbl", "erect": "2 h"},
}
DAY_SHIFT = {"hours": "day shift"}
LATER = 1000.0  # after everything in the log


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    """A zipper of two wells of four stages, short of water, prepared by a crew on day shift."""
    preparation = {"nipple_up": "9 h", "pressure_test": "5 h"}
    wells = [
        well(name, 4, minutes(90), minutes(60), toe=name == "A", fluid="1000 bbl", preparation=preparation)
        for name in ("A", "B")
    ]
    stated = units(
        preparation_crews=DAY_SHIFT,
        flowback_spreads={"rig_up": "5 h", "duration": "30 h", "turn_in_line": "7 h"} | DAY_SHIFT,
    )
    return pad(wells, {"swap": {"time": "20 min"}}, units=stated, water=WATER)


@pytest.fixture(scope="module")
def log(scenario: Scenario) -> Log:
    return simulate(scenario)


Where = Callable[[Interval], bool]


def rows_where(log: Log, condition: Where) -> list[int]:
    """Numbers of the rows of that kind; there are at least two, or the log is no use here."""
    found = [number for number, row in enumerate(log.intervals) if condition(row)]
    assert len(found) >= 2
    return found


def with_row(log: Log, number: int, **changes: Any) -> Log:
    """The log with one row changed."""
    rows = list(log.intervals)
    rows[number] = rows[number]._replace(**changes)
    return replace(log, intervals=rows)


def with_level(log: Log, number: int, **changes: Any) -> Log:
    """The log with one level row changed."""
    levels = list(log.levels)
    levels[number] = levels[number]._replace(**changes)
    return replace(log, levels=levels)


def without(log: Log, condition: Where) -> Log:
    """The log without some of its rows."""
    return replace(log, intervals=[row for row in log.intervals if not condition(row)])


def pumping(well: str, stage: int = 0) -> Where:
    """Rows of work in which the well, or one stage of it, is pumped."""
    return lambda row: row[3:5] == (PUMP_STAGE, well) and row.kind == "work" and stage in {0, row.stage}


def perforating(well: str) -> Where:
    """Rows of wireline work in the well."""
    return lambda row: row[3:5] == (PLUG_AND_PERFORATE, well) and row.kind == "work"


def swapped(log: Log, one: int, other: int) -> Log:
    """The log with the stages of two rows exchanged."""
    stages = log.intervals[one].stage, log.intervals[other].stage
    return with_row(with_row(log, one, stage=stages[1]), other, stage=stages[0])


def test_sound_log_passes(log: Log, scenario: Scenario) -> None:
    """Nothing is found where nothing is wrong, with waits for water and closed windows in the log."""
    assert audit.violations(log, scenario) == []
    assert {"water", "outside hours"} <= {row.cause for row in log.intervals}


def only(messages: Iterator[str]) -> str:
    """What a check says about a log with one thing wrong."""
    found = list(messages)
    assert found, "nothing was found"
    return found[0]


def test_overlap_is_found(log: Log) -> None:
    """A unit that starts its next row before the last one ended is in two places."""
    number = rows_where(log, lambda row: row.unit == "Fleet")[-1]
    start_h = log.intervals[number].start_h
    message = only(audit.units_are_in_one_place(with_row(log, number, start_h=start_h - 0.25)))
    assert message == f"Fleet ends a row at {start_h} h and starts the next at {start_h - 0.25} h"


def test_gap_is_found(log: Log) -> None:
    """A lost row leaves hours of which nobody knows what the unit did."""
    number = rows_where(log, lambda row: row.unit == "Fleet")[3]
    lost = log.intervals[number]
    message = only(audit.units_are_in_one_place(without(log, lambda row: row is lost)))
    assert message == f"Fleet ends a row at {lost.start_h} h and starts the next at {lost.end_h} h"


def test_unit_from_nowhere_is_found(log: Log) -> None:
    """A unit without its arrival would appear in the middle of the pad's life."""
    arrival = next(row for row in log.intervals if row[2:4] == ("Milling rig", "arrive"))
    message = only(audit.units_are_in_one_place(without(log, lambda row: row is arrival)))
    assert message == f"Milling rig appears at {arrival.end_h} h from nowhere"


def test_pumping_under_the_wireline_is_found(log: Log) -> None:
    """Nobody pumps a well that has tools in it."""
    number = rows_where(log, perforating("B"))[1]
    run = log.intervals[number]
    pumped = rows_where(log, pumping("A"))[-1]
    meanwhile = with_row(log, pumped, well="B", start_h=run.start_h + 0.5, end_h=run.end_h)
    assert only(audit.wells_are_in_one_place(meanwhile)) == f"two works at once in B at {run.start_h + 0.5} h"


def test_swap_over_the_wireline_is_allowed(log: Log) -> None:
    """A swap is work at the valves: the log holds some while wireline is in the well, and they pass."""
    runs = [(row.well, row.start_h, row.end_h) for row in log.intervals if row.activity == PLUG_AND_PERFORATE]
    swaps = [row for row in log.intervals if row.activity == "swap" and row.kind == "work"]
    assert any(swap.well == name and a < swap.end_h and swap.start_h < b for swap in swaps for name, a, b in runs)
    assert list(audit.wells_are_in_one_place(log)) == []


def test_swapped_stages_are_found(log: Log, scenario: Scenario) -> None:
    """Stages go from toe to heel, in pumping and in perforating."""
    second, third = rows_where(log, pumping("A"))[1:3]
    message = only(audit.stages_go_from_toe_to_heel(swapped(log, second, third), scenario))
    assert message == "A: stages pumped in the order [1, 3, 2, 4]"
    first, second = rows_where(log, perforating("B"))[:2]
    message = only(audit.stages_go_from_toe_to_heel(swapped(log, first, second), scenario))
    assert message == "B: stages perforated in the order [2, 1, 3, 4]"


def test_invented_stage_is_found(log: Log, scenario: Scenario) -> None:
    """A well of four stages has no fifth, neither pumped nor perforated."""
    for condition, word in ((pumping("A", 4), "pumped"), (perforating("B"), "perforated")):
        last = [row for row in log.intervals if condition(row)][-1]
        fifth = last._replace(start_h=LATER, end_h=LATER + 1, stage=5)
        message = only(audit.stages_go_from_toe_to_heel(replace(log, intervals=[*log.intervals, fifth]), scenario))
        assert message == f"{last.well}: stages {word} in the order {[1, 2, 3, 4, 5]}"


def test_lost_stage_is_found(log: Log, scenario: Scenario) -> None:
    """A stage that was never pumped is missed, unless the horizon cut the log short."""
    lacking = without(log, pumping("B", 4))
    message = only(audit.stages_go_from_toe_to_heel(lacking, scenario))
    assert message == "B: 3 of 4 stages pumped"
    assert list(audit.stages_go_from_toe_to_heel(replace(lacking, cut_short=1), scenario)) == []


def test_stage_pumped_again_later_is_found(log: Log, scenario: Scenario) -> None:
    """Each stage is pumped once."""
    again = log.intervals[rows_where(log, pumping("A"))[1]]._replace(start_h=LATER, end_h=LATER + 1)
    message = only(audit.stages_go_from_toe_to_heel(replace(log, intervals=[*log.intervals, again]), scenario))
    assert message == "A: stages pumped in the order [1, 2, 3, 4, 2]"


def test_broken_chain_is_found(log: Log) -> None:
    """What released a row ends exactly where the row starts, and came before it."""
    number = rows_where(log, pumping("A"))[2]
    start_h, after = log.intervals[number].start_h, log.intervals[number].after
    earlier = log.intervals[after].after
    message = only(audit.chains_reach_back(with_row(log, number, after=earlier)))
    assert message == f"row {number} starts at {start_h} h but row {earlier}, which released it, does not end there"
    for itself_or_later in (number, len(log.intervals) - 1):
        message = only(audit.chains_reach_back(with_row(log, number, after=itself_or_later)))
        assert message.startswith(f"row {number} starts at {start_h} h but row {itself_or_later}, which released it")


def test_chain_that_ends_before_hour_zero_is_found(log: Log) -> None:
    """Only what starts at hour zero may be released by nothing."""
    number = rows_where(log, pumping("A"))[2]
    message = only(audit.chains_reach_back(with_row(log, number, after=NO_ROW)))
    assert message.startswith(f"row {number} was released by nothing: Interval(")


def test_row_without_length_is_found(log: Log) -> None:
    """What lasts no time is no row."""
    number = rows_where(log, pumping("A"))[2]
    message = only(audit.chains_reach_back(with_row(log, number, end_h=log.intervals[number].start_h)))
    assert message.startswith(f"row {number} lasts no time: Interval(")


def level_of(log: Log, condition: Callable[[Level], bool]) -> int:
    """Number of the first level row of that kind that is neither the first nor the last."""
    return next(k for k, row in enumerate(log.levels) if 0 < k < len(log.levels) - 1 and condition(row))


def test_lost_volume_is_found(log: Log, scenario: Scenario) -> None:
    """A level that does not follow from the flows before it: barrels lost or invented."""
    number = level_of(log, lambda row: row.outflow > 0)
    for change in (-5.0, 5.0):
        level = log.levels[number].level + change
        message = only(audit.volumes_balance(with_level(log, number, level=level), scenario))
        assert message.startswith(f"level {level} bbl at {log.levels[number].time_h} h, expected ")
    for flow in ("inflow", "outflow", "turned_away"):
        changed = with_level(log, number, **{flow: getattr(log.levels[number], flow) + 7.0})
        assert only(audit.volumes_balance(changed, scenario)).startswith("level ")


@pytest.mark.parametrize("level", [-3.0, 1503.0])
def test_level_beyond_the_storage_is_found(log: Log, scenario: Scenario, level: float) -> None:
    """Tanks are never less than empty nor more than full."""
    number = level_of(log, lambda row: row.outflow > 0)
    messages = list(audit.volumes_balance(with_level(log, number, level=level), scenario))
    assert f"level {level} bbl at {log.levels[number].time_h} h, beyond 0 to 1500.0" in messages


def test_time_that_runs_backwards_is_found(log: Log, scenario: Scenario) -> None:
    """Level rows follow one another in time."""
    number = level_of(log, lambda row: row.outflow > 0)
    message = only(audit.volumes_balance(with_level(log, number, time_h=-1.0), scenario))
    assert message.startswith(f"level {log.levels[number].level} bbl at -1.0 h")


def test_work_outside_hours_is_found(log: Log, scenario: Scenario) -> None:
    """Work that begins or ends in a closed window; a day shift closes at 18:00."""
    ends_at_18 = rows_where(log, lambda row: row[2] == "Flowback spread" and row.kind == "work" and row[1] % 24 == 18)
    row = log.intervals[ends_at_18[0]]
    late = with_row(log, ends_at_18[0], end_h=row.end_h + 1)
    message = only(audit.nobody_works_outside_hours(late, scenario))
    assert (
        message == f"Flowback spread works outside its hours or in bad weather from {row.start_h} to {row.end_h + 1} h"
    )
    nightly = with_row(log, ends_at_18[0], start_h=row.end_h + 1, end_h=row.end_h + 3)
    assert only(audit.nobody_works_outside_hours(nightly, scenario)).startswith("Flowback spread works outside")


def test_violations_ask_every_check(log: Log, scenario: Scenario) -> None:
    """Each of the checks has its say in the whole."""
    second, third = rows_where(log, pumping("A"))[1:3]
    number = level_of(log, lambda row: row.outflow > 0)
    ends_at_18 = rows_where(log, lambda row: row[2] == "Flowback spread" and row.kind == "work" and row[1] % 24 == 18)
    fleet = rows_where(log, lambda row: row.unit == "Fleet")[-1]
    run = log.intervals[rows_where(log, perforating("B"))[1]]
    tampered = swapped(log, second, third)
    tampered = with_row(tampered, ends_at_18[0], end_h=log.intervals[ends_at_18[0]].end_h + 1)
    tampered = with_row(tampered, fleet, start_h=run.start_h, end_h=run.end_h, well="B")
    tampered = with_level(tampered, number, level=-3.0)
    words = ("starts the next at", "two works at once", "in the order", "which released it", "beyond 0", "outside its")
    messages = audit.violations(tampered, scenario)
    assert [word for word in words if not any(word in message for message in messages)] == []
