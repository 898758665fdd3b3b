"""From a chance to a value: the inverse distribution functions of the shapes of uncertainty."""

from __future__ import annotations

from math import exp, gamma

import numpy as np
from numpy.typing import NDArray

from sim.scenario.shapes import Empirical, Exponential, Gamma, Lognormal, Pert, Shape, Triangular, Uniform, Weibull

LEAST = 1e-4  # the ends of a distribution may lie at nought or at infinity


def value_at(shape: Shape, chance: NDArray[np.float64] | float) -> NDArray[np.float64]:
    """The values that are not exceeded with each chance, kept from 0.01 % to 99.99 %."""
    from scipy import stats

    u = np.clip(np.asarray(chance, dtype=float), LEAST, 1 - LEAST)
    match shape:
        case Triangular(low, mode, high):
            found = stats.triang.ppf(u, (mode - low) / (high - low), low, high - low)
        case Pert(low, mode, high):
            rise = 4 * (mode - low) / (high - low)
            found = stats.beta.ppf(u, 1 + rise, 5 - rise, low, high - low)
        case Uniform(low, high):
            found = low + (high - low) * u
        case Lognormal(mu, sigma):
            found = stats.lognorm.ppf(u, sigma, scale=exp(mu))
        case Gamma(mean, cv):
            found = stats.gamma.ppf(u, 1 / cv**2, scale=mean * cv**2)
        case Weibull(mean, k):
            found = stats.weibull_min.ppf(u, k, scale=mean / gamma(1 + 1 / k))
        case Exponential(mean):
            found = -mean * np.log1p(-u)
        case Empirical(values):
            found = np.sort(values)[np.floor(u * len(values)).astype(int)]
    return np.asarray(found, dtype=float)
