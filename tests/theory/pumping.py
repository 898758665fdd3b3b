"""What fleets and wireline units did, read from the log of a pad on which only fracturing takes time."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

from sim import activities
from sim.log import Interval, Log


class Pumping(NamedTuple):
    """One stage pumped, in one well or in several at once; `stage` counts from 1 in the first of them."""

    start_h: float
    end_h: float
    wells: tuple[str, ...]
    stage: int


def pumpings(log: Log) -> list[Pumping]:
    """Stages in the order of pumping, from a log in which no stage was interrupted."""
    together: dict[tuple[float, float], list[Interval]] = {}
    for row in work(log, activities.PUMP_STAGE):
        together.setdefault((row.start_h, row.end_h), []).append(row)
    found = [Pumping(*hours, tuple(row.well for row in rows), rows[0].stage) for hours, rows in together.items()]
    return sorted(found)


def work(log: Log, activity: str) -> list[Interval]:
    """Rows of work at one activity."""
    return [row for row in log.intervals if row.activity == activity and row.kind == "work"]


def hours(rows: list[Interval]) -> float:
    """Length of the rows together."""
    return sum(row.end_h - row.start_h for row in rows)


def makespan_h(log: Log) -> float:
    """End of the last stage pumped."""
    return max(row.end_h for row in work(log, activities.PUMP_STAGE))


def makespan_min(log: Log) -> float:
    """End of the last stage pumped, in minutes."""
    return makespan_h(log) * 60


def changes_of_well(log: Log) -> int:
    """How often the fleet went to other wells than it had just pumped, whether or not that took time."""
    sets = [pumping.wells for pumping in pumpings(log)]
    return sum(not set(later) <= set(earlier) for earlier, later in pairwise(sets))
