"""Where one more step stops paying: the knee of a date over one number of the plan, with its interval.

Own definition, on the two-phase regression of Hudson 1966, "Fitting segmented curves whose join points have to be
estimated", Journal of the American Statistical Association 61 (from memory). The date over x is fitted, by least
squares over all places of the joint k, with two pieces that meet at k:

    before:  c + b (x - k)          or   c + b k (1 - k / x), as hours are over a rate, whichever fits better
    beyond:  c + d (x - k)

The joint is a knee where the step beyond it counts for at most a third of the step before it, or the other way round.
It is sought from the second value of x to the last but one; a joint that is found at an end of that may as well lie in
the outermost step, and its interval covers all of it. Otherwise the interval is a bootstrap over replications: whole
replications are drawn again, for all points at once, as all points share the luck. A knee is stated only if at least
95 % of those resamples have one of the same sort.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.statistics import quantile

Array = NDArray[np.float64]
Form = Callable[[Array, float], Array]  # zero at the joint, and of slope one there

LEAST_POINTS = 5  # one more than there are unknowns
RATIO = 3.0
RESAMPLES, PLACES, FINE = 400, 200, 60
ALIKE = 0.95
NOTHING = 1e-6  # of the values' own size: what arithmetic leaves of a level line


class Knee(NamedTuple):
    """The joint and its 95 % interval in units of x; slopes are hours per unit of x just before and beyond it."""

    place: float
    low: float
    high: float
    before: float
    beyond: float
    hour: float


class NoKnee(NamedTuple):
    """Why none is stated."""

    reason: str


class _Fit(NamedTuple):
    """Joint, slopes before and beyond, hour at the joint, and the squares left, of each column that was fitted."""

    place: Array
    before: Array
    beyond: Array
    hour: Array
    left: Array


def knee(x: Array, hours: Array, chance: float, generator: np.random.Generator) -> Knee | NoKnee:
    """The knee of the `chance` quantile of `hours` (a row for each x, a column for each replication) over x.

    Points whose quantile lies beyond the horizon (+inf) are left out.
    """
    values = np.array([quantile(row, chance) for row in hours])
    finite = np.isfinite(values)
    if finite.sum() < LEAST_POINTS:
        return NoKnee(f"it takes at least {LEAST_POINTS} points within the horizon")
    x, hours, values = x[finite], hours[finite], values[finite]
    if np.ptp(values) <= NOTHING * max(1.0, float(np.abs(values).max())):
        return NoKnee("the date does not answer to it at all")
    found = _fit(x, values[:, None])
    sort = _sort(found)[0]
    if sort == 0:
        return NoKnee("no step counts for much less than the one before it")
    again = _fit(x, _resampled(hours, chance, generator))
    alike = _sort(again) == sort
    if alike.mean() < ALIKE:
        shown = f"only {100 * alike.mean():.1f} % of resamples show one, of {100 * ALIKE:.0f} % wanted"
        return NoKnee(f"{shown}; play more replications")
    place, before, beyond, hour, _ = (float(each[0]) for each in found)
    low, high = _interval(np.append(again.place[alike], place), x)
    return Knee(place, low, high, before, beyond, hour)


def _interval(places: Array, x: Array) -> tuple[float, float]:
    """The middle 95 % of the joints; one at the outermost place it was sought at may as well lie further out."""
    low, high = (float(end) for end in np.quantile(places, [0.025, 0.975], method="inverted_cdf"))
    low, high = min(low, float(places[-1])), max(high, float(places[-1]))
    room = NOTHING * np.ptp(x)
    return float(x[0]) if low <= x[1] + room else low, float(x[-1]) if high >= x[-2] - room else high


def _sort(fit: _Fit) -> NDArray[np.int64]:
    """1 where the steps before the joint count and those beyond do not, -1 the other way round, 0 neither."""
    before, beyond = np.abs(fit.before), np.abs(fit.beyond)
    return np.where(before > RATIO * beyond, 1, np.where(beyond > RATIO * before, -1, 0))


def _resampled(hours: Array, chance: float, generator: np.random.Generator) -> Array:
    """Quantiles of replications drawn again, a column for each resample; what is beyond the horizon is at its worst."""
    finite = np.where(np.isfinite(hours), hours, hours[np.isfinite(hours)].max())
    n = finite.shape[1]
    rank = round(np.ceil(n * chance - 1e-9)) - 1
    drawn = generator.integers(0, n, size=(RESAMPLES, n))
    return np.array([np.partition(finite[:, columns], rank, axis=1)[:, rank] for columns in drawn]).T


def _fit(x: Array, values: Array) -> _Fit:
    """The best of all joints and both forms, for each column of values; a single one is then sought more closely."""
    places = np.linspace(x[1], x[-2], PLACES)
    forms = [_straight, _inverse] if x[0] > 0 else [_straight]
    fits = [_fit_form(x, values, form, places) for form in forms]
    if values.shape[1] == 1:
        fits = [_closer(x, values, form, fit) for form, fit in zip(forms, fits, strict=True)]
    trifle = 1e-18 * (values**2).sum(axis=0)  # of two perfect fits the straight one is taken
    best = np.argmin([fit.left + number * trifle for number, fit in enumerate(fits)], axis=0)
    return _Fit(*(np.choose(best, [fit[part] for fit in fits]) for part in range(len(_Fit._fields))))


def _closer(x: Array, values: Array, form: Form, fit: _Fit) -> _Fit:
    """The same fit with its joint sought between the neighbours of the best place, three times over."""
    width = float(x[-2] - x[1]) / (PLACES - 1)
    for _ in range(3):
        around = fit.place[0] + np.linspace(-width, width, 2 * FINE + 1)
        fit = _fit_form(x, values, form, around[(around >= x[1]) & (around <= x[-2])])
        width *= 2 / FINE
    return fit


def _fit_form(x: Array, values: Array, form: Form, places: Array) -> _Fit:
    """Least squares at every place of the joint, and the best place for each column of values."""
    designs = np.array([_design(x, form, place) for place in places])
    coefficients = np.linalg.pinv(designs) @ values  # place, coefficient, column
    left = ((designs @ coefficients - values) ** 2).sum(axis=1)
    best, columns = np.argmin(left, axis=0), np.arange(values.shape[1])
    hour, before, beyond = (coefficients[best, part, columns] for part in range(3))
    return _Fit(places[best], before, beyond, hour, left[best, columns])


def _design(x: Array, form: Form, place: float) -> Array:
    before = np.minimum(form(x, place), 0.0)
    return np.column_stack((np.ones_like(x), before, np.maximum(x - place, 0.0)))


def _straight(x: Array, place: float) -> Array:
    return x - place


def _inverse(x: Array, place: float) -> Array:
    """As straight at the joint, but bent as hours are over a rate."""
    return place - place**2 / x
