"""What each source of water has given, stretch by stretch, as the log of one replication tells it.

Up to the end of the last draw: what flows into ponds and storage after that serves nobody. Where the log has rows of
the sources themselves, these count. Of a plain storage it knows what went in, and that comes from steady sources in the
way in which a network would share it out: by priority, then in proportion to their rates.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from analysis.measures import levels_to_the_end
from sim.log import Level, Log
from sim.scenario.scenario import Scenario
from sim.supplies.feeders import split
from sim.supplies.source import Source


class Taken(NamedTuple):
    """Barrels that a source gave at a steady rate between two hours."""

    source: str
    from_h: float
    to_h: float
    bbl_per_h: float


def taken(scenario: Scenario, log: Log) -> Iterator[Taken]:
    """Stretches of every source that gave anything."""
    stored = levels_to_the_end(log)
    until_h = max((after.time_h for row, after in pairwise(stored) if row.outflow > 0), default=0.0)
    if log.feeders:
        for name, kind in log.feeders.items():
            if kind == "source":
                rows = [row for row in log.levels if row.supply == name]
                yield from (Taken(name, a, b, row.outflow) for row, a, b in _spans(rows, until_h) if row.outflow > 0)
    elif scenario.water is not None:
        stated = [Source(each.name, each.rate, priority=each.priority) for each in scenario.water.sources]
        for row, from_h, to_h in _spans(stored, until_h):
            kept = row.inflow - row.turned_away
            if kept > 0:
                for source, part in zip(stated, _shared(stated, kept), strict=True):
                    yield Taken(source.name, from_h, to_h, part)


def _spans(rows: Sequence[Level], until_h: float) -> Iterator[tuple[Level, float, float]]:
    """Rows with the hours between which they hold, up to an hour."""
    ends_h = [*(row.time_h for row in rows[1:]), until_h]
    for row, end_h in zip(rows, ends_h, strict=True):
        if row.time_h < min(end_h, until_h):
            yield row, row.time_h, min(end_h, until_h)


def _shared(sources: Sequence[Source], total: float) -> list[float]:
    for source in sources:
        source.able = source.rate
    return split(sources, total)
