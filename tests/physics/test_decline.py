"""Arps' decline against quadrature, worked numbers and its own limits.

Formulae: J.J. Arps, Trans. AIME 160 (1945) 228-247, from memory. Reference of integrals: scipy.integrate.quad.
"""

from __future__ import annotations

from math import exp, inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from sim.physics.decline import (
    Decline,
    cumulative_bbl,
    decline_per_day,
    effective_decline,
    nominal_decline,
    rate_bbl_per_day,
    tail_starts_days,
)

fixed = settings(derandomize=True, deadline=None, max_examples=200)
DAYS_IN_A_MONTH = 30.4375
declines = st.floats(1e-4, 0.05)
exponents = st.one_of(st.floats(0, 2), st.sampled_from([0.0, 1.0, 5e-324, 1e-12, 1 - 1e-12, 1 + 1e-12]))
ages = st.one_of(st.just(0.0), st.floats(0.01, 10_000))


def integral(curve: Decline, days: float) -> float:
    """Numerical integral of the rate, cut where the tail begins."""
    cuts = [day for day in (tail_starts_days(curve),) if 0 < day < days]
    value, _ = quad(lambda t: float(rate_bbl_per_day(curve, t)), 0, days, points=cuts or None, epsrel=1e-12, limit=500)
    return float(value)


@pytest.mark.parametrize(
    ("initial", "decline", "b", "time", "rate", "produced", "digits"),
    [
        (1000, 0.10, 0.0, 12, 301.194212, 6988.057881, 1e-9),
        (1000, 0.10, 0.5, 12, 390.625, 7500, 1e-12),
        (1000, 0.10, 1.0, 12, 454.545455, 7884.573604, 1e-9),
        (1200, 0.15, 1.2, 36, 224.351984, 15938.428015, 1e-9),
    ],
)
def test_rate_and_cumulative(
    initial: float, decline: float, b: float, time: float, rate: float, produced: float, digits: float
) -> None:
    """Exponential, hyperbolic and harmonic, b beyond 1 too: values to nine digits, integrals by quad."""
    curve = Decline(initial, decline, b)
    assert rate_bbl_per_day(curve, time) == pytest.approx(rate, rel=max(digits, 5e-7 / rate))
    assert cumulative_bbl(curve, time) == pytest.approx(produced, rel=digits)
    assert cumulative_bbl(curve, time) == pytest.approx(integral(curve, time), rel=1e-9)


def monthly(decline: float, b: float, least: float = 0.0) -> Decline:
    """1,000 bbl/day at first, with declines by the month."""
    return Decline(1000, decline / DAYS_IN_A_MONTH, b, least / DAYS_IN_A_MONTH)


def test_worked_hyperbolic_well() -> None:
    """b = 0.8, 0.15 a month: rates and barrels at 1, 6, 12, 24, 36 and 60 months (derived)."""
    curve, days = monthly(0.15, 0.8), np.array([1, 6, 12, 24, 36, 60]) * DAYS_IN_A_MONTH
    rates = [867.92, 507.68, 327.92, 183.64, 123.77, 72.07]
    barrels = [28_342, 128_641, 202_800, 291_681, 346_532, 415_021]
    assert rate_bbl_per_day(curve, days) == pytest.approx(rates, rel=0, abs=0.005)
    assert cumulative_bbl(curve, days) == pytest.approx(barrels, rel=0, abs=0.5)


@pytest.mark.parametrize(
    ("decline", "b", "rate", "barrels"), [(0.10, 0.0, 301.19, 212_699), (0.15, 1.0, 357.14, 208_927)]
)
def test_worked_exponential_and_harmonic_wells(decline: float, b: float, rate: float, barrels: float) -> None:
    """After a year, exponential and harmonic (derived)."""
    curve, year = monthly(decline, b), 12 * DAYS_IN_A_MONTH
    assert rate_bbl_per_day(curve, year) == pytest.approx(rate, rel=0, abs=0.005)
    assert cumulative_bbl(curve, year) == pytest.approx(barrels, rel=0, abs=0.5)


def test_tail_of_federal_forecasts() -> None:
    """Exponential from 0.8 % a month on (US EIA, 18 March 2020): after 147.917 months, at 25.63 bbl/day (derived)."""
    curve = monthly(0.15, 0.8, 0.008)
    starts = tail_starts_days(curve)
    assert starts / DAYS_IN_A_MONTH == pytest.approx(147.917, rel=0, abs=0.0005)
    assert rate_bbl_per_day(curve, starts) == pytest.approx(25.63, rel=0, abs=0.005)
    assert decline_per_day(curve, starts) * DAYS_IN_A_MONTH == pytest.approx(0.008)
    a_year_later = rate_bbl_per_day(curve, starts + 12 * DAYS_IN_A_MONTH)
    assert a_year_later == pytest.approx(rate_bbl_per_day(curve, starts) * exp(-12 * 0.008))


def test_monthly_and_yearly_decline() -> None:
    """0.8 % lost a month compounds to 9.2 % a year, not to 10 % (US EIA, 18 March 2020; 9.2 % derived)."""
    assert effective_decline(12 * nominal_decline(0.008)) == pytest.approx(0.092, rel=0, abs=0.0005)


