"""Who gets how much of supplies that are short: in order of priority, then in proportion to the rates wanted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

NOBODY = -1


class Demand(NamedTuple):
    """What a draw wants at full pace: rates by the number of the store. Lower priorities are served first."""

    priority: int
    rates: dict[int, float]


class Pace(NamedTuple):
    """How fast a draw goes, as a share of full pace, and the store that holds it back; NOBODY if none does."""

    share: float
    held_by: int


FULL = Pace(1.0, NOBODY)


def paces(demands: Sequence[Demand], short: dict[int, float]) -> list[Pace]:
    """Pace of each demand. `short` holds, for each store that has run dry, the rate that can be drawn from it.

    Within a priority all go at one pace until some store gives no more; those that need it stay at that pace, the
    others share what is left in the same way. (Max-min fairness by progressive filling, Bertsekas and Gallager,
    Data Networks, 1987, from memory.) So with one store all get the same share of what they want.
    """
    found = [FULL] * len(demands)
    left = dict(short)
    for priority in sorted({demand.priority for demand in demands}):
        those = [k for k, demand in enumerate(demands) if demand.priority == priority]
        for k, pace in _within_priority(demands, those, left):
            found[k] = pace
            for store, rate in demands[k].rates.items():
                if store in left:
                    left[store] = max(0.0, left[store] - rate * pace.share)
    return found


def _within_priority(demands: Sequence[Demand], those: list[int], short: dict[int, float]) -> list[tuple[int, Pace]]:
    found: list[tuple[int, Pace]] = []
    left = dict(short)
    while those:
        store, share = _tightest(demands, those, left)
        if share >= 1:
            return [*found, *((k, FULL) for k in those)]
        held = [k for k in those if store in demands[k].rates]
        for k in held:
            found.append((k, Pace(share, store)))
            for each, rate in demands[k].rates.items():
                if each in left:
                    left[each] = max(0.0, left[each] - rate * share)
        those = [k for k in those if k not in held]
    return found


def _tightest(demands: Sequence[Demand], those: list[int], left: dict[int, float]) -> tuple[int, float]:
    """The store that gives the smallest share of what is wanted of it, and that share; 1 where none is short."""
    store, share = NOBODY, 1.0
    for each, rate in left.items():
        wanted = sum(demands[k].rates.get(each, 0.0) for k in those)
        if wanted > 0 and rate / wanted < share:
            store, share = each, rate / wanted
    return store, share
