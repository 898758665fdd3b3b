"""All plans at once: how likely each is the best, and which ranks it can have, with one confidence for all statements.

Every pair is looked at with the doubt of one statement divided by the number of pairs (Bonferroni), so that with the
confidence stated all of them hold at once. Source: Law, Simulation Modeling and Analysis, chapter on comparing more
than two systems, all pairwise comparisons with paired-t intervals (from memory). Common luck makes the plans depend on
each other, which this allows and methods for independent samples do not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from analysis.comparing.pairs import Chance, chance, difference, order
from analysis.observed import SAME, Observed
from analysis.statistics import mean_interval


@dataclass(frozen=True)
class Standing:
    """Where a plan stands among all.

    `best` is the chance that no other is better, `ranks` the first and last place it can have. `behind` bounds how
    much worse than the best of the others it is in the mean, 0 where it may itself be the best; None without means.
    """

    best: Chance
    ranks: tuple[int, int]
    behind: tuple[float, float] | None


@dataclass(frozen=True)
class Ranking:
    """Standings in the order of the plans, whose statements hold together with `confidence`.

    `by_means` says whether plans are ranked by their means, or, where some replications are unfinished and there are
    no means, by which of two is more likely to be the better one.
    """

    standings: tuple[Standing, ...]
    by_means: bool
    confidence: float

    @property
    def possible_bests(self) -> list[int]:
        """Numbers of the plans that may be the best; never none, even where each is likelier to lose to some other."""
        first = min(each.ranks[0] for each in self.standings)
        return [number for number, each in enumerate(self.standings) if each.ranks[0] == first]


def rank(plans: Sequence[Observed], confidence: float = 0.95, *, larger_is_better: bool = False) -> Ranking:
    """Rank two plans or more, played under the same luck."""
    k = len(plans)
    if k < 2:
        raise ValueError(f"{k} plans: expected at least two")
    each = 1 - (1 - confidence) / (k * (k - 1) / 2)
    by_means = all(plan.complete for plan in plans) and len(plans[0].low) > 1
    worse_by_low, worse_by_high = np.zeros((k, k)), np.zeros((k, k))
    for i, j in combinations(range(k), 2):
        worse_by = _worse_by_means if by_means else _worse_by_chance
        low, high = worse_by(plans[i], plans[j], each, larger_is_better)
        worse_by_low[i, j], worse_by_high[i, j] = low, high
        worse_by_low[j, i], worse_by_high[j, i] = -high, -low
    chances = best_chances(plans, 0.95, larger_is_better=larger_is_better)
    standings = [
        _standing(chances[i], np.delete(worse_by_low[i], i), np.delete(worse_by_high[i], i), by_means) for i in range(k)
    ]
    return Ranking(tuple(standings), by_means, confidence)


def _worse_by_means(a: Observed, b: Observed, confidence: float, larger_is_better: bool) -> tuple[float, float]:
    """How much worse A is in the mean."""
    worse_by, _ = difference(b, a) if larger_is_better else difference(a, b)
    mean = mean_interval(worse_by, confidence)
    return mean.low, mean.high


def _worse_by_chance(a: Observed, b: Observed, confidence: float, larger_is_better: bool) -> tuple[float, float]:
    """The chance that A is worse less one half, or less than nothing where B is likelier to be."""
    better, worse, same = order(a, b, larger_is_better=larger_is_better)
    doubtful = ~(better | worse | same)
    return chance(worse, doubtful, confidence).low - 0.5, 0.5 - chance(better, doubtful, confidence).low


def _standing(best: Chance, low: np.ndarray, high: np.ndarray, by_means: bool) -> Standing:
    surely_before, surely_after = int((low > 0).sum()), int((high < 0).sum())
    behind = (max(0.0, float(low.max())), max(0.0, float(high.max()))) if by_means else None
    return Standing(best, (1 + surely_before, len(low) + 1 - surely_after), behind)


def best_chances(
    plans: Sequence[Observed], confidence: float = 0.95, *, larger_is_better: bool = False
) -> list[Chance]:
    """The chance of each plan that no other is better. Level plans count for each: shares may sum to more than one."""
    sign = -1.0 if larger_is_better else 1.0
    least = np.array([plan.low if sign > 0 else -plan.high for plan in plans])
    most = np.array([plan.high if sign > 0 else -plan.low for plan in plans])
    found = []
    for i in range(len(plans)):
        others_least, others_most = np.delete(least, i, axis=0).min(axis=0), np.delete(most, i, axis=0).min(axis=0)
        sure = most[i] < others_least + SAME
        found.append(chance(sure, ~sure & (least[i] < others_most + SAME), confidence))
    return found
