"""What must hold of any update and of the shapes it ends in."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from analysis.field.log_moments import LogMoments, cv_of, frozen, log_moments, shape_with
from analysis.field.updating import update_chance, update_logs
from analysis.field.written_values import shape_text, times
from sim.chance.sampling import mean
from sim.scenario.quantities import TIME, parse
from sim.scenario.shapes import Empirical, Exponential, Gamma, Lognormal, Pert, Shape, Triangular, Uniform, Weibull

SHAPES: list[Shape] = [
    Triangular(2, 3, 7),
    Pert(0.9, 1.0, 1.6),
    Uniform(2, 5),
    Lognormal(1.2, 0.4),
    Gamma(5, 0.5),
    Weibull(3, 1.7),
    Exponential(4),
]
moments = st.builds(LogMoments, st.floats(0.5, 500), st.floats(-3, 6), st.floats(1e-4, 2))


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_log_moments_by_numerical_integration(shape: Shape) -> None:
    """Against scipy's quadrature of the density."""
    known = frozen(shape)
    expected = known.expect(np.log)
    found = log_moments(shape, 7)
    assert found.n == 7
    assert found.mean == pytest.approx(expected, abs=2e-3)
    assert found.variance == pytest.approx(known.expect(lambda x: (np.log(x) - expected) ** 2), rel=1e-2)
    assert known.mean() == pytest.approx(mean(shape))
    assert cv_of(shape) == pytest.approx(known.std() / known.mean())


def test_observed_values_are_taken_as_they_are() -> None:
    found = log_moments(Empirical((1.0, 1.0, 4.0)), 1)
    assert found.mean == pytest.approx(log(4) / 3)


@settings(derandomize=True, deadline=None)
@given(st.sampled_from(["lognormal", "gamma", "weibull"]), moments)
def test_a_shape_with_given_log_moments_has_them(family: str, wanted: LogMoments) -> None:
    found = log_moments(shape_with(family, wanted), wanted.n)
    assert (found.mean, found.variance) == pytest.approx((wanted.mean, wanted.variance), rel=1e-6, abs=1e-6)


@settings(derandomize=True, deadline=None)
@given(moments, moments)
def test_the_update_lies_between_plan_and_field(prior: LogMoments, seen: LogMoments) -> None:
    posterior = update_logs(prior, seen)
    low, high = sorted((prior.mean, seen.mean))
    assert low - 1e-9 <= posterior.moments.mean <= high + 1e-9
    assert posterior.median_low <= exp(posterior.moments.mean) <= posterior.median_high


@settings(derandomize=True, deadline=None)
@given(moments, moments)
def test_observations_that_come_one_after_the_other_count_as_if_they_came_at_once(a: LogMoments, b: LogMoments) -> None:
    """Today's update is tomorrow's prior."""
    prior = LogMoments(5, 1.0, 0.1)
    n = a.n + b.n
    pooled_mean = (a.n * a.mean + b.n * b.mean) / n
    pooled = (a.n * (a.variance + a.mean**2) + b.n * (b.variance + b.mean**2)) / n - pooled_mean**2
    once = update_logs(prior, LogMoments(n, pooled_mean, pooled)).moments
    twice = update_logs(update_logs(prior, a).moments, b).moments
    assert tuple(once) == pytest.approx(tuple(twice), rel=1e-6, abs=1e-6)


def test_a_chance_is_that_of_the_exact_posterior() -> None:
    """Against scipy's beta: a plan of 2 % worth five strikes, 9 in 300 jobs."""
    rate = update_chance(0.02, 5, 9, 300)
    known = stats.beta(5 + 9, 5 * 0.98 / 0.02 + 291)
    assert (rate.value, rate.low, rate.high) == pytest.approx((known.mean(), *known.interval(0.95)))


@pytest.mark.parametrize(("strikes", "jobs"), [(0, 40), (3, 40)])
def test_a_chance_of_nought_weighs_nothing(strikes: int, jobs: int) -> None:
    """The field alone then, as under a prior that is worth nothing: 0 of 40 stays 0 %, 3 of 40 is 7.5 %."""
    rate = update_chance(0.0, 5, strikes, jobs)
    assert rate == update_chance(0.02, 0, strikes, jobs)
    assert rate.value == strikes / jobs
    assert rate.value == pytest.approx(0.0 if not strikes else stats.beta(strikes, jobs - strikes).mean())


def test_a_chance_near_nought_stays_there_without_a_strike() -> None:
    """No jump on the way to 0: the smaller the plan's chance, the smaller that of both."""
    chances = [update_chance(prior, 5, 0, 40).value for prior in (0.0, 1e-9, 1e-4, 1e-2)]
    assert chances == sorted(chances)
    assert chances[1] == pytest.approx(1e-9, rel=1e-6)


def test_intervals_cover_as_often_as_they_say() -> None:
    """1000 samples of six, no prior: the interval of the median holds it in 95 %, within four standard errors."""
    draws = np.random.default_rng(1).normal(2.0, 0.3, (1000, 6))
    hits = 0
    for logs in draws:
        posterior = update_logs(LogMoments(0, 0, 0), LogMoments(6, float(logs.mean()), float(logs.var())))
        hits += posterior.median_low <= exp(2.0) <= posterior.median_high
    assert abs(hits - 950) < 4 * np.sqrt(1000 * 0.95 * 0.05)


@settings(derandomize=True, deadline=None)
@given(st.floats(1e-3, 1e4))
def test_times_read_back_as_written(hours: float) -> None:
    """To four digits, in whatever unit."""
    assert parse(times(hours), TIME) == pytest.approx(hours, rel=6e-4)


def test_shapes_are_written_as_a_scenario_states_them() -> None:
    assert shape_text(Lognormal(log(2), 0.0001), times) == {"lognormal": {"mean": "2 h", "cv": 0.001}}
    assert shape_text(Weibull(0.5, 2.0), times) == {"weibull": {"mean": "30 min", "shape": 2.0}}
    assert shape_text(100.0, times) == "4.167 day"
