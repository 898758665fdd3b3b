"""Drawing from the shapes of uncertainty, and their exact means."""

from __future__ import annotations

from math import exp, gamma

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

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


def sample(shape: float | Shape, generator: Generator, n: int) -> NDArray[np.float64]:
    """`n` independent draws."""
    match shape:
        case Triangular(low, mode, high):
            return generator.triangular(low, mode, high, n)
        case Pert(low, mode, high):
            a, b = _beta(low, mode, high)
            return low + (high - low) * generator.beta(a, b, n)
        case Uniform(low, high):
            return generator.uniform(low, high, n)
        case Lognormal(mu, sigma):
            return generator.lognormal(mu, sigma, n)
        case Gamma(mean_, cv):
            return generator.gamma(1 / cv**2, mean_ * cv**2, n)
        case Weibull(mean_, k):
            return mean_ / gamma(1 + 1 / k) * generator.weibull(k, n)
        case Exponential(mean_):
            return generator.exponential(mean_, n)
        case Empirical(values):
            return np.asarray(values)[generator.integers(0, len(values), n)]
        case _:
            return np.full(n, float(shape))


def mean(shape: float | Shape) -> float:
    """Expected value."""
    match shape:
        case Triangular(low, mode, high):
            return (low + mode + high) / 3
        case Pert(low, mode, high):
            return (low + 4 * mode + high) / 6
        case Uniform(low, high):
            return (low + high) / 2
        case Lognormal(mu, sigma):
            return exp(mu + sigma**2 / 2)
        case Gamma(mean_, _) | Weibull(mean_, _) | Exponential(mean_):
            return mean_
        case Empirical(values):
            return sum(values) / len(values)
        case _:
            return float(shape)


def _beta(low: float, mode: float, high: float) -> tuple[float, float]:
    """The two shape parameters of a PERT beta: 1 + 4 (mode - low) / range, and its mirror image."""
    rise = 4 * (mode - low) / (high - low)
    return 1 + rise, 5 - rise
