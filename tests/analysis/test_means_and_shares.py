"""Means and shares of a finite number of replications against published and independent values."""

from __future__ import annotations

import math

import numpy as np
import pytest
from binomial import accepted_hits
from scipy import stats

from analysis.statistics import mean_interval, share_interval


def test_measured_coverage_of_the_mean() -> None:
    """Of 1000 intervals from five normal values 95 % hold the mean; normal instead of t fails."""
    repeats = 1000
    samples = np.random.default_rng(21).normal(10.0, 3.0, size=(repeats, 5))
    estimates = [mean_interval(sample) for sample in samples]
    low, high = accepted_hits(repeats, 0.95)
    assert low <= sum(each.low <= 10 <= each.high for each in estimates) <= high
    narrower = 1.959964 / stats.t.ppf(0.975, 4)
    assert sum(abs(each.mean - 10) <= narrower * (each.high - each.mean) for each in estimates) < low


@pytest.mark.parametrize(
    ("values", "mean", "deviation"),
    [
        ([10000001, 10000003, 10000002], 10000002, 1),
        ([1.2] + [1.1, 1.3] * 500, 1.2, 0.1),
        ([1000000.2] + [1000000.1, 1000000.3] * 500, 1000000.2, 0.1),
        ([10000000.2] + [10000000.1, 10000000.3] * 500, 10000000.2, 0.1),
    ],
)
def test_mean_and_deviation_keep_their_digits(values: list[float], mean: float, deviation: float) -> None:
    """NIST Statistical Reference Datasets, NumAcc1 to 4: certified means; deviations from memory."""
    found = mean_interval(values)
    assert found.mean == pytest.approx(mean, rel=1e-14)
    assert found.standard_deviation == pytest.approx(deviation, rel=1e-8)


def test_mean_interval_of_a_published_sample() -> None:
    """90 % interval of five paired differences: Law, Simulation Modeling and Analysis (from memory)."""
    one = np.array([126.97, 124.31, 126.68, 122.66, 127.23])
    other = np.array([118.21, 120.22, 122.45, 122.68, 119.40])
    found = mean_interval(one - other, 0.9)
    assert found.mean == pytest.approx(4.978, abs=1e-6)
    assert found.standard_deviation**2 / 5 == pytest.approx(2.438274, abs=1e-6)
    assert (found.low, found.high) == pytest.approx((1.649127, 8.306873), abs=1e-6)


def test_one_unfinished_replication_makes_the_mean_unfinished() -> None:
    """The mean of dates of which one is never reached is never reached either."""
    assert mean_interval([1.0, math.inf, 3.0])[:4] == (math.inf,) * 4


def test_mean_of_one_replication_has_no_interval() -> None:
    """A single replication says nothing about the spread."""
    assert mean_interval([4.0]) == (4.0, -math.inf, math.inf, math.inf, 0.95)


@pytest.mark.parametrize(("successes", "n"), [(0, 1), (0, 10), (3, 10), (50, 100), (97, 100), (100, 100)])
@pytest.mark.parametrize("confidence", [0.9, 0.95, 0.99])
def test_share_interval_equals_the_independent_one(successes: int, n: int, confidence: float) -> None:
    """The exact interval of scipy.stats.binomtest, found there by another route (a root search)."""
    theirs = stats.binomtest(successes, n).proportion_ci(confidence, method="exact")
    found = share_interval(successes, n, confidence)
    assert found.share == successes / n
    assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)


def test_share_of_none_in_ten() -> None:
    """No success in n leaves 1 - (tail)^(1/n) as the upper bound: the interval's own closed form."""
    assert share_interval(0, 10).high == pytest.approx(1 - 0.025 ** (1 / 10), rel=1e-12)
    assert share_interval(10, 10).low == pytest.approx(0.025 ** (1 / 10), rel=1e-12)
