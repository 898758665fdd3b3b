"""Values as a scenario file states them: times with a unit that suits them, shapes by their usual parameters."""

from __future__ import annotations

from math import floor, inf, log10
from typing import Any

from analysis.field.log_moments import cv_of
from sim.chance.sampling import mean
from sim.scenario.shapes import Exponential, Gamma, Lognormal, Shape, Weibull

LEAST_CV, MOST_CV = 0.001, 10.0  # what a scenario takes
_UNITS = (("min", 1 / 60, 2.0), ("h", 1.0, 72.0), ("day", 24.0, inf))  # hours in each, and up to which it is used


def unit_for(hours: float) -> str:
    """The unit that suits a time."""
    return next(unit for unit, _, most in _UNITS if hours < most)


def times(hours: float) -> str:
    """`'45 min'`: four digits, which is more than any log supports."""
    unit = unit_for(hours) if hours < inf else "day"
    return f"{_digits(hours / _EACH_H[unit])} {unit}"


def like(hours: float, other_h: float) -> str:
    """A time to three digits in the unit that suits another, without the unit."""
    return f"{float(f'{hours / _EACH_H[unit_for(other_h)]:.3g}'):g}"


_EACH_H = {unit: each_h for unit, each_h, _ in _UNITS}


def numbers(factor: float) -> float:
    """A plain number with four digits."""
    return float(_digits(factor))


def speeds(feet_per_hour: float) -> str:
    """Feet per minute."""
    return f"{_digits(feet_per_hour / 60)} ft/min"


def percentages(share: float) -> str:
    """`'1.5 %'`."""
    return f"{_digits(100 * share)} %"


def shape_text(shape: float | Shape, written: Any) -> Any:
    """The shape as a scenario states it; `written` puts its values into words with their unit."""
    match shape:
        case Weibull(mean_, k):
            return {"weibull": {"mean": written(mean_), "shape": numbers(min(max(k, 0.1), 100.0))}}
        case Exponential(mean_):
            return {"exponential": written(mean_)}
        case Gamma(mean_, _):
            return {"gamma": {"mean": written(mean_), "cv": _cv(shape)}}
        case Lognormal():
            return {"lognormal": {"mean": written(mean(shape)), "cv": _cv(shape)}}
    return written(float(shape))  # type: ignore[arg-type] # nothing else comes out of a calibration


def _cv(shape: Shape) -> float:
    return numbers(min(max(cv_of(shape), LEAST_CV), MOST_CV))


def _digits(value: float) -> str:
    """Four significant digits, never in powers of ten."""
    if not 0 < abs(value) < inf:
        return "0"
    decimals = max(0, 3 - floor(log10(abs(value))))
    text = f"{value:.{decimals}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
