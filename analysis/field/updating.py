"""What the plan says and what the field showed, put together by Bayes' rule with conjugate distributions.

The plan counts as if it had been observed a stated number of times. Sources: Gelman et al., Bayesian Data Analysis,
chapters 2 and 3; Murphy 2007, Conjugate Bayesian analysis of the Gaussian distribution (both from memory).
"""

from __future__ import annotations

from math import exp, inf, sqrt
from typing import NamedTuple

from analysis.field.log_moments import LogMoments


class Posterior(NamedTuple):
    """Logarithms after the update, and the interval of the median, e to the power of their mean."""

    moments: LogMoments
    median_low: float
    median_high: float


class Rate(NamedTuple):
    """A chance or a mean time between strikes: after the update, and its interval; and the same by the data alone.

    `known_by` are the two parameters of the distribution after the update: those of the beta of a chance, or strikes
    and hours of the gamma of a rate; None where that is no distribution.
    """

    value: float
    low: float
    high: float
    data: float
    data_low: float
    data_high: float
    known_by: tuple[float, float] | None = None


def update_logs(prior: LogMoments, seen: LogMoments, confidence: float = 0.95) -> Posterior:
    """Normal logarithms with unknown mean and variance, under a normal-inverse-gamma prior.

    With k0 and n observations: k = k0 + n; m = (k0 m0 + n x) / k; k s^2 = k0 s0^2 + n v + k0 n / k (x - m0)^2.
    The mean then is m + s / sqrt(k) times Student's t with k degrees of freedom. A prior worth nothing leaves what
    was seen, with Student's usual interval (n - 1 degrees of freedom).
    """
    from scipy.special import stdtrit

    weight = prior.n + seen.n
    mean = (prior.n * prior.mean + seen.n * seen.mean) / weight
    between = prior.n * seen.n / weight * (seen.mean - prior.mean) ** 2
    squares = prior.n * prior.variance + seen.n * seen.variance + between
    degrees = weight if prior.n > 0 else weight - 1
    half = inf
    if degrees > 0:
        half = float(stdtrit(degrees, (1 + confidence) / 2)) * sqrt(squares / degrees / weight)
    moments = LogMoments(weight, mean, squares / weight)
    return Posterior(moments, exp(mean - half), exp(mean + half) if half < inf else inf)


def update_chance(prior: float, strikes_worth: float, strikes: int, jobs: int, confidence: float = 0.95) -> Rate:
    """A chance under a beta prior that is worth so many strikes; by the data alone: Clopper and Pearson's interval.

    Strikes of a chance of 0 would have taken jobs without end to see, and no beta distribution holds them: such a
    prior weighs nothing, and the field alone says what the chance is.
    """
    from scipy.special import betaincinv

    from analysis.statistics import share_interval

    worth = strikes_worth if prior > 0 else 0.0
    a, b = worth + strikes, float(jobs - strikes)
    b += worth * (1 - prior) / prior if worth else 0.0
    seen = share_interval(strikes, jobs, confidence)
    if a <= 0 or b <= 0:
        return Rate(*seen[:3], *seen[:3])
    low, high = (float(betaincinv(a, b, (1 + sign * confidence) / 2)) for sign in (-1, 1))
    return Rate(a / (a + b), low, high, *seen[:3], (a, b))


def update_every(prior: float, strikes_worth: float, strikes: int, hours: float, confidence: float = 0.95) -> Rate:
    """Mean hours between strikes under a gamma prior of the rate that is worth so many strikes.

    By the data alone: the exact Poisson interval (Garwood 1936, Biometrika 28, 437-442, from memory).
    """
    from scipy.special import gammaincinv

    a, exposure = strikes_worth + strikes, strikes_worth * prior + hours
    data = hours / strikes if strikes else inf
    tail = (1 - confidence) / 2
    data_high = hours / float(gammaincinv(strikes, tail)) if strikes else inf
    data_low = hours / float(gammaincinv(strikes + 1, 1 - tail))
    if a <= 0:
        return Rate(data, data_low, data_high, data, data_low, data_high)
    low, high = exposure / float(gammaincinv(a, 1 - tail)), exposure / float(gammaincinv(a, tail))
    return Rate(exposure / a, low, high, data, data_low, data_high, (a, exposure))
