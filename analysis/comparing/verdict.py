"""What a comparison says of one measure: every plan, every pair, and all of them at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, cmp_to_key
from itertools import combinations

import numpy as np

from analysis.comparing.comparison import Comparison
from analysis.comparing.pairs import Pair, Quantile, paired, quantile_between
from analysis.comparing.ranking import Ranking, rank
from analysis.forecasting.control_variates import ControlledMean, controlled_mean, controls_of
from analysis.observed import Observed
from analysis.pad_measures import PadMeasure

CHANCES = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Verdict:
    """Numbers in the units of the measure, dates in hours from the start of the base plan.

    `pairs` holds A against B for every two plans, in the order of the plans. Means are None where some replications
    are unfinished.
    """

    comparison: Comparison
    measure: PadMeasure
    seen: Mapping[str, Observed]
    quantiles: Mapping[str, tuple[Quantile, ...]]
    means: Mapping[str, ControlledMean | None]
    pairs: Mapping[tuple[str, str], Pair]
    ranking: Ranking

    @property
    def names(self) -> list[str]:
        """The plans, the base plan first."""
        return list(self.seen)

    @cached_property
    def in_order(self) -> list[str]:
        """The plans from the best to the worst, as they are ranked; the first of them may be the best.

        By the paired means, or where there are none by the places, and within a place by how many others a plan does
        better than more often than worse, and then by how often in all. Level plans stay as they were stated.
        """
        if self.ranking.by_means:
            return sorted(self.names, key=cmp_to_key(self._by_mean))
        firsts = {name: each.ranks[0] for name, each in zip(self.names, self.ranking.standings, strict=True)}
        leads = {name: [self.lead(name, other) for other in self.names if other != name] for name in self.names}
        return sorted(self.names, key=lambda name: (firsts[name], -sum(np.sign(leads[name])), -sum(leads[name])))

    def _by_mean(self, a: str, b: str) -> int:
        mean = self.pair(a, b).mean
        assert mean is not None
        sign = int(np.sign(mean.mean))
        return -sign if self.measure.larger_is_better else sign

    def lead(self, a: str, b: str) -> int:
        """In how many more replications A is surely better than B than B is surely better than A."""
        pair = self.pair(a, b)
        return pair.better.surely - pair.worse.surely

    @property
    def rival(self) -> str:
        """What the best plan is told against: the plan as stated, or if it is that or does not lead it, the next."""
        best, *others = self.in_order
        if self.ranking.by_means:
            return others[0] if best == self.names[0] else self.names[0]
        stated_first = sorted(others, key=lambda name: name != self.names[0])
        return next((name for name in stated_first if self.lead(best, name) >= 0), others[0])

    def pair(self, a: str, b: str) -> Pair:
        """A against B, whichever of the two was stated first."""
        if (a, b) in self.pairs:
            return self.pairs[a, b]
        return paired(self.seen[a], self.seen[b], larger_is_better=self.measure.larger_is_better)


def judge(comparison: Comparison, measure: PadMeasure) -> Verdict:
    """Reduce what was played to what it says."""
    seen, larger = comparison.seen(measure), measure.larger_is_better
    return Verdict(
        comparison,
        measure,
        seen,
        {name: tuple(quantile_between(*each, chance) for chance in CHANCES) for name, each in seen.items()},
        {name: _mean(comparison, name, each) for name, each in seen.items()},
        {(a, b): paired(seen[a], seen[b], larger_is_better=larger) for a, b in combinations(seen, 2)},
        rank(list(seen.values()), larger_is_better=larger),
    )


def _mean(comparison: Comparison, name: str, values: Observed) -> ControlledMean | None:
    if not values.complete:
        return None
    replications = comparison.pads[name]["replication"]
    return controlled_mean(values.low, *controls_of(comparison.plans[name], replications, comparison.seed))
