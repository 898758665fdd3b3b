"""The chain that decides a date: from a milestone back to hour zero, each row released by the end of the one before.

What is on the chain is what the milestone really waited for: the row at whose end it is reached, the row whose end
released that one, and so on. A unit's own row before counts where the unit was busy when the work was there; where
the work was not there yet, whatever made it possible counts, and the unit's standing by does not. The pieces follow
one another without gap or overlap, so they sum to the whole span. In a network of activities this is the critical
path of that replication (Malcolm, Roseboom, Clark and Fazar 1959, Operations Research 7, 646-669, from memory).

Runs in the worker that played the replication, so it imports nothing heavy.
"""

from __future__ import annotations

from collections import defaultdict
from math import inf
from typing import NamedTuple

from analysis.goals import NOT_REACHED, Goal, reached_by
from analysis.on_production import well_of
from sim.log import NO_ROW, Interval, Log


class EndRow(NamedTuple):
    """When a milestone was reached in one replication, and in which well; infinity and none where it was not."""

    replication: int
    reached_h: float
    well: str


class PieceRow(NamedTuple):
    """Hours on the chain of one replication by what was done or waited for and by whom.

    `reason` is the activity of work, and the cause of a wait or of trouble. `unit` is empty where none is needed.
    """

    replication: int
    kind: str
    reason: str
    unit: str
    hours: float


class Chain(NamedTuple):
    """What is kept of the chain of one replication; no pieces where the milestone was not reached."""

    end: EndRow
    pieces: list[PieceRow]


def links(log: Log, last: int) -> list[Interval]:
    """The rows that led to the end of row `last`, in order of time: each released by the one before."""
    found: list[Interval] = []
    while last != NO_ROW:
        found.append(log.intervals[last])
        last = found[-1].after
    return found[::-1]


def chain_to(goal: Goal, log: Log) -> Chain:
    """The reduction of a log to its chain to a milestone."""
    last = reached_by(log, goal)
    if last == NOT_REACHED:
        return Chain(EndRow(log.replication, inf, ""), [])
    rows = links(log, last)
    return Chain(EndRow(log.replication, rows[-1].end_h, well_of(log, last)), _pieces(log.replication, rows))


def _pieces(replication: int, rows: list[Interval]) -> list[PieceRow]:
    hours: dict[tuple[str, str, str], float] = defaultdict(float)
    for row in rows:
        hours[row.kind, row.cause or row.activity, row.unit] += row.end_h - row.start_h
    return [PieceRow(replication, *what, total) for what, total in hours.items()]