def test_secant_and_tangent_effective_decline() -> None:
    """1.5 a year nominal: with b = 1.1 a loss of 0.58768321 in the year; 0.77686984 had the first decline gone on."""
    assert effective_decline(1.5, 1.1) == pytest.approx(0.58768321, rel=0, abs=1e-8)
    assert effective_decline(1.5) == pytest.approx(0.77686984, rel=0, abs=1e-8)
    assert effective_decline(1.5, 1.1) == pytest.approx(1 - float(rate_bbl_per_day(Decline(1, 1.5, 1.1), 1)))


@fixed
@given(st.floats(0, 0.99), exponents)
def test_nominal_decline_undoes_effective(effective: float, b: float) -> None:
    """There and back again, for any b."""
    assert effective_decline(nominal_decline(effective, b), b) == pytest.approx(effective, rel=1e-9, abs=1e-15)


@fixed
@given(declines, exponents, st.floats(0, 0.01), ages)
def test_cumulative_is_the_integral_of_the_rate(decline: float, b: float, least: float, days: float) -> None:
    """For every exponent, with a tail and without."""
    curve = Decline(1000, decline, b, least)
    assert cumulative_bbl(curve, days) == pytest.approx(integral(curve, days), rel=1e-8, abs=1e-9)


@fixed
@given(declines, st.sampled_from([0.0, 1.0]), st.floats(0, 1e-7), ages)
def test_hyperbolic_passes_smoothly_into_its_limits(decline: float, b: float, off: float, days: float) -> None:
    """Next to b = 0 and b = 1 rate and cumulative are next to those of the exponential and the harmonic."""
    limit = Decline(1000, decline, b)
    for near in (Decline(1000, decline, b + off), Decline(1000, decline, abs(b - off))):
        # the logarithm of the rate moves by at most (D t)^2 / 2 for each unit of b
        most = off * (decline * days) ** 2
        assert np.log(rate_bbl_per_day(near, days)) == pytest.approx(
            float(np.log(rate_bbl_per_day(limit, days))), rel=1e-12, abs=most + 1e-12
        )
        assert cumulative_bbl(near, days) == pytest.approx(cumulative_bbl(limit, days), rel=most + 1e-12)


@fixed
@given(declines, exponents, st.floats(0, 0.01), ages, st.floats(0.1, 1_000))
def test_a_well_declines_ever_more_slowly(decline: float, b: float, least: float, days: float, more: float) -> None:
    """Rate falls, cumulative rises, the decline never rises and never falls below the least; a tail only takes away."""
    curve, plain = Decline(1000, decline, b, least), Decline(1000, decline, b)
    assert rate_bbl_per_day(curve, days + more) < rate_bbl_per_day(curve, days) or rate_bbl_per_day(curve, days) == 0
    assert cumulative_bbl(curve, days + more) >= cumulative_bbl(curve, days)
    assert decline_per_day(curve, days + more) <= decline_per_day(curve, days)
    assert decline_per_day(curve, days) >= min(least, decline) * (1 - 1e-12)
    assert rate_bbl_per_day(curve, days) <= rate_bbl_per_day(plain, days) * (1 + 1e-12)


@fixed
@given(declines, st.floats(0.01, 2), st.floats(1e-6, 1e-4))
def test_tail_begins_without_a_jump(decline: float, b: float, least: float) -> None:
    """Rate and decline are continuous where the exponential takes over."""
    curve = Decline(1000, decline, b, least)
    starts = tail_starts_days(curve)
    before, after = starts * (1 - 1e-9), starts * (1 + 1e-9)
    assert rate_bbl_per_day(curve, after) == pytest.approx(rate_bbl_per_day(curve, before), rel=1e-6)
    assert decline_per_day(curve, after) == pytest.approx(decline_per_day(curve, before), rel=1e-6)


def test_when_there_is_a_tail() -> None:
    """None without a least decline or for an exponential above it; from the start for a curve already below it."""
    assert tail_starts_days(Decline(1000, 0.01, 0.8)) == inf
    assert tail_starts_days(Decline(1000, 0.01, 0.0, 0.001)) == inf
    below = Decline(1000, 0.001, 0.8, 0.01)
    assert tail_starts_days(below) == 0
    assert rate_bbl_per_day(below, 700.0) == pytest.approx(1000 * exp(-0.7))
    assert cumulative_bbl(below, 700.0) == pytest.approx(1000 * (1 - exp(-0.7)) / 0.001)


def test_arrays_are_the_single_values() -> None:
    """A year of days at once, across the beginning of the tail."""
    curve, days = Decline(900, 0.02, 1.3, 0.003), np.arange(0.0, 800.0, 7.0)
    for formula in (rate_bbl_per_day, cumulative_bbl, decline_per_day):
        assert formula(curve, days) == pytest.approx([float(formula(curve, float(day))) for day in days], rel=1e-14)


def test_impossible_declines_are_refused() -> None:
    """By the name of what cannot be."""
    with pytest.raises(ValueError, match="decline_per_day is 0"):
        Decline(1000, 0.0)
    with pytest.raises(ValueError, match=r"b is -0\.1"):
        Decline(1000, 0.01, -0.1)
    with pytest.raises(ValueError, match="initial_bbl_per_day is -1"):
        Decline(-1, 0.01)
    with pytest.raises(ValueError, match="days is -1"):
        rate_bbl_per_day(Decline(1000, 0.01), -1.0)
    with pytest.raises(ValueError, match="effective is 1"):
        nominal_decline(1.0)
