"""What a comparison says of one measure: every plan, every pair, and all of them at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

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

    @property
    def in_order(self) -> list[str]:
        """The plans from the best to the worst: by mean, or where there is none by median."""
        sign = -1 if self.measure.larger_is_better else 1
        by_means = {name: mean.mean for name, mean in self.means.items() if mean is not None}
        key = by_means if len(by_means) == len(self.names) else {n: q[1].least for n, q in self.quantiles.items()}
        return sorted(self.names, key=lambda name: sign * key[name])

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
