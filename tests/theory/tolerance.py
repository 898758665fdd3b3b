"""How far a simulated number may lie from an exact one: always from the sample's own spread, never from taste.

Each check fails by bad luck alone once in ten thousand seeds, and the seeds are fixed. A check of a mean also demands
that the sample is large enough to have noticed an error of a few per cent.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike
from scipy import stats

RISK = 1e-4
STANDARD_ERRORS = 3.9  # two-sided normal point of RISK


def assert_mean(values: ArrayLike, expected: float, power: float = 0.02) -> None:
    """The mean agrees, and its 95 % half-width is at most `power` of what is expected."""
    sample = np.asarray(values, dtype=float)
    standard_error = sample.std(ddof=1) / np.sqrt(sample.size)
    assert 1.96 * standard_error <= power * abs(expected), "sample too small to have any power"
    assert abs(sample.mean() - expected) <= STANDARD_ERRORS * standard_error


def assert_variance(values: ArrayLike, expected: float, excess_kurtosis: float, power: float = 0.2) -> None:
    """The sample variance agrees; its own variance is exact from the kurtosis of the expected law."""
    sample = np.asarray(values, dtype=float)
    n = sample.size
    standard_error = expected * np.sqrt(excess_kurtosis / n + 2 / (n - 1))
    assert 1.96 * standard_error <= power * expected, "sample too small to have any power"
    assert abs(sample.var(ddof=1) - expected) <= STANDARD_ERRORS * standard_error


def assert_quantiles(values: ArrayLike, levels: Sequence[float], expected: Sequence[float]) -> None:
    """Each expected quantile lies between the two order statistics that enclose it but for RISK (exact binomial)."""
    ordered = np.sort(np.asarray(values, dtype=float))
    n = ordered.size
    for level, quantile in zip(levels, expected, strict=True):
        low = int(stats.binom.ppf(RISK / 2, n, level))
        high = int(stats.binom.isf(RISK / 2, n, level)) + 1
        assert 1 <= low < high <= n, "sample too small to enclose the quantile"
        assert ordered[low - 1] <= quantile <= ordered[high - 1], (level, quantile)
