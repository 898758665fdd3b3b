"""Every shape of uncertainty against scipy.stats: means, variances, quantiles, and three worked in published form."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter
from scipy import stats

from sim.chance.sampling import mean, sample
from sim.scenario.durations import Duration
from sim.scenario.shapes import (
    Empirical,
    Exponential,
    Gamma,
    Lognormal,
    Pert,
    Shape,
    Triangular,
    Uniform,
    Weibull,
)
from tests.theory.tolerance import assert_mean, assert_quantiles, assert_variance

N = 40_000
LEVELS = [0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99]


def law(shape: Shape) -> Any:
    """The same shape as scipy states it."""
    match shape:
        case Triangular(low, mode, high):
            return stats.triang((mode - low) / (high - low), low, high - low)
        case Pert(low, mode, high):  # alpha and beta as in Malcolm et al. 1959, from memory
            middle = (low + 4 * mode + high) / 6
            alpha = 6 * (middle - low) / (high - low)
            return stats.beta(alpha, 6 - alpha, low, high - low)
        case Uniform(low, high):
            return stats.uniform(low, high - low)
        case Lognormal(mu, sigma):
            return stats.lognorm(sigma, scale=np.exp(mu))
        case Gamma(average, cv):
            return stats.gamma(cv**-2, scale=average * cv**2)
        case Weibull(average, k):
            return stats.weibull_min(k, scale=average / stats.weibull_min(k).mean())
        case Exponential(average):
            return stats.expon(scale=average)
        case Empirical(values):
            different, counts = np.unique(values, return_counts=True)
            return stats.rv_discrete(values=(np.arange(len(different)), counts / counts.sum()))
    raise AssertionError(shape)


SHAPES = [
    Triangular(90, 120, 210),
    Triangular(1, 1, 2),
    Triangular(1, 2, 2),
    Pert(90, 120, 210),
    Pert(0.95, 1.0, 1.5),
    Pert(0, 0, 3),
    Uniform(2, 7),
    Lognormal(4.9234586, 0.33057502),
    Lognormal(0.0, 0.1),
    Gamma(120, 0.5),
    Gamma(30, 1.5),
    Weibull(10, 0.8),
    Weibull(10, 3.6),
    Exponential(72),
]


@pytest.mark.parametrize("shape", SHAPES, ids=str)
def test_sample_follows_its_law(shape: Shape) -> None:
    """Mean, variance and quantiles of a sample, and the whole distribution by Kolmogorov and Smirnov."""
    values, expected = sample(shape, np.random.default_rng(8), N), law(shape)
    kurtosis = float(expected.stats(moments="k"))
    assert_mean(values, expected.mean(), power=0.02)
    assert_variance(values, expected.var(), kurtosis, power=0.1)
    assert_quantiles(values, LEVELS, expected.ppf(LEVELS))
    assert stats.kstest(values, expected.cdf).pvalue > 1e-4


def test_observed_values_come_equally_often() -> None:
    """An empirical shape gives each observation its share, repeated ones more (chi-square)."""
    shape = Empirical((3.0, 5.0, 5.0, 8.0, 13.0))
    values = sample(shape, np.random.default_rng(9), N)
    found, counts = np.unique(values, return_counts=True)
    assert found.tolist() == [3, 5, 8, 13]
    assert stats.chisquare(counts, N * np.array([0.2, 0.4, 0.2, 0.2])).pvalue > 1e-4
    assert mean(shape) == pytest.approx(6.8)


def test_a_fixed_time_is_no_gamble() -> None:
    """A plain number is drawn as itself."""
    assert sample(2.5, np.random.default_rng(0), 3).tolist() == [2.5, 2.5, 2.5]
    assert mean(2.5) == 2.5


positive = st.floats(0.01, 1000)
spread = st.floats(0.1, 2)
ends = st.tuples(positive, st.floats(0, 1), st.floats(0.1, 500)).map(
    lambda parts: (parts[0], parts[0] + parts[1] * parts[2], parts[0] + parts[2])
)
any_shape = st.one_of(
    ends.map(lambda three: Triangular(*three)),
    ends.map(lambda three: Pert(*three)),
    ends.map(lambda three: Uniform(three[0], three[2])),
    st.builds(Lognormal, st.floats(-2, 5), st.floats(0.01, 1)),
    st.builds(Gamma, positive, spread),
    st.builds(Weibull, positive, st.floats(0.5, 10)),
    st.builds(Exponential, positive),
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(any_shape)
def test_mean_is_the_mean_of_the_law(shape: Shape) -> None:
    """The exact mean that a plan of averages uses."""
    assert mean(shape) == pytest.approx(law(shape).mean(), rel=1e-9)


def stated(text: dict[str, Any]) -> Any:
    """A duration as a scenario states it, in hours."""
    return TypeAdapter(Duration).validate_python(text)


def in_minutes(shape: Shape) -> np.ndarray:
    return 60 * sample(shape, np.random.default_rng(10), N)


def test_pert_as_published() -> None:
    """PERT (90, 120, 210) min: mean 130, true variance 457.142857, not the classic ((b-a)/6)^2 = 400 (N7).

    Malcolm et al. 1959, from memory; percentiles by scipy.
    """
    shape = stated({"pert": ["90 min", "120 min", "210 min"]})
    values = in_minutes(shape)
    assert 60 * mean(shape) == pytest.approx(130)
    assert law(shape).var() * 3600 == pytest.approx(457.142857, rel=1e-8)
    assert_mean(values, 130, power=0.002)
    assert_variance(values, 457.142857, float(law(shape).stats(moments="k")), power=0.02)
    assert_quantiles(values, [0.1, 0.5, 0.9], [103.468195, 127.657220, 160.066845])
    with pytest.raises(AssertionError):
        assert_variance(values, 400, float(law(shape).stats(moments="k")))


def test_triangular_as_published() -> None:
    """Triangular (90, 120, 210) min: mean 140, variance 650, percentiles by scipy (N8)."""
    shape = stated({"triangular": ["90 min", "120 min", "210 min"]})
    values = in_minutes(shape)
    assert 60 * mean(shape) == pytest.approx(140)
    assert_variance(values, 650, float(law(shape).stats(moments="k")), power=0.02)
    assert_quantiles(values, [0.1, 0.5, 0.9], [108.973666, 136.515307, 177.136647])


def test_lognormal_by_percentiles() -> None:
    """P10 90 min and P90 210 min: mu, sigma, median and mean as scipy gives them, and the percentiles hold (N9)."""
    shape = stated({"lognormal": {"P10": "90 min", "P90": "210 min"}})
    assert (shape.mu + np.log(60), shape.sigma) == pytest.approx((4.9234586, 0.33057502), rel=1e-8)
    assert 60 * np.exp(shape.mu) == pytest.approx(137.477271, rel=1e-8)
    assert 60 * mean(shape) == pytest.approx(145.198028, rel=1e-8)
    assert_quantiles(in_minutes(shape), [0.1, 0.5, 0.9], [90, 137.477271, 210])


@pytest.mark.parametrize("kind", ["lognormal", "gamma"])
@pytest.mark.parametrize("cv", [0.1, 0.5, 1.2])
def test_mean_and_cv_mean_what_they_say(kind: str, cv: float) -> None:
    """A shape stated by mean and cv has that mean and that cv."""
    shape = stated({kind: {"mean": "120 min", "cv": cv}})
    assert mean(shape) == pytest.approx(2, rel=1e-12)
    assert law(shape).std() / law(shape).mean() == pytest.approx(cv, rel=1e-9)
    assert_mean(sample(shape, np.random.default_rng(11), N), 2)
