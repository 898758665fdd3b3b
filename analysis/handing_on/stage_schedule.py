"""Every stage of one replication: when it was perforated and pumped, by whom, with what, and what kept it waiting."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from sim import activities
from sim.log import Interval, Log
from sim.scenario.scenario import Scenario


class StageRow(NamedTuple):
    """One stage; hours from the start. What needs no run of wireline has None there."""

    well: str
    stage: int
    wireline: str
    run_start_h: float | None
    run_end_h: float | None
    fleet: str
    pump_start_h: float
    pump_end_h: float
    pumping_h: float
    lost_h: float
    lost_to: str
    water_bbl: float
    proppant_lb: float


def stage_rows(scenario: Scenario, log: Log) -> list[StageRow]:
    """Stages in the order in which their pumping began; those that the horizon cut short end there."""
    rows: dict[tuple[str, str, int], list[Interval]] = {}
    for row in log.intervals:
        if row.stage > 0:
            rows.setdefault((row.activity, row.well, row.stage), []).append(row)
    wells = {well.name: well for well in scenario.wells}
    found = []
    for (activity, name, stage), pumped in rows.items():
        if activity == activities.PUMP_STAGE:
            run = rows.get((activities.PLUG_AND_PERFORATE, name, stage), [])
            well = wells[name]
            found.append(_row(name, stage, run, pumped, well.fluid_by_stage[stage - 1], well.proppant_lb))
    return sorted(found, key=lambda row: (row.pump_start_h, row.well))


def _row(
    well: str, stage: int, run: list[Interval], pumped: list[Interval], water_bbl: float, proppant_lb: float
) -> StageRow:
    lost = [row for row in (*run, *pumped) if row.kind != "work"]
    return StageRow(
        well,
        stage,
        run[0].unit if run else "",
        run[0].start_h if run else None,
        run[-1].end_h if run else None,
        pumped[0].unit,
        pumped[0].start_h,
        pumped[-1].end_h,
        _hours(row for row in pumped if row.kind == "work"),
        _hours(lost),
        ", ".join(dict.fromkeys(row.cause for row in lost)),
        water_bbl,
        proppant_lb,
    )


def _hours(rows: Iterable[Interval]) -> float:
    return sum(row.end_h - row.start_h for row in rows)
