"""Oil rate of a well from its first day on: a rise to the peak, a plateau, and an Arps decline. Pure formulae."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.physics.decline import Decline
from sim.physics.decline import cumulative_bbl as declining_bbl
from sim.physics.decline import rate_bbl_per_day as declining_rate
from sim.physics.possible import Numbers, not_negative

Step = tuple[float, float]  # days, share of the peak


@dataclass(frozen=True)
class Curve:
    """The rise is even over `days_to_peak`, or goes in steps of constant rate; `decline` starts after the plateau."""

    decline: Decline
    days_to_peak: float = 0.0
    steps: tuple[Step, ...] = ()
    plateau_days: float = 0.0

    def __post_init__(self) -> None:
        not_negative(days_to_peak=self.days_to_peak, plateau_days=self.plateau_days)

    @property
    def peak_bbl_per_day(self) -> float:
        """The highest rate."""
        return self.decline.initial_bbl_per_day

    @property
    def rise_days(self) -> float:
        """From the first day on to the peak."""
        return self.days_to_peak + sum(days for days, _ in self.steps)

    @property
    def declines_from_days(self) -> float:
        """Age at which the decline begins."""
        return self.rise_days + self.plateau_days


def rate_bbl_per_day(curve: Curve, days: Numbers) -> Numbers:
    """Oil rate at an age in days."""
    age: Numbers = np.maximum(np.asarray(days, dtype=np.float64) - curve.declines_from_days, 0.0)
    late = np.asarray(declining_rate(curve.decline, age))
    rate: Numbers = np.where(np.asarray(days) < curve.rise_days, _rising_rate(curve, days), late)
    return rate


def cumulative_bbl(curve: Curve, days: Numbers) -> Numbers:
    """Oil produced up to an age in days: the integral of `rate_bbl_per_day`, in closed form."""
    not_negative(days=days)
    ages = np.asarray(days, dtype=np.float64)
    flat: Numbers = np.clip(ages - curve.rise_days, 0.0, curve.plateau_days) * curve.peak_bbl_per_day
    declining: Numbers = np.maximum(ages - curve.declines_from_days, 0.0)
    return _risen_bbl(curve, ages) + flat + declining_bbl(curve.decline, declining)


def _rising_rate(curve: Curve, days: Numbers) -> Numbers:
    """Rate of the rise at ages before its end."""
    ages = np.asarray(days, dtype=np.float64)
    share: Numbers = ages / curve.days_to_peak if curve.days_to_peak > 0 else np.zeros_like(ages)
    begins = curve.days_to_peak
    for lasts, of_peak in curve.steps:
        share = np.where((ages >= begins) & (ages < begins + lasts), of_peak, share)
        begins += lasts
    return curve.peak_bbl_per_day * share


def _risen_bbl(curve: Curve, ages: Numbers) -> Numbers:
    """Volume of the rise up to an age, all of it afterwards."""
    begins, days = curve.days_to_peak, np.zeros_like(ages)
    if begins > 0:
        days = np.minimum(ages, begins) ** 2 / (2 * begins)
    for lasts, of_peak in curve.steps:
        days = days + of_peak * np.clip(ages - begins, 0.0, lasts)
        begins += lasts
    risen: Numbers = curve.peak_bbl_per_day * days
    return risen
