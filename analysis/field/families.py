"""Which family of distributions durations follow: fitted with unfinished work as what it is, and compared."""

from __future__ import annotations

from math import exp, inf, log, pi, sqrt
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.field.log_moments import EULER
from sim.scenario.shapes import Exponential, Gamma, Lognormal, Shape, Weibull

Hours = NDArray[np.float64]

LEAST_TO_CHOOSE = 8  # with fewer, no criterion tells families apart; the lognormal is taken
MOST_TESTED = 100  # of very many observations so many, evenly spaced, are tested: any rounding shows in thousands
RESAMPLES = 199
LEAST_SPREAD = 1e-4  # of logarithms


class Fit(NamedTuple):
    """One family at its most likely parameters, location zero."""

    family: str
    shape: Shape
    log_likelihood: float
    parameters: int
    aicc: float


def fit_all(done: Hours, unfinished: Hours) -> list[Fit]:
    """All families, the best first, by maximum likelihood; `unfinished` hours are right-censored.

    Compared by AICc = 2 k - 2 ln L + 2 k (k + 1) / (n - k - 1), Akaike's criterion for small samples (Hurvich and
    Tsai 1989, Biometrika 76, 297-307, from memory), n being the observations that ended. Empty where nothing can be
    fitted: fewer than two ended, or all took the same time.
    """
    if len(done) < 2 or np.log(done).std() < LEAST_SPREAD:
        return []
    fits = [_fit(family, done, unfinished) for family in _FITTED]
    return sorted(fits, key=lambda fit: fit.aicc)


def choose(fits: list[Fit], n: int) -> Fit | None:
    """The best, or the lognormal where there is too little to choose by."""
    if not fits:
        return None
    return fits[0] if n >= LEAST_TO_CHOOSE else next(fit for fit in fits if fit.family == "lognormal")


def goodness_of_fit(fit: Fit, done: Hours, unfinished: Hours) -> float | None:
    """Chance of a worse Anderson-Darling distance if the family were right, by resampling with refitting.

    None with fewer than 8 observations, or where more than a tenth is unfinished: then what ended is no fair sample.
    Source: Stute, Gonzalez Manteiga and Presedo Quindimil 1993, Metrika 40, 243-256 (from memory).
    """
    from scipy import stats

    if len(done) < LEAST_TO_CHOOSE or len(unfinished) > len(done) / 10:
        return None
    some = np.sort(done)[np.unique(np.linspace(0, len(done) - 1, min(len(done), MOST_TESTED)).astype(int))]
    name, guess = _FITTED[fit.family][0], _guess(fit.family, done)
    keywords: dict[str, Any] = (
        {"guessed_params": dict(zip(_NAMES[fit.family], guess, strict=True))} if fit.family == "weibull" else {}
    )
    found = stats.goodness_of_fit(
        getattr(stats, name),
        some,
        known_params={"loc": 0},
        statistic="ad",
        n_mc_samples=RESAMPLES,
        rng=np.random.default_rng(0),
        **keywords,
    )
    return float(found.pvalue)


def aicc(log_likelihood: float, parameters: int, n: int) -> float:
    """Akaike's criterion corrected for small samples; infinite where there are too few for it."""
    if n <= parameters + 1:
        return inf
    return 2 * parameters - 2 * log_likelihood + 2 * parameters * (parameters + 1) / (n - parameters - 1)


def _fit(family: str, done: Hours, unfinished: Hours) -> Fit:
    from scipy import stats

    name, to_shape, parameters = _FITTED[family]
    distribution = getattr(stats, name)
    data: Any = stats.CensoredData(uncensored=done, right=unfinished) if len(unfinished) else done
    with np.errstate(all="ignore"):
        *shapes, _, scale = distribution.fit(data, *_guess(family, done)[:-1], floc=0, scale=_guess(family, done)[-1])
        known = distribution(*shapes, scale=scale)
        log_likelihood = float(known.logpdf(done).sum() + known.logsf(unfinished).sum())
    shape = to_shape(*(float(each) for each in (*shapes, scale)))
    return Fit(family, shape, log_likelihood, parameters, aicc(log_likelihood, parameters, len(done)))


def _guess(family: str, done: Hours) -> tuple[float, ...]:
    """Where to begin: the parameters that the logarithms of what ended suggest."""
    center, spread = float(np.log(done).mean()), max(float(np.log(done).std()), LEAST_SPREAD)
    match family:
        case "lognormal":
            return (spread, exp(center))
        case "gamma":
            return (1 / spread**2, exp(center) * spread**2)
        case "weibull":
            k = pi / sqrt(6) / spread
            return (k, exp(center + EULER / k))
    return (float(done.mean()),)


def _weibull(k: float, scale: float) -> Weibull:
    from scipy.special import gamma

    return Weibull(float(scale * gamma(1 + 1 / k)), k)


_FITTED: dict[str, tuple[str, Any, int]] = {
    "lognormal": ("lognorm", lambda sigma, scale: Lognormal(log(scale), sigma), 2),
    "gamma": ("gamma", lambda k, scale: Gamma(k * scale, 1 / sqrt(k)), 2),
    "weibull": ("weibull_min", _weibull, 2),
    "exponential": ("expon", Exponential, 1),
}
_NAMES = {"lognormal": ("s", "scale"), "gamma": ("a", "scale"), "weibull": ("c", "scale"), "exponential": ("scale",)}
