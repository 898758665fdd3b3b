"""Means freed of known luck: unbiased, as sure as they say, and with the variance that theory leaves."""

from __future__ import annotations

import numpy as np
import pytest
from repeats import hits, least_hits, most_hits

from analysis.checking.averages import AVERAGE
from analysis.forecasting.control_variates import controlled_mean, controls_of, flowback_hours
from analysis.statistics import mean_interval
from sim.scenario.loading import load
from tests.theory.tolerance import assert_mean

SCENARIO = "scenarios/six_well_pad.yaml"
TRUTH = 50.0


def dates_and_controls(generator: np.random.Generator, n: int = 80) -> tuple[np.ndarray, np.ndarray]:
    """Dates that hang together with two of three known hours; three quarters of their variance is theirs."""
    hours = generator.gamma(4.0, 2.5, (n, 3))  # mean 10, variance 25
    own = generator.normal(0.0, np.sqrt(2 * 25.0 / 3.0), n)
    return TRUTH + (hours[:, 0] - 10.0) + (hours[:, 1] - 10.0) + own, hours


def test_holds_the_truth_as_often_as_it_says() -> None:
    def holds(generator: np.random.Generator) -> bool:
        values, controls = dates_and_controls(generator)
        found = controlled_mean(values, controls, [10.0, 10.0, 10.0])
        return found.low <= TRUTH <= found.high

    assert least_hits(0.95) <= hits(41, holds) <= most_hits(0.95)


def test_variance_is_cut_as_theory_says() -> None:
    """Of multiple correlation R2 = 3/4 a factor 4 is to be had, less (n - 2) / (n - q - 2) for fitting q controls.

    Source: Lavenberg and Welch 1981 (from memory).
    """
    generator = np.random.default_rng(42)
    means, plain, factors = [], [], []
    for _ in range(2000):
        values, controls = dates_and_controls(generator)
        found = controlled_mean(values, controls, [10.0, 10.0, 10.0])
        means.append(found.mean)
        plain.append(values.mean())
        factors.append(found.factor)
    assert_mean(means, TRUTH)
    expected = 4.0 * (80 - 3 - 2) / (80 - 2)
    assert np.var(plain) / np.var(means) == pytest.approx(expected, rel=0.12)  # 1.96 sqrt(4 / 2000)
    assert np.mean(factors) == pytest.approx(expected, rel=0.12)


def test_useless_controls_leave_the_plain_mean() -> None:
    """Noise, constants, too few values, unfinished values: the plain interval stands, and the factor is 1."""
    generator = np.random.default_rng(43)
    values, noise = generator.normal(size=200), generator.normal(size=(200, 1))
    plain = mean_interval(values)
    constant = controlled_mean(values, np.ones((200, 2)), [1.0, 1.0])
    assert (constant.mean, constant.low, constant.high, constant.factor) == (plain.mean, plain.low, plain.high, 1.0)
    assert controlled_mean(values[:9], noise[:9], [0.0]).factor == 1.0
    unfinished = controlled_mean(np.append(values, np.inf), np.append(noise, [[0.0]], axis=0), [0.0])
    assert (unfinished.mean, unfinished.factor) == (np.inf, 1.0)


def test_stated_means_of_flowback_are_those_of_its_draws() -> None:
    """What the scenario says of each well's flowback hours is their mean over replications, within its error."""
    scenario = load(SCENARIO)
    drawn, expected = controls_of(scenario, range(4000), 7)
    assert expected == flowback_hours(scenario, AVERAGE)
    for well, mean in enumerate(expected):
        assert_mean(drawn[:, well], mean)
