"""Fits, updates and intervals against numbers that others have published."""

from __future__ import annotations

from math import exp, inf, log, sqrt

import numpy as np
import pytest
from scipy import stats

from analysis.field.families import aicc, fit_all
from analysis.field.log_moments import LogMoments
from analysis.field.pace import autocorrelation, mean_of_days
from analysis.field.updating import update_chance, update_every, update_logs
from analysis.statistics import mean_interval
from sim.scenario.shapes import Exponential, Gamma, Lognormal, Weibull

FAILED_H = np.array([54.0, 187, 216, 240, 244, 335, 361, 373, 375, 386])
STILL_RUNNING_H = np.full(10, 500.0)
"""NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3: 20 units on test, 10 unfailed at 500 h."""

SPEED_OF_LIGHT = np.array(
    [
        850, 740, 900, 1070, 930, 850, 950, 980, 980, 880, 1000, 980, 930, 650, 760, 810, 1000, 1000, 960, 960,
        960, 940, 960, 940, 880, 800, 850, 880, 900, 840, 830, 790, 810, 880, 880, 830, 800, 790, 760, 800,
        880, 880, 880, 860, 720, 720, 620, 860, 970, 950, 880, 910, 850, 870, 840, 840, 850, 840, 840, 840,
        890, 810, 810, 820, 800, 770, 760, 740, 750, 760, 910, 920, 890, 860, 880, 720, 840, 850, 850, 780,
        890, 840, 780, 810, 760, 810, 790, 810, 820, 850, 870, 870, 810, 740, 810, 940, 950, 800, 810, 870,
    ]
)  # fmt: skip
"""Michelson 1879, km/s above 299 000: the data of NIST Statistical Reference Dataset Michelso (values from memory,
proved by its certified figures below)."""


def fit_of(family: str, done: np.ndarray, unfinished: np.ndarray):
    return next(fit for fit in fit_all(done, unfinished) if fit.family == family)


def test_weibull_with_unfinished_work_as_in_the_handbook() -> None:
    """Shape 1.7208 and scale 606.53 h by maximum likelihood (NIST/SEMATECH e-Handbook, section 8.4.1.3)."""
    shape = fit_of("weibull", FAILED_H, STILL_RUNNING_H).shape
    assert isinstance(shape, Weibull)
    assert shape.shape == pytest.approx(1.7208, rel=1e-4)
    assert stats.weibull_min(shape.shape, scale=606.5276).mean() == pytest.approx(shape.mean, rel=1e-4)


def test_exponential_with_unfinished_work_is_hours_over_failures() -> None:
    """Total time on test over failures: 7771 h / 10 (Epstein and Sobel 1953, from memory)."""
    shape = fit_of("exponential", FAILED_H, STILL_RUNNING_H).shape
    assert isinstance(shape, Exponential)
    assert shape.mean == pytest.approx(777.1, rel=1e-3)


@pytest.mark.parametrize("family", ["lognormal", "gamma", "weibull", "exponential"])
def test_nothing_near_the_fit_is_more_likely(family: str) -> None:
    """Likelihood by densities and survival functions of scipy.stats, written out here, falls on every side."""
    fit = fit_of(family, FAILED_H, STILL_RUNNING_H)
    known = {
        Lognormal: lambda s: (s.sigma, exp(s.mu)),
        Gamma: lambda s: (1 / s.cv**2, s.mean * s.cv**2),
        Weibull: lambda s: (s.shape, s.mean / stats.weibull_min(s.shape).mean()),
        Exponential: lambda s: (s.mean,),
    }
    best = known[type(fit.shape)](fit.shape)
    law = {"lognormal": stats.lognorm, "gamma": stats.gamma, "weibull": stats.weibull_min, "exponential": stats.expon}

    def likelihood(parameters) -> float:
        frozen = law[family](*parameters[:-1], scale=parameters[-1])
        return frozen.logpdf(FAILED_H).sum() + frozen.logsf(STILL_RUNNING_H).sum()

    assert likelihood(best) == pytest.approx(fit.log_likelihood, abs=1e-6)
    for which in range(len(best)):
        for step in (0.99, 1.01):
            moved = [each * (step if which == k else 1) for k, each in enumerate(best)]
            assert likelihood(moved) < fit.log_likelihood


def test_lognormal_without_unfinished_work_is_mean_and_deviation_of_logs() -> None:
    shape = fit_of("lognormal", FAILED_H, np.array([])).shape
    assert isinstance(shape, Lognormal)
    assert shape.mu == pytest.approx(np.log(FAILED_H).mean())
    assert shape.sigma == pytest.approx(np.log(FAILED_H).std())


