"""Inverse distribution functions against the sampler of luck, which the theory tests hold to scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from analysis.studies.quantile_functions import value_at
from sim.chance.sampling import sample
from sim.scenario.shapes import Empirical, Exponential, Gamma, Lognormal, Pert, Shape, Triangular, Uniform, Weibull

SHAPES: list[Shape] = [
    Triangular(1, 2, 6),
    Pert(1, 2, 6),
    Uniform(2, 5),
    Lognormal(1.0, 0.4),
    Gamma(5, 0.5),
    Weibull(5, 1.7),
    Exponential(4),
]


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: type(shape).__name__)
def test_draws_do_not_exceed_a_value_as_often_as_it_says(shape: Shape) -> None:
    """Of 20 000 draws the number below is binomial; 1 in 10 000 may be off for each."""
    drawn = sample(shape, np.random.default_rng(2), 20_000)
    for chance in (0.05, 0.3, 0.5, 0.9):
        below = int((drawn <= value_at(shape, chance)).sum())
        assert stats.binomtest(below, 20_000, chance).pvalue > 1e-4


def test_published_quantiles() -> None:
    """P10, P50 and P90 of a triangular and a PERT distribution, as scipy gives them; a lognormal by its percentiles."""
    chances = np.array([0.1, 0.5, 0.9])
    assert value_at(Triangular(90, 120, 210), chances) == pytest.approx([108.973666, 136.515307, 177.136647])
    assert value_at(Pert(90, 120, 210), chances) == pytest.approx([103.468195, 127.657220, 160.066845])
    assert value_at(Lognormal(4.9234586, 0.33057502), chances) == pytest.approx([90, 137.477271, 210], rel=1e-6)


def test_records_are_taken_each_as_often() -> None:
    """Every third of the chances leads to one of three values, in rising order."""
    found = value_at(Empirical((7.0, 1.0, 4.0)), np.array([0.0, 0.2, 0.34, 0.6, 0.7, 1.0]))
    assert found.tolist() == [1, 1, 4, 4, 7, 7]


def test_no_value_lies_at_infinity() -> None:
    """Chances of nought and one lead to finite values above nothing."""
    for shape in (Lognormal(0, 2), Exponential(3), Gamma(2, 3), Weibull(1, 0.5)):
        assert np.all(np.isfinite(value_at(shape, np.array([0.0, 1.0]))))
