"""What a log says of a unit or a well, in the order of time."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from sim import activities as act
from sim.log import Interval, Log

HOUR = 1e-9  # what rounding may leave over of an hour
BARREL = 1e-6

Told = tuple[float, float, str, str, str]  # start, end, activity, kind, cause


def rows_of(log: Log, **fields: Any) -> list[Interval]:
    """Rows of which each of these fields has the value stated."""
    rows = [row for row in log.intervals if all(getattr(row, name) == value for name, value in fields.items())]
    return sorted(rows, key=lambda row: row.start_h)


def spans(rows: list[Interval]) -> list[tuple[float, float]]:
    """Starts and ends, rounded to what arithmetic by hand can tell."""
    return [(round(row.start_h, 7), round(row.end_h, 7)) for row in rows]


def told(rows: list[Interval]) -> list[Told]:
    """Rows as one would write them down by hand."""
    return [(round(row.start_h, 7), round(row.end_h, 7), row.activity, row.kind, row.cause) for row in rows]


def hours(rows: list[Interval]) -> float:
    """Length of the rows together."""
    return sum(row.end_h - row.start_h for row in rows)


def drawn_bbl(log: Log) -> float:
    """All that was drawn from the storage of water: outflow times time, from row to row of its levels."""
    rows = [row for row in log.levels if row.supply == act.WATER]
    return sum(row.outflow * (following.time_h - row.time_h) for row, following in pairwise(rows))


def fracturing_end_h(log: Log) -> float:
    """End of the last work or trouble of pumping."""
    return max(row.end_h for row in log.intervals if row.activity == "pump stage" and row.kind != "wait")


def stages_a_day(log: Log) -> float:
    """Stages of all wells by the day, from the first hour of pumping to the last."""
    rows = [row for row in log.intervals if row.activity == "pump stage" and row.kind == "work"]
    span_h = max(row.end_h for row in rows) - min(row.start_h for row in rows)
    return 24 * len({(row.well, row.stage) for row in rows}) / span_h
