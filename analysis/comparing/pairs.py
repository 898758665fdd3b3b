"""Two plans under the same luck, paired by replication: by how much they differ, and which is the better.

Both plans meet the same luck in replication k, so what they share cancels in the difference. Where the horizon cut one
of the two short, the difference is only known to lie between two bounds: an earlier and a later one. Statements about
ranks (the median, the chance that one is better) then still hold, between what the lowest and the highest of these
bounds would give; a mean would be whatever one assumed about the days after the horizon, so none is given.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.observed import SAME, Numbers, Observed
from analysis.statistics import MeanEstimate, mean_interval, quantile_interval, share_interval

Truths = NDArray[np.bool_]

ROUNDING = 1e-9  # of a spread, below which a difference does not vary


class Quantile(NamedTuple):
    """A quantile and its interval. `least` and `most` differ where the horizon leaves open which it is.

    Bounds are infinite where there are too few replications for one, or where the horizon hides it.
    """

    least: float
    most: float
    low: float
    high: float
    confidence: float

    @property
    def value(self) -> float | None:
        """The quantile, if the horizon leaves no doubt about it."""
        return self.least if self.least == self.most else None


class Chance(NamedTuple):
    """A share of replications with its interval: `surely` of them, and `perhaps` as many more behind the horizon."""

    surely: int
    perhaps: int
    replications: int
    low: float
    high: float
    confidence: float

    @property
    def share(self) -> float:
        """The share that is sure."""
        return self.surely / self.replications


@dataclass(frozen=True)
class Pair:
    """What is known of plan A against plan B; differences are A less B.

    `better` is the chance that A is better, `worse` that B is; `level` counts replications in which they are the same.
    `correlation` and `variance_ratio`, the variance that independent runs would have over what pairing left, are
    measured on these very replications; None where nothing varies or something is unfinished.
    """

    mean: MeanEstimate | None
    median: Quantile
    better: Chance
    worse: Chance
    level: int
    correlation: float | None
    variance_ratio: float | None
    unfinished: tuple[int, int]


def paired(a: Observed, b: Observed, confidence: float = 0.95, *, larger_is_better: bool = False) -> Pair:
    """Compare two plans, replication k of one with replication k of the other.

    The mean's interval is Student's on the differences (paired-t). Source: Law, Simulation Modeling and Analysis,
    chapter on comparing two systems (from memory). That of the median is between order statistics, that of a chance
    is Clopper and Pearson's: see `analysis.statistics`.
    """
    if len(a.low) != len(b.low):
        raise ValueError(f"{len(a.low)} replications against {len(b.low)}: expected pairs")
    low, high = difference(a, b)
    better, worse, same = order(a, b, larger_is_better=larger_is_better)
    doubtful = ~(better | worse | same)
    whole = a.complete and b.complete
    return Pair(
        mean=mean_interval(low, confidence) if whole else None,
        median=quantile_between(low, high, 0.5, confidence),
        better=chance(better, doubtful, confidence),
        worse=chance(worse, doubtful, confidence),
        level=int(same.sum()),
        correlation=correlation(a.low, b.low) if whole else None,
        variance_ratio=variance_ratio(a.low, b.low) if whole else None,
        unfinished=(a.unfinished, b.unfinished),
    )


def difference(a: Observed, b: Observed) -> tuple[Numbers, Numbers]:
    """Bounds of A less B in every replication; zero where only floating point tells the two apart."""
    return _or_zero(a.low - b.high), _or_zero(a.high - b.low)


def _or_zero(differences: Numbers) -> Numbers:
    return np.where(np.abs(differences) < SAME, 0.0, differences)


def order(a: Observed, b: Observed, *, larger_is_better: bool = False) -> tuple[Truths, Truths, Truths]:
    """Where A is surely better, where B is, and where they are level; elsewhere the horizon hides it."""
    low, high = difference(a, b)
    earlier, later, same = np.less(high, 0), np.greater(low, 0), np.equal(low, 0) & np.equal(high, 0)
    return (later, earlier, same) if larger_is_better else (earlier, later, same)


def quantile_between(low: Numbers, high: Numbers, p: float, confidence: float = 0.95) -> Quantile:
    """A quantile of values known between bounds: no less than that of the lower ones, no more than of the upper."""
    lower, upper = quantile_interval(low, p, confidence), quantile_interval(high, p, confidence)
    return Quantile(lower.value, upper.value, lower.low, upper.high, lower.confidence)


def chance(sure: Truths, doubtful: Truths, confidence: float) -> Chance:
    """The chance of what is sure in some replications and in doubt in others.

    The interval reaches from the lower bound if none of the doubtful were so to the upper bound if all were.
    """
    n, surely, perhaps = len(sure), int(sure.sum()), int(doubtful.sum())
    low = share_interval(surely, n, confidence).low
    high = share_interval(surely + perhaps, n, confidence).high
    return Chance(surely, perhaps, n, low, high, confidence)


def correlation(a: Numbers, b: Numbers) -> float | None:
    """Correlation that common luck achieved; None where one of the two never varies."""
    if len(a) < 2 or np.ptp(a) == 0 or np.ptp(b) == 0:
        return None
    return float(np.corrcoef(a, b)[0, 1])


def variance_ratio(a: Numbers, b: Numbers) -> float | None:
    """Var(A) + Var(B), which independent runs would have, over Var(A - B); None where the difference never varies.

    So many times more replications would independent runs need for the same interval of the mean difference.
    """
    if len(a) < 2 or np.ptp(a - b) <= ROUNDING * max(np.ptp(a), np.ptp(b)):
        return None
    return float((np.var(a, ddof=1) + np.var(b, ddof=1)) / np.var(a - b, ddof=1))