def test_criterion_by_hand() -> None:
    """Two parameters, ln L = -20, n = 10: 4 + 40 + 12 / 7; one of n <= k + 1 has none."""
    assert aicc(-20, 2, 10) == pytest.approx(44 + 12 / 7)
    assert aicc(-20, 2, 3) == inf


def test_days_like_one_another_by_certified_figures() -> None:
    """NIST Statistical Reference Dataset Michelso: certified mean, deviation and lag-1 autocorrelation."""
    values = 299 + SPEED_OF_LIGHT / 1000
    estimate = mean_interval(values)
    assert estimate.mean == pytest.approx(299.8524, rel=1e-12)
    assert estimate.standard_deviation == pytest.approx(0.0790105478190518, rel=1e-10)
    assert autocorrelation(values) == pytest.approx(0.535199668621283, rel=1e-10)
    widened = mean_of_days(values)
    factor = sqrt((1 + 0.535199668621283) / (1 - 0.535199668621283))
    assert widened.high - widened.mean == pytest.approx(factor * (estimate.high - estimate.mean))


def test_autocorrelation_of_numbers_that_alternate() -> None:
    """NIST Statistical Reference Dataset NumAcc2: certified -0.999."""
    values = np.array([1.2, *[1.1, 1.3] * 500])
    assert autocorrelation(values) == pytest.approx(-0.999, abs=1e-12)
    assert mean_of_days(values) == mean_interval(values)


def test_beta_binomial_of_births() -> None:
    """437 of 980 under a uniform prior, which is worth one strike in two jobs: beta (438, 544), mean 0.446, 95 %
    interval 0.415 to 0.477 (Gelman et al., Bayesian Data Analysis, section 2.4, from memory)."""
    rate = update_chance(0.5, 1.0, 437, 980)
    assert (round(rate.value, 3), round(rate.low, 3), round(rate.high, 3)) == (0.446, 0.415, 0.477)


def test_gamma_poisson_of_asthma() -> None:
    """A gamma (3, 5) prior and 3 deaths under an exposure of 2: gamma (6, 7), mean 0.86; with 30 under 20: gamma
    (33, 25), mean 1.32 (Gelman et al., Bayesian Data Analysis, section 2.6, from memory)."""
    assert 1 / update_every(5 / 3, 3, 3, 2.0).value == pytest.approx(6 / 7)
    rate = update_every(5 / 3, 3, 30, 20.0)
    assert 1 / rate.value == pytest.approx(33 / 25)
    assert (1 / rate.high, 1 / rate.low) == pytest.approx(stats.gamma(33, scale=1 / 25).interval(0.95))


@pytest.mark.parametrize(("strikes", "low", "high"), [(1, 0.02532, 5.572), (5, 1.623, 11.668), (10, 4.795, 18.390)])
def test_exact_poisson_intervals(strikes: int, low: float, high: float) -> None:
    """95 % limits of a Poisson mean (Garwood 1936, Biometrika 28, 437-442; values from memory)."""
    rate = update_every(1.0, 0.0, strikes, 1000.0)
    assert (1000 / rate.data_high, 1000 / rate.data_low) == pytest.approx((low, high), rel=5e-4)


def test_no_strike_yet_leaves_the_upper_end_open() -> None:
    """The rule of three and a bit: 3.689 is the upper 97.5 % limit of none."""
    rate = update_every(100.0, 5.0, 0, 1000.0)
    assert (1000 / rate.data_low, rate.data, rate.data_high) == (pytest.approx(3.689, rel=1e-3), inf, inf)
    assert rate.value == pytest.approx((5 * 100 + 1000) / 5)


def test_normal_inverse_gamma_of_midges() -> None:
    """Nine wings of mean 1.804 and variance 0.0169, prior 1.9 and 0.01 worth one each: 1.814 and 0.0153, 10 of each
    (Hoff 2009, A First Course in Bayesian Statistical Methods, section 5.3, from memory)."""
    posterior = update_logs(LogMoments(1, 1.9, 0.01), LogMoments(9, 1.804, 0.0169 * 8 / 9))
    assert posterior.moments.n == 10
    assert posterior.moments.mean == pytest.approx(1.814, abs=5e-4)
    assert posterior.moments.variance == pytest.approx(0.0153, abs=5e-5)


def test_without_a_prior_it_is_students_interval() -> None:
    """Newcomb's 66 times of light: mean 26.2, deviation 10.8, interval 23.6 to 28.8 (Gelman et al., Bayesian Data
    Analysis, section 3.2, from memory)."""
    posterior = update_logs(LogMoments(0, 0.0, 0.0), LogMoments(66, 26.2, 10.8**2 * 65 / 66))
    assert (log(posterior.median_low), log(posterior.median_high)) == pytest.approx((23.6, 28.8), abs=0.06)
