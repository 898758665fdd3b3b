"""What a finite number of replications says about a date, and how sure that is.

P10, P50 and P90 of a date are the dates by which there is a 10, 50, 90 % chance of being done. A replication
that did not finish within the horizon counts as +inf: it is later than every finite date, so quantiles stay
right as long as enough replications did finish. NaN is refused everywhere.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

# A probability that equals its limit on paper must not miss it by the last bit: 1 - 0.9 is not quite 0.1.
ROUNDING = 1e-12

Values = Sequence[float] | NDArray[np.float64]


class QuantileEstimate(NamedTuple):
    """A quantile of a sample with its interval and the confidence that this very interval achieves.

    With too few replications for a bound on one side, `low` is -inf or `high` is +inf and its rank is None;
    `confidence` is then that of the one-sided interval which is left, and exactly 1 (the whole line, no
    statement at all) where neither bound can be had. A bound that has a rank and is +inf is a date beyond
    the horizon.
    """

    p: float
    value: float
    low: float
    high: float
    confidence: float
    low_rank: int | None
    high_rank: int | None


class Ranks(NamedTuple):
    """Which of the sorted values, counted from 1, bound a quantile; None where no value can."""

    low: int | None
    high: int | None
    coverage: float


class MeanEstimate(NamedTuple):
    """A mean with its Student interval; `standard_deviation` is that of the single replications."""

    mean: float
    low: float
    high: float
    standard_deviation: float
    confidence: float


class ShareEstimate(NamedTuple):
    """A share of replications, such as those that met a date, with its interval."""

    share: float
    low: float
    high: float
    confidence: float


def quantile(values: Values, p: float) -> float:
    """The smallest observed value that at least a share `p` of the sample does not exceed, X_(ceil(n p)).

    Always one of the values, never an average of two, hence defined when some of them are +inf.
    """
    sample = np.sort(_sample(values))
    return float(sample[_quantile_rank(len(sample), p) - 1])


def quantile_interval(values: Values, p: float, confidence: float = 0.95) -> QuantileEstimate:
    """The quantile and two order statistics around it that hold the true one with at least `confidence`.

    Assumes independent replications and nothing about their distribution. Source: Conover 1999, Practical
    Nonparametric Statistics, third edition (from memory).
    """
    sample = np.sort(_sample(values))
    low, high, coverage = ranks(len(sample), p, confidence)
    return QuantileEstimate(
        p=p,
        value=float(sample[_quantile_rank(len(sample), p) - 1]),
        low=-math.inf if low is None else float(sample[low - 1]),
        high=math.inf if high is None else float(sample[high - 1]),
        confidence=coverage,
        low_rank=low,
        high_rank=high,
    )


@lru_cache(maxsize=1024)  # every column of a table asks for the same
def ranks(n: int, p: float, confidence: float = 0.95) -> Ranks:
    """The ranks whose values bound the `p` quantile of `n` replications, at most half the doubt on each side.

    The number of values below the quantile is binomial (n, p); the interval misses low when fewer than `low`
    values are below it and high when `high` or more are.
    """
    from scipy.special import bdtr, bdtrc

    _check_share("p", p)
    _check_share("confidence", confidence)
    _check_count("n", n)
    tail = (1 - confidence) / 2
    counts = np.arange(n + 1.0)
    at_most, more_than = bdtr(counts, n, p), bdtrc(counts, n, p)
    low = int(np.count_nonzero(at_most < tail * (1 - ROUNDING)))
    high = 1 + int(np.count_nonzero(more_than > tail * (1 + ROUNDING)))
    missed = (at_most[low - 1] if low > 0 else 0.0) + more_than[high - 1]
    return Ranks(low if low > 0 else None, high if high <= n else None, float(1 - missed))


def mean_interval(values: Values, confidence: float = 0.95) -> MeanEstimate:
    """The mean with Student's interval, exact for normal values and good for the mean of many others.

    One unfinished replication makes the mean and both its bounds +inf: "not finished", which is what a mean
    date honestly is then. A single replication says nothing of the spread, so all but its mean is infinite.
    """
    from scipy.special import stdtrit

    _check_share("confidence", confidence)
    sample = _sample(values)
    if np.isneginf(sample).any():
        raise ValueError("values include -inf: expected numbers, or +inf for what the horizon cut off")
    if np.isinf(sample).any():
        return MeanEstimate(math.inf, math.inf, math.inf, math.inf, confidence)
    n, mean = len(sample), float(np.mean(sample))
    if n == 1:
        return MeanEstimate(mean, -math.inf, math.inf, math.inf, confidence)
    deviation = float(np.std(sample, ddof=1))
    half_width = float(stdtrit(n - 1, (1 + confidence) / 2)) * deviation / math.sqrt(n)
    return MeanEstimate(mean, mean - half_width, mean + half_width, deviation, confidence)


def wilks(coverage: float, confidence: float, order: int = 1) -> int:
    """The fewest replications whose `order`-th largest value bounds a share `coverage` of all outcomes.

    Holds with at least `confidence`. With `order` 2 the same number makes the span from the smallest to the
    largest value hold that share. Source: Wilks 1941, Annals of Mathematical Statistics 12, 91-96.
    """
    from scipy.special import bdtr

    _check_share("coverage", coverage)
    _check_share("confidence", confidence)
    _check_count("order", order)

    def enough(n: int) -> bool:
        return bool(bdtr(float(order - 1), n, 1 - coverage) <= (1 - confidence) * (1 + ROUNDING))

    most = order
    while not enough(most):
        most *= 2
    return bisect_left(range(most), True, lo=order, key=enough)


def share_interval(successes: int, n: int, confidence: float = 0.95) -> ShareEstimate:
    """The share `successes / n` with an interval that never covers less often than it says.

    Source: Clopper and Pearson 1934, Biometrika 26, 404-413 (from memory).
    """
    from scipy.special import betaincinv

    _check_share("confidence", confidence)
    _check_count("n", n)
    if not 0 <= successes <= n:
        raise ValueError(f"successes is {successes}: expected a count from 0 to n = {n}")
    tail, failures = (1 - confidence) / 2, n - successes
    low = float(betaincinv(successes, failures + 1, tail)) if successes else 0.0
    high = float(betaincinv(successes + 1, failures, 1 - tail)) if failures else 1.0
    return ShareEstimate(successes / n, low, high, confidence)


def _quantile_rank(n: int, p: float) -> int:
    """ceil(n p), with p the decimal it was written as: 0.07 of 100 replications is rank 7, never 8."""
    _check_share("p", p)
    return math.ceil(n * Fraction(repr(float(p))))


def _sample(values: Values) -> NDArray[np.float64]:
    sample = np.asarray(values, dtype=np.float64)
    if sample.ndim != 1 or sample.size == 0:
        raise ValueError(f"values have shape {sample.shape}: expected a list of at least one number")
    if np.isnan(sample).any():
        raise ValueError("values include NaN: expected numbers, or +inf for what the horizon cut off")
    return sample


def _check_share(name: str, share: float) -> None:
    if not 0 < share < 1:
        raise ValueError(f"{name} is {share}: expected a number between 0 and 1, both excluded")


def _check_count(name: str, count: int) -> None:
    if count < 1:
        raise ValueError(f"{name} is {count}: expected a whole number of at least 1")
