"""Quantiles of a finite number of replications against published and independent values."""

from __future__ import annotations

import math

import numpy as np
import pytest
from binomial import accepted_hits
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from analysis.statistics import quantile, quantile_interval, ranks

dates_h = st.lists(st.floats(0, 1e5) | st.just(math.inf), min_size=1, max_size=80)
shares = st.floats(0.01, 0.99)


@pytest.mark.parametrize(
    ("n", "p", "low", "high"),
    [
        (100, 0.1, 5, 17),
        (100, 0.5, 40, 61),
        (100, 0.9, 84, 96),
        (500, 0.1, 37, 65),
        (500, 0.5, 228, 273),
        (500, 0.9, 436, 464),
        (1000, 0.1, 82, 120),
        (1000, 0.5, 469, 532),
        (1000, 0.9, 881, 919),
    ],
)
def test_known_ranks(n: int, p: float, low: int, high: int) -> None:
    """Values from scipy.stats.quantile_test (n = 100) and scipy.stats.binom (500, 1000), as is the coverage."""
    found = ranks(n, p, 0.95)
    assert found[:2] == (low, high)
    sure = stats.binom.cdf(high - 1, n, p) - stats.binom.cdf(low - 1, n, p)
    assert found.coverage == pytest.approx(sure, abs=1e-12)


def test_known_coverages() -> None:
    """Coverage of the 95 % interval from 100 replications: values from scipy.stats.binom."""
    assert ranks(100, 0.9).coverage == pytest.approx(0.95569011, abs=5e-9)
    assert ranks(100, 0.5).coverage == pytest.approx(0.96479980, abs=5e-9)


@pytest.mark.parametrize("n", [1, 2, 5, 10, 29, 59, 93, 100, 137, 500, 2000])
@pytest.mark.parametrize("p", [0.05, 0.1, 0.5, 0.75, 0.9, 0.95])
@pytest.mark.parametrize("confidence", [0.6, 0.9, 0.95, 0.99])
def test_interval_equals_the_independent_one(n: int, p: float, confidence: float) -> None:
    """The same two values as scipy.stats.quantile_test, whose nan stands where ours is infinite."""
    values = np.random.default_rng(n).lognormal(size=n)
    theirs = stats.quantile_test(values, q=1.0, p=p).confidence_interval(confidence)
    ours = quantile_interval(values, p, confidence)
    assert ours.low == (-math.inf if math.isnan(theirs.low) else theirs.low)
    assert ours.high == (math.inf if math.isnan(theirs.high) else theirs.high)
    assert ours.confidence >= confidence - 1e-12
    assert ours.value == np.quantile(values, p, method="inverted_cdf")


def test_rank_of_a_share_written_as_a_decimal() -> None:
    """0.07 of 100 is 7, though 100 * 0.07 is a hair more than 7 in floating point."""
    assert 100 * 0.07 > 7
    assert quantile(np.arange(1.0, 101.0), 0.07) == 7
    assert quantile(np.arange(1.0, 101.0), 0.9) == 90
    assert quantile([3.0, 1.0, 2.0], 0.9) == 3


def test_too_few_replications_leave_one_side_open() -> None:
    """Ten replications cannot bound P90 from above; the one side left states its own confidence."""
    values = np.arange(1.0, 11.0)
    p90 = quantile_interval(values, 0.9)
    assert (p90.low, p90.high) == (7.0, math.inf)
    assert (p90.low_rank, p90.high_rank) == (7, None)
    assert p90.confidence == pytest.approx(stats.binom.sf(6, 10, 0.9), abs=1e-12)
    p10 = quantile_interval(values, 0.1)
    assert (p10.low, p10.high) == (-math.inf, 4.0)
    assert p10.confidence == pytest.approx(p90.confidence, abs=1e-12)


def test_one_replication_says_nothing_of_a_quantile() -> None:
    """The interval of a single value is the whole line, which is sure and empty."""
    assert quantile_interval([5.0], 0.5)[1:] == (5.0, -math.inf, math.inf, 1.0, None, None)


def test_replications_beyond_the_horizon_move_only_the_quantiles_they_reach() -> None:
    """With 12 of 100 unfinished P10 and P50 are as without a horizon, P90 is beyond it."""
    whole = np.random.default_rng(3).permutation(np.arange(1.0, 101.0))
    cut = np.where(whole > 88, math.inf, whole)
    assert quantile_interval(cut, 0.1) == quantile_interval(whole, 0.1)
    assert quantile_interval(cut, 0.5) == quantile_interval(whole, 0.5)
    p90 = quantile_interval(cut, 0.9)
    assert (p90.low, p90.value, p90.high) == (84.0, math.inf, math.inf)
    assert p90.high_rank == 96


@pytest.mark.parametrize(("n", "p"), [(100, 0.1), (100, 0.5), (100, 0.9), (20, 0.9), (30, 0.1)])
def test_measured_coverage_is_the_stated_one(n: int, p: float) -> None:
    """Of 1000 repeats as many intervals hold the true quantile as stated, within exact binomial error.

    The model is the last of three exponential durations: its true quantile is -log(1 - p^(1/3)). Everything
    beyond a horizon of 4.5 counts as unfinished; with 20 and 30 replications one side is open.
    """
    repeats = 1000
    generator = np.random.default_rng(20)
    last = generator.exponential(size=(repeats, n, 3)).max(axis=2)
    last[last > 4.5] = math.inf
    truth = -math.log(1 - p ** (1 / 3))
    estimates = [quantile_interval(sample, p) for sample in last]
    hits = sum(each.low <= truth <= each.high for each in estimates)
    low, high = accepted_hits(repeats, estimates[0].confidence)
    assert low <= hits <= high


@given(values=dates_h, p=shares, confidence=shares)
def test_interval_holds_its_value(values: list[float], p: float, confidence: float) -> None:
    """The estimate is one of the values and lies in its interval, whatever the share and confidence."""
    found = quantile_interval(values, p, confidence)
    assert found.low <= found.value <= found.high
    assert found.value == quantile(values, p)
    assert found.value in values
    assert confidence - 1e-9 <= found.confidence <= 1


@given(values=dates_h, one=shares, other=shares)
def test_later_share_is_never_an_earlier_date(values: list[float], one: float, other: float) -> None:
    """Estimate and both bounds grow with p."""
    early, late = (quantile_interval(values, p) for p in sorted((one, other)))
    assert early.low <= late.low
    assert early.value <= late.value
    assert early.high <= late.high


@given(values=dates_h, p=shares)
def test_quantile_is_the_smallest_date_with_that_chance(values: list[float], p: float) -> None:
    """At least a share p is done by then, and less than p before."""
    found = np.asarray(values)
    date_h = quantile(values, p)
    assert np.mean(found <= date_h) >= p - 1e-12
    assert np.mean(found < date_h) < p + 1e-12


@given(values=dates_h, p=shares, data=st.data())
def test_order_of_replications_does_not_matter(values: list[float], p: float, data: st.DataObject) -> None:
    """Results depend on the set of replications, never on the order in which they came."""
    shuffled = data.draw(st.permutations(values))
    assert quantile_interval(shuffled, p) == quantile_interval(values, p)


def test_values_are_left_as_they_were() -> None:
    """Asking for a quantile does not sort the caller's array."""
    values = np.array([3.0, 1.0, 2.0])
    quantile_interval(values, 0.5)
    assert values.tolist() == [3.0, 1.0, 2.0]
