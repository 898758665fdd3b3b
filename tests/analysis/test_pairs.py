"""Pairs under the same luck: a published example, what the horizon hides, how often intervals hold the truth."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from repeats import hits, least_hits, most_hits
from scipy import stats

from analysis.comparing.pairs import correlation, paired, variance_ratio
from analysis.comparing.ranking import best_chances
from analysis.observed import dates, rates

# Law, Simulation Modeling and Analysis, inventory example (data from memory; it prints 4.98, 2.44, [1.65, 8.31]).
LAW_1 = (126.97, 124.31, 126.68, 122.66, 127.23)
LAW_2 = (118.21, 120.22, 122.45, 122.68, 119.40)

small_counts = st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=40)


def test_paired_t_of_a_textbook() -> None:
    """Mean 4.978, variance of the mean 2.438274, 90 % interval [1.649127, 8.306873] (recomputed with scipy)."""
    pair = paired(dates(LAW_1), dates(LAW_2), 0.90)
    assert pair.mean is not None
    assert pair.mean.mean == pytest.approx(4.978, abs=1e-9)
    assert pair.mean.standard_deviation**2 / 5 == pytest.approx(2.438274, abs=1e-6)
    assert (pair.mean.low, pair.mean.high) == pytest.approx((1.649127, 8.306873), abs=1e-6)
    reference = stats.ttest_rel(LAW_1, LAW_2).confidence_interval(0.90)
    assert (pair.mean.low, pair.mean.high) == pytest.approx((reference.low, reference.high), rel=1e-12)


def test_counts_of_a_small_case_by_hand() -> None:
    """Of four replications A is earlier in two, level in one, later in one."""
    pair = paired(dates([1, 2, 3, 9]), dates([2, 3, 3, 4]))
    assert (pair.better.surely, pair.level, pair.worse.surely, pair.better.perhaps) == (2, 1, 1, 0)
    assert pair.median.value == -1  # of -1, -1, 0, 5 the second
    mirror = paired(dates([1, 2, 3, 9]), dates([2, 3, 3, 4]), larger_is_better=True)
    assert (mirror.better.surely, mirror.worse.surely) == (1, 2)


def test_what_the_horizon_hides_is_counted_and_never_dropped() -> None:
    """A ends at 1 and 2, once beyond 10; B once at 3, twice beyond 10: earlier, earlier, and in doubt."""
    pair = paired(dates([1, 2, math.inf], 10), dates([3, math.inf, math.inf], 10))
    assert (pair.better.surely, pair.better.perhaps, pair.worse.surely, pair.worse.perhaps) == (2, 1, 0, 1)
    assert pair.unfinished == (1, 2)
    assert pair.mean is None
    assert pair.correlation is None
    assert pair.variance_ratio is None
    # differences -2, at most -8, anything: the second of three is -2 at most, and has no lower bound
    assert (pair.median.least, pair.median.most, pair.median.value) == (-math.inf, -2, None)


def test_an_earlier_horizon_may_leave_the_order_open() -> None:
    """A ends at 100, B was only watched until 90: B may still end before A."""
    pair = paired(dates([100.0], 200), dates([math.inf], 90))
    assert (pair.better.surely, pair.better.perhaps, pair.worse.perhaps) == (0, 1, 1)


def test_a_later_start_moves_the_dates() -> None:
    """Two plans that start a day apart are compared by the calendar."""
    pair = paired(dates([10.0, 12.0], later_h=24.0), dates([10.0, 12.0]))
    assert pair.mean is not None
    assert pair.mean.mean == 24.0


def test_rates_of_unfinished_work_are_unknown() -> None:
    """A pace over a span that the horizon cut says nothing sure."""
    pair = paired(rates([8.0, 8.0], [True, False]), rates([7.0, 7.0], [True, True]), larger_is_better=True)
    assert (pair.better.surely, pair.better.perhaps, pair.mean) == (1, 1, None)


@settings(derandomize=True)
@given(pairs=small_counts, horizon=st.integers(5, 25))
def test_bounds_hold_what_a_longer_horizon_would_have_shown(pairs: list[tuple[int, int]], horizon: int) -> None:
    """Whatever is hidden: median, chances and their intervals enclose those of the whole truth."""
    a, b = (np.array(column, dtype=float) for column in zip(*pairs, strict=True))
    truth = paired(dates(a), dates(b))
    cut_a, cut_b = (np.where(values >= horizon, math.inf, values) for values in (a, b))
    seen = paired(dates(cut_a, horizon), dates(cut_b, horizon))
    assert seen.median.least <= truth.median.least <= seen.median.most
    assert seen.median.low <= truth.median.low
    assert truth.median.high <= seen.median.high
    for known, whole in ((seen.better, truth.better), (seen.worse, truth.worse)):
        assert known.surely <= whole.surely <= known.surely + known.perhaps
        assert known.low <= whole.low
        assert whole.high <= known.high


@settings(derandomize=True)
@given(pairs=small_counts)
def test_b_against_a_is_the_mirror_of_a_against_b(pairs: list[tuple[int, int]]) -> None:
    a, b = (dates(np.array(column, dtype=float)) for column in zip(*pairs, strict=True))
    one, other = paired(a, b), paired(b, a)
    assert (one.better, one.worse, one.level) == (other.worse, other.better, other.level)
    assert one.mean is not None
    assert other.mean is not None
    assert one.mean.mean == pytest.approx(-other.mean.mean, abs=1e-9)


def test_variance_ratio_is_what_independent_runs_would_have() -> None:
    """Equal variances with correlation r: 2 / (2 - 2 r) in the long run, here exactly by the samples' own moments."""
    generator = np.random.default_rng(4)
    shared = generator.normal(size=500)
    a, b = shared + generator.normal(size=500), shared + generator.normal(size=500)
    r, spreads = np.corrcoef(a, b)[0, 1], (a.std(ddof=1), b.std(ddof=1))
    apart = spreads[0] ** 2 + spreads[1] ** 2
    assert correlation(a, b) == pytest.approx(r)
    assert variance_ratio(a, b) == pytest.approx(apart / (apart - 2 * r * spreads[0] * spreads[1]))
    assert (correlation(a, np.ones(500)), variance_ratio(a, a + 3)) == (None, None)


