"""Quantiles, means and shares of a finite number of replications against published and independent values."""

from __future__ import annotations

import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from analysis.statistics import (
    mean_interval,
    quantile,
    quantile_interval,
    ranks,
    share_interval,
    wilks,
)

dates_h = st.lists(st.floats(0, 1e5) | st.just(math.inf), min_size=1, max_size=80)
finite_h = st.lists(st.floats(0, 1e5), min_size=2, max_size=80)
shares = st.floats(0.01, 0.99)


def accepted_hits(repeats: int, coverage: float) -> tuple[int, int]:
    """The counts that a binomial with this coverage leaves on either side once in 20 000."""
    low, high = stats.binom.ppf([5e-5, 1 - 5e-5], repeats, coverage)
    return int(low), int(high)


@pytest.mark.parametrize(
    ("coverage", "confidence", "order", "n"),
    [
        (0.95, 0.95, 1, 59),
        (0.95, 0.95, 2, 93),
        (0.95, 0.95, 3, 124),
        (0.90, 0.95, 1, 29),
        (0.90, 0.90, 1, 22),
        (0.95, 0.99, 1, 90),
        (0.99, 0.95, 1, 299),
    ],
)
def test_wilks_sample_sizes(coverage: float, confidence: float, order: int, n: int) -> None:
    """Wilks 1941, Ann. Math. Stat. 12, 91-96 gives 59; the other sizes are from scipy.stats.binom."""
    assert wilks(coverage, confidence, order) == n


def test_wilks_size_is_the_smallest() -> None:
    """58 replications hold 95 % with 1 - 0.95^58 = .94895313 confidence, 59 with .95150547."""
    assert [wilks(0.95, confidence) for confidence in (0.9489531, 0.9489532)] == [58, 59]
    assert [wilks(0.95, confidence) for confidence in (0.9515054, 0.9515055)] == [59, 60]


@given(coverage=st.floats(0.5, 0.99), confidence=st.floats(0.05, 0.99), order=st.integers(1, 4))
def test_wilks_agrees_with_the_binomial_on_both_sides(coverage: float, confidence: float, order: int) -> None:
    """At n enough values lie above the bound often enough, at n - 1 they do not (scipy.stats.binom)."""
    n = wilks(coverage, confidence, order)
    assert n >= order
    assert stats.binom.sf(order - 1, n, 1 - coverage) >= confidence - 1e-9
    assert n == order or stats.binom.sf(order - 1, n - 1, 1 - coverage) < confidence + 1e-9


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


@given(values=finite_h, tight=shares, wide=shares)
def test_more_confidence_is_a_wider_interval(values: list[float], tight: float, wide: float) -> None:
    """Mean and quantile intervals are nested in confidence, and the mean lies in its own."""
    tight, wide = sorted((tight, wide))
    inner, outer = quantile_interval(values, 0.5, tight), quantile_interval(values, 0.5, wide)
    assert outer.low <= inner.low <= inner.high <= outer.high
    narrow, broad = mean_interval(values, tight), mean_interval(values, wide)
    assert broad.low <= narrow.low <= narrow.mean <= narrow.high <= broad.high


def test_values_are_left_as_they_were() -> None:
    """Asking for a quantile does not sort the caller's array."""
    values = np.array([3.0, 1.0, 2.0])
    quantile_interval(values, 0.5)
    assert values.tolist() == [3.0, 1.0, 2.0]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: quantile([], 0.5), r"shape \(0,\): expected a list of at least one number"),
        (lambda: quantile([[1.0]], 0.5), r"shape \(1, 1\)"),
        (lambda: quantile([1.0, math.nan], 0.5), "values include NaN"),
        (lambda: quantile([1.0], 90), "p is 90: expected a number between 0 and 1"),
        (lambda: quantile_interval([1.0], 0.5, 95), "confidence is 95"),
        (lambda: mean_interval([1.0, math.nan]), "values include NaN"),
        (lambda: mean_interval([1.0, -math.inf]), "values include -inf"),
        (lambda: ranks(0, 0.5), "n is 0: expected a whole number of at least 1"),
        (lambda: wilks(0.95, 0.95, 0), "order is 0"),
        (lambda: wilks(1.0, 0.95), "coverage is 1.0"),
        (lambda: share_interval(11, 10), "successes is 11: expected a count from 0 to n = 10"),
    ],
)
def test_senseless_questions_are_refused(call: object, message: str) -> None:
    """Each refusal names the value and what was expected."""
    assert callable(call)
    with pytest.raises(ValueError, match=message):
        call()


def test_importing_the_module_is_cheap() -> None:
    """Neither scipy nor pandas is loaded before the first interval is asked for."""
    command = "import sys, analysis.statistics; print({'scipy', 'pandas', 'pyarrow'} & set(sys.modules))"
    shown = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "set()"
