"""From the log of one replication to what every supply went through: volumes, levels, and who waited for what of it.

Runs in the worker that played the replication, so it imports nothing heavy. All counts from hour zero to the end of
the last stage, or to the horizon: what a source delivers after that serves nobody.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from math import inf
from typing import NamedTuple

from sim.log import Interval, Level, Log


class SupplyRow(NamedTuple):
    """One store, pond or source in one replication, in the units of its levels (bbl, or lb of proppant).

    `kind` is store (on the pad), pond or source. `offered` is what flowed in or would have, `turned_away` what of it
    found no room (or was lost from a pond), `used` what flowed out, at `peak_rate` an hour at most. `lowest_level`
    counts from the first stage on; a source holds nothing, so its is 0. `starved_h`
    are the hours in which some unit waited for the supply.
    """

    replication: int
    supply: str
    kind: str
    offered: float
    used: float
    turned_away: float
    peak_rate: float
    lowest_level: float
    starved_h: float


class ShortageRow(NamedTuple):
    """Hours in one replication in which some unit waited for a supply, put down to one part of it.

    `first_h` is when the first of these waits began, in hours from the start.
    """

    replication: int
    supply: str
    part: str
    hours: float
    first_h: float


def supply_rows(log: Log, from_h: float, to_h: float) -> list[SupplyRow]:
    """A row for each supply of which levels are logged, in the order in which they first appear.

    `from_h` and `to_h` are the start of the first stage and the end of the last.
    """
    until_h, by_supply = min(to_h, log.horizon_h), defaultdict[str, list[Level]](list)
    for row in log.levels:
        by_supply[row.supply].append(row)
    waits = _waits_by_cause(log.intervals, by_supply)
    return [
        SupplyRow(
            log.replication,
            supply,
            log.feeders.get(supply, "store"),
            *_account(rows, from_h, until_h),
            _starved_h(waits, supply),
        )
        for supply, rows in by_supply.items()
    ]


def shortage_rows(log: Log) -> list[ShortageRow]:
    """A row for each supply and part of it that some unit waited for."""
    waits = _waits_by_cause(log.intervals, {row.supply for row in log.levels})
    return [
        ShortageRow(log.replication, supply, part, _covered_h(spans), min(start_h for start_h, _ in spans))
        for (supply, part), spans in waits.items()
        if spans
    ]


def supply_and_part(cause: str) -> tuple[str, str]:
    """`proppant: trucks` is the supply and the part of it that is short; a supply alone has no part."""
    supply, _, part = cause.partition(": ")
    return supply, part


Spans = list[tuple[float, float]]


def _waits_by_cause(intervals: Iterable[Interval], supplies: Iterable[str]) -> dict[tuple[str, str], Spans]:
    known, found = set(supplies), defaultdict[tuple[str, str], Spans](list)
    for row in intervals:
        if row.kind == "wait" and supply_and_part(row.cause)[0] in known:
            found[supply_and_part(row.cause)].append((row.start_h, row.end_h))
    return found


def _starved_h(waits: dict[tuple[str, str], Spans], supply: str) -> float:
    return _covered_h([span for (name, _), spans in waits.items() if name == supply for span in spans])


def _covered_h(spans: Spans) -> float:
    """Hours that are in at least one of the spans."""
    covered, reached = 0.0, -inf
    for start_h, end_h in sorted(spans):
        covered += max(0.0, end_h - max(start_h, reached))
        reached = max(reached, end_h)
    return covered


def _account(rows: Sequence[Level], from_h: float, until_h: float) -> tuple[float, float, float, float, float]:
    """Offered, used and turned away, the highest flow out, and the lowest level from `from_h` on."""
    offered = used = turned_away = peak = 0.0
    lowest = inf
    for number, row in enumerate(rows):
        end_h = min(rows[number + 1].time_h if number + 1 < len(rows) else until_h, until_h)
        hours = end_h - row.time_h
        if hours <= 0:
            continue
        offered += row.inflow * hours
        used += row.outflow * hours
        turned_away += row.turned_away * hours
        peak = max(peak, row.outflow)
        if end_h > from_h:
            net = row.inflow - row.outflow - row.turned_away
            lowest = min(lowest, row.level + net * max(0.0, from_h - row.time_h), row.level + net * hours)
    return offered, used, turned_away, peak, max(0.0, lowest) if lowest < inf else rows[-1].level
