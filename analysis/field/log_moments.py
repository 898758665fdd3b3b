"""Mean and variance of the logarithm of a duration, from its shape, and a shape from these."""

from __future__ import annotations

from math import exp, log, pi, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from sim.chance.sampling import mean
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

if TYPE_CHECKING:
    from numpy.typing import NDArray

EULER = 0.5772156649015329  # Euler's constant
FIXED_CV = 0.1  # assumption: what is stated without spread is known to about a tenth
LEAST_VARIANCE = 1e-6  # of a logarithm: below it, a duration is fixed
_SLICES = 2000


class LogMoments(NamedTuple):
    """Mean and variance of a logarithm, and on how many observations they rest."""

    n: float
    mean: float
    variance: float


def log_moments(shape: float | Shape, n: float) -> LogMoments:
    """Those of a shape, taken to be worth `n` observations; a fixed value is given a spread of a tenth.

    Formulae for gamma and Weibull: Johnson, Kotz and Balakrishnan, Continuous Univariate Distributions 1 (from memory).
    """
    from scipy.special import polygamma, psi

    match shape:
        case Lognormal(mu, sigma):
            return LogMoments(n, mu, sigma**2)
        case Gamma(mean_, cv):
            return LogMoments(n, float(psi(1 / cv**2)) + log(mean_ * cv**2), float(polygamma(1, 1 / cv**2)))
        case Weibull(mean_, k):
            return LogMoments(n, log(scale_of(shape)) - EULER / k, pi**2 / 6 / k**2)
        case Exponential(mean_):
            return LogMoments(n, log(mean_) - EULER, pi**2 / 6)
        case float() | int():
            variance = log(1 + FIXED_CV**2)
            return LogMoments(n, log(shape) - variance / 2, variance)
    logs = np.log(slices(shape))
    return LogMoments(n, float(logs.mean()), float(logs.var()))


def scale_of(shape: Weibull) -> float:
    """The scale of a Weibull: the value not exceeded with 63 % chance."""
    from scipy.special import gamma

    return float(shape.mean / gamma(1 + 1 / shape.shape))


def slices(shape: Shape) -> NDArray[np.float64]:
    """Values that stand for equal slices of probability."""
    if isinstance(shape, Empirical):
        return np.array([value for value in shape.values if value > 0])
    return np.asarray(frozen(shape).ppf((np.arange(_SLICES) + 0.5) / _SLICES), dtype=np.float64)


def frozen(shape: Shape) -> Any:
    """The shape as a distribution of scipy."""
    from scipy import stats

    match shape:
        case Triangular(low, mode, high):
            return stats.triang((mode - low) / (high - low), low, high - low)
        case Pert(low, mode, high):
            rise = 4 * (mode - low) / (high - low)
            return stats.beta(1 + rise, 5 - rise, low, high - low)
        case Uniform(low, high):
            return stats.uniform(low, high - low)
        case Lognormal(mu, sigma):
            return stats.lognorm(sigma, scale=exp(mu))
        case Gamma(mean_, cv):
            return stats.gamma(1 / cv**2, scale=mean_ * cv**2)
        case Weibull(_, k):
            return stats.weibull_min(k, scale=scale_of(shape))
        case Exponential(mean_):
            return stats.expon(scale=mean_)
    raise ValueError(f"{shape} has no density")


def shape_with(family: str, moments: LogMoments) -> float | Shape:
    """The member of a family with this mean and variance of the logarithm; a fixed value where there is no spread."""
    if moments.variance < LEAST_VARIANCE:
        return exp(moments.mean)
    if family == "gamma":
        return _gamma_with(moments)
    if family in {"weibull", "exponential"}:
        k = pi / sqrt(6 * moments.variance)
        return _by_scale(exp(moments.mean + EULER / k), k)
    return Lognormal(moments.mean, sqrt(moments.variance))


def _by_scale(scale: float, k: float) -> Weibull:
    from scipy.special import gamma

    return Weibull(float(scale * gamma(1 + 1 / k)), k)


def _gamma_with(moments: LogMoments) -> Gamma:
    from scipy.optimize import brentq
    from scipy.special import polygamma, psi

    log_k = brentq(lambda x: float(polygamma(1, exp(x))) - moments.variance, -12.0, 25.0)
    k = exp(log_k)
    return Gamma(k * exp(moments.mean - float(psi(k))), 1 / sqrt(k))


def cv_of(shape: float | Shape) -> float:
    """Standard deviation over mean."""
    if isinstance(shape, (float, int)):
        return 0.0
    if isinstance(shape, Empirical):
        return float(np.std(shape.values) / mean(shape))
    return float(frozen(shape).std() / mean(shape))