@pytest.mark.parametrize("values", [[], [[1.0]], [math.nan], [-math.inf], [math.inf]])
def test_values_that_mean_nothing_are_refused(values: list[float]) -> None:
    with pytest.raises(ValueError, match="expected"):
        dates(values)


def test_pairs_need_equal_numbers() -> None:
    with pytest.raises(ValueError, match="expected pairs"):
        paired(dates([1.0]), dates([1.0, 2.0]))


def skewed(generator: np.random.Generator, n: int) -> tuple[np.ndarray, np.ndarray]:
    """Two dates with common luck: gamma hours that both share, gamma hours of their own."""
    shared = generator.gamma(4.0, 6.0, n)
    return shared + generator.gamma(2.0, 5.0, n), shared + generator.gamma(3.0, 5.0, n)


def test_mean_difference_is_held_as_often_as_stated() -> None:
    """The true mean of A - B is 10 - 15."""

    def holds(generator: np.random.Generator) -> bool:
        a, b = skewed(generator, 60)
        mean = paired(dates(a), dates(b)).mean
        return mean is not None and mean.low <= -5.0 <= mean.high

    assert least_hits(0.95) <= hits(1, holds) <= most_hits(0.95)


def test_median_difference_and_chance_are_held_at_least_as_often_as_stated() -> None:
    """Truths by another 2 million draws; order statistics and Clopper-Pearson cover a little more than they say."""
    a, b = skewed(np.random.default_rng(99), 2_000_000)
    median, earlier = float(np.median(a - b)), float(np.mean(a < b))

    def holds(generator: np.random.Generator, of_median: bool) -> bool:
        a, b = skewed(generator, 60)
        pair = paired(dates(a), dates(b))
        if of_median:
            return pair.median.low <= median <= pair.median.high
        return pair.better.low <= earlier <= pair.better.high

    assert hits(2, lambda generator: holds(generator, True)) >= least_hits(0.95)
    assert hits(3, lambda generator: holds(generator, False)) >= least_hits(0.95)


def test_rank_statements_hold_where_the_horizon_hides_a_third() -> None:
    """The interval of the median still holds the truth, now more often than it need."""
    a, b = skewed(np.random.default_rng(98), 2_000_000)
    median = float(np.median(a - b))

    def holds(generator: np.random.Generator) -> bool:
        a, b = (np.where(each > 42.0, math.inf, each) for each in skewed(generator, 60))
        found = paired(dates(a, 42.0), dates(b, 42.0)).median
        return found.low <= median <= found.high

    assert hits(5, holds) >= least_hits(0.95)


@pytest.mark.parametrize("larger_is_better", [False, True])
def test_what_only_floating_point_tells_apart_is_level(larger_is_better: bool) -> None:
    """The same dates, counted from another start: two or three last bits of an hour make nobody earlier."""
    hours = np.linspace(500.0, 900.0, 40)
    again = (hours + 0.1) - 0.1
    again[0] += 1e-7
    assert (again != hours).any()
    pair = paired(dates(hours), dates(again), larger_is_better=larger_is_better)
    assert (pair.better.surely, pair.worse.surely, pair.level) == (0, 0, 40)
    assert pair.mean is not None
    assert (pair.mean.mean, pair.median.value) == (0.0, 0.0)
    bests = best_chances([dates(hours), dates(again)], larger_is_better=larger_is_better)
    assert [best.surely for best in bests] == [40, 40]
