"""How the rate of a well declines and what it has produced by then: Arps' curves, pure formulae.

J.J. Arps, Trans. AIME 160 (1945) 228-247 (from memory). The hyperbolic, with the exponential (b = 0) and the harmonic
(b = 1) as smooth limits, and on request an exponential tail from a least decline on, as in federal forecasts (US EIA,
18 March 2020, "Production Decline Curve Analysis in the Annual Energy Outlook 2020", published).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sim.physics.possible import Numbers, above_zero, below_one, not_negative

SMALLEST_B = 1e-200  # below it b times anything is no longer a number with all its digits


@dataclass(frozen=True)
class Decline:
    """A decline curve. Declines are nominal: the relative fall of rate at an instant, not over a period.

    With `least_decline_per_day` the curve goes on as an exponential once its decline has fallen to that; one that
    starts below it is exponential from the start, at its own decline.
    """

    initial_bbl_per_day: float
    decline_per_day: float
    b: float = 0.0
    least_decline_per_day: float = 0.0

    def __post_init__(self) -> None:
        above_zero(decline_per_day=self.decline_per_day)
        not_negative(initial_bbl_per_day=self.initial_bbl_per_day, b=self.b)
        not_negative(least_decline_per_day=self.least_decline_per_day)


def _log_fall(decline: Numbers, b: float) -> Numbers:
    """Logarithm of initial rate over rate after a time: log(1 + b D t) / b, and D t as b goes to 0."""
    return decline if b < SMALLEST_B else np.log1p(b * decline) / b


def _one_less_exp(power: float, fall: Numbers) -> Numbers:
    """(1 - exp(-power fall)) / power, and `fall` itself as `power` goes to 0."""
    return fall if power == 0 else -np.expm1(-power * fall) / power


def tail_starts_days(curve: Decline) -> float:
    """When the exponential tail begins: the decline D / (1 + b D t) has fallen to the least one."""
    if curve.decline_per_day <= curve.least_decline_per_day:
        return 0.0
    if curve.b < SMALLEST_B or curve.least_decline_per_day == 0:
        return float("inf")
    return (curve.decline_per_day / curve.least_decline_per_day - 1) / (curve.b * curve.decline_per_day)


def decline_per_day(curve: Decline, days: Numbers) -> Numbers:
    """Nominal decline at an age: D / (1 + b D t) up to the tail, constant in it."""
    age: Numbers = np.minimum(days, tail_starts_days(curve))
    return curve.decline_per_day / (1 + curve.b * curve.decline_per_day * age)


def _tail_fall(curve: Decline, days: Numbers) -> Numbers:
    """Decline of the tail times the time spent in it; zero before."""
    starts = tail_starts_days(curve)
    in_tail: Numbers = np.maximum(days - starts, 0.0)
    return in_tail * min(curve.decline_per_day, curve.least_decline_per_day)


def rate_bbl_per_day(curve: Decline, days: Numbers) -> Numbers:
    """Rate at an age: initial rate / (1 + b D t)^(1/b), then the tail."""
    not_negative(days=days)
    before: Numbers = np.minimum(days, tail_starts_days(curve))
    fall = _log_fall(curve.decline_per_day * before, curve.b) + _tail_fall(curve, days)
    rate: Numbers = curve.initial_bbl_per_day * np.exp(-fall)
    return rate


def cumulative_bbl(curve: Decline, days: Numbers) -> Numbers:
    """Produced up to an age: the integral of `rate_bbl_per_day`, in closed form."""
    not_negative(days=days)
    before: Numbers = np.minimum(days, tail_starts_days(curve))
    fall = _log_fall(curve.decline_per_day * before, curve.b)
    produced = curve.initial_bbl_per_day / curve.decline_per_day * _one_less_exp(1 - curve.b, fall)
    if curve.least_decline_per_day == 0:
        return produced
    least = min(curve.decline_per_day, curve.least_decline_per_day)
    tail: Numbers = -np.expm1(-_tail_fall(curve, days)) * np.exp(-fall) / least
    return produced + curve.initial_bbl_per_day * tail


def effective_decline(decline: Numbers, b: float = 0.0) -> Numbers:
    """Share of the rate lost over one period (secant), from the nominal decline per period at its start.

    With b = 0 it is also the tangent effective decline of any curve: what would be lost if the decline of the start
    went on.
    """
    not_negative(decline=decline, b=b)
    lost: Numbers = -np.expm1(-_log_fall(decline, b))
    return lost


def nominal_decline(effective: Numbers, b: float = 0.0) -> Numbers:
    """Nominal decline per period that loses the share `effective` in one period: the inverse of `effective_decline`."""
    below_one(effective=effective)
    not_negative(b=b)
    fall: Numbers = -np.log1p(-effective)
    return fall if b < SMALLEST_B else np.expm1(b * fall) / b
