"""Logs made row by row, for measures whose hours are worked out by hand."""

from __future__ import annotations

from analysis.measures import Measures
from sim import activities
from sim.log import Interval, Log

HORIZON_H = 1000.0

Row = tuple[float, float, str, str, str, int]  # start, end, unit, activity, well, stage


def log_of(
    stages: dict[str, int], work: list[Row], waits: list[tuple[Row, str]] = (), horizon_h: float = HORIZON_H
) -> Log:
    """A log of these rows in order of ending; waits carry their cause."""
    rows = [Interval(*row, "work", "", -1) for row in work]
    rows += [Interval(*row, "wait", cause, -1) for row, cause in waits]
    rows.sort(key=lambda row: (row.end_h, row.start_h))
    return Log(replication=3, seed=0, horizon_h=horizon_h, stages=stages, intervals=rows)


WHOLE: list[Row] = [
    (0, 6, "Crew", activities.NIPPLE_UP, "A", 0),
    (6, 10, "Crew", activities.PRESSURE_TEST, "A", 0),
    (10, 13, "Crew", activities.TOE_PREPARATION, "A", 0),
    (10, 30, "Fleet", activities.RIG_UP, "", 0),
    (30, 32, "Fleet", activities.PUMP_STAGE, "A", 1),
    (32, 35, "Wireline", activities.PLUG_AND_PERFORATE, "A", 2),
    (35, 36, "Fleet", activities.PUMP_STAGE, "A", 2),
    (36, 40, "Fleet", activities.RIG_DOWN, "", 0),
    (40, 44, "Rig", activities.TRIP_IN, "A", 0),
    (44, 50, "Rig", activities.MILL_PLUGS, "A", 0),
    (50, 52, "Rig", activities.TRIP_OUT, "A", 0),
    (52, 55, "Rig", activities.RIG_DOWN, "A", 0),
    (55, 60, "Spread", activities.RIG_UP, "A", 0),
    (60, 160, "Spread", activities.FLOW_BACK, "A", 0),
    (160, 184, "Spread", activities.TURN_IN_LINE, "A", 0),
]
WAITS: list[tuple[Row, str]] = [
    ((0, 10, "Fleet", activities.ARRIVE, "", 0), activities.ARRIVAL),
    ((32, 35, "Fleet", "stand by", "", 0), "wireline"),
]
TESTED: list[Row] = [
    *WHOLE[:3],
    (13, 18, "Crew", activities.INJECTION_TEST, "A", 0),
]


def hours(measures: Measures, unit: str) -> dict[tuple[str, str], float]:
    """Hours of a unit by kind and reason."""
    return {(row.kind, row.reason): row.hours for row in measures.units if row.unit == unit}
