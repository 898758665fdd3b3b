"""Friction against handbook numbers, SI units and another solver."""

from __future__ import annotations

from math import log10, pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from sim.physics.casing import velocity_ft_per_s
from sim.physics.friction import (
    fanning_friction,
    greatest_friction_reduction,
    perforation_friction_psi,
    pipe_friction_psi_per_ft,
    reynolds_number,
)

fixed = settings(derandomize=True, deadline=None, max_examples=200)
PA_IN_A_PSI = 6894.757  # NIST Special Publication 811, from memory
KG_PER_M3_IN_A_PPG = 0.45359237 / (0.158987294928 / 42)  # US EIA, State Energy Data, appendix C
M3_PER_S_IN_A_BPM = 0.158987294928 / 60  # the same
M_IN_AN_INCH, M_IN_A_FOOT = 0.0254, 0.3048  # NIST Special Publication 811, from memory

# Fresh water at 90 bbl/min in 5 1/2 in 20 lb/ft casing, whose bore is from memory of API TR 5C3
RATE, BORE, WATER, THIN = 90.0, 4.778, 8.34, 1.0
DIAMETER_M = BORE * M_IN_AN_INCH


def reynolds() -> float:
    return float(reynolds_number(RATE, BORE, WATER, THIN))


def test_reynolds_number_of_a_treatment() -> None:
    """928 x density x velocity x diameter / viscosity is 2.50 million (Bourgoyne et al., SPE 1986, from memory)."""
    by_handbook = 928 * WATER * float(velocity_ft_per_s(RATE, BORE)) * BORE / THIN
    assert reynolds() == pytest.approx(2.50e6, rel=0, abs=0.005e6)
    assert reynolds() == pytest.approx(by_handbook, rel=0.5 / 928)


def test_reynolds_number_in_si_units() -> None:
    """The same from kilograms, metres and seconds."""
    velocity = RATE * M3_PER_S_IN_A_BPM / (pi / 4 * DIAMETER_M**2)
    assert reynolds() == pytest.approx(WATER * KG_PER_M3_IN_A_PPG * velocity * DIAMETER_M / 1e-3, rel=1e-12)


def test_friction_factor_of_a_treatment() -> None:
    """0.002503 by Prandtl and Karman; by Blasius 0.001989, which is 20 % low there (derived)."""
    friction = float(fanning_friction(reynolds()))
    blasius = 0.0791 * reynolds() ** -0.25
    assert friction == pytest.approx(0.002503, rel=0, abs=5e-7)
    assert blasius == pytest.approx(0.001989, rel=0, abs=5e-7)
    assert 1 - blasius / friction == pytest.approx(0.20, rel=0, abs=0.01)


@pytest.mark.parametrize("number", [4e3, 1e4, 3e4, 1e5])
def test_friction_factor_near_blasius_where_that_holds(number: float) -> None:
    """Up to 100,000 the two laws are a few per cent apart (textbooks, from memory)."""
    assert fanning_friction(number) == pytest.approx(0.0791 * number**-0.25, rel=0.03)


def solved(number: float, slope: float, offset: float) -> float:
    """Friction factor f from 1/sqrt(f) = slope log10(Re sqrt(f)) - offset, by bracketing."""
    root = brentq(lambda x: x - slope * log10(number / x) + offset, 1e-3, 1e4, xtol=1e-14, rtol=1e-14)
    return float(root) ** -2


@pytest.mark.parametrize("number", np.logspace(3.1, 12, 25))
def test_friction_factor_solves_its_law(number: float) -> None:
    """To the last digits, against scipy's bracketing solver, for numbers and for arrays."""
    expected = solved(number, 4, 0.4)
    assert fanning_friction(number) == pytest.approx(expected, rel=1e-13)
    assert fanning_friction(np.array([number, number])) == pytest.approx([expected] * 2, rel=1e-13)


@fixed
@given(st.floats(1, 1e9), st.floats(1.0001, 10))
def test_more_flow_more_friction_without_a_jump(number: float, times: float) -> None:
    """The factor falls with the Reynolds number, yet pressure, as f Re^2, rises, through the change of laws as well."""
    less, more = float(fanning_friction(number)), float(fanning_friction(number * times))
    assert more <= less
    assert more * times**2 > less
    assert float(fanning_friction(number * (1 + 1e-9))) == pytest.approx(less, rel=1e-8)


def test_greatest_friction_reduction_of_a_treatment() -> None:
    """Virk's asymptote: f = 0.000319, a reduction of 87.2 % (AIChE J. 21, 1975, from memory; value derived)."""
    reduction = float(greatest_friction_reduction(reynolds()))
    assert (1 - reduction) * float(fanning_friction(reynolds())) == pytest.approx(0.000319, rel=0, abs=5e-7)
    assert reduction == pytest.approx(0.872, rel=0, abs=0.0005)
    assert reduction > 0.80  # the most of field practice
    assert reduction > 0.67  # the most in the laboratory: Habibpour & Clark, Petroleum Science, 2017


@pytest.mark.parametrize("number", np.logspace(3.6, 9, 12))
def test_greatest_friction_reduction_solves_its_law(number: float) -> None:
    """Against scipy's bracketing solver."""
    expected = 1 - solved(number, 19, 32.4) / solved(number, 4, 0.4)
    assert greatest_friction_reduction(number) == pytest.approx(expected, rel=1e-12)


def test_no_friction_to_reduce_in_laminar_flow() -> None:
    """Polymer takes nothing off laminar flow, and the more the more turbulent."""
    reductions = np.asarray(greatest_friction_reduction(np.array([10, 500, 1e4, 1e6, 1e8])))
    assert reductions[:2] == pytest.approx([0, 0])
    assert np.all(np.diff(reductions[1:]) > 0)


def test_pipe_friction_as_printed() -> None:
    """0.7746 psi/ft, or 15,490 psi over 20,000 ft, with the handbook's 25.8 (Bourgoyne et al., from memory)."""
    per_ft = float(pipe_friction_psi_per_ft(RATE, BORE, WATER, THIN))
    rounded = 0.05 / 25.8
    assert per_ft == pytest.approx(0.7746, rel=rounded)
    assert 20_000 * per_ft == pytest.approx(15_490, rel=rounded)


def test_pipe_friction_by_pounds_per_cubic_foot() -> None:
    """0.005180 x f x density x velocity^2 / diameter (Petroleum Production Engineering, 2nd ed., eq. 14.81: 0.0052)."""
    density = WATER * 1728 / 231
    velocity = float(velocity_ft_per_s(RATE, BORE))
    expected = 0.005180 * float(fanning_friction(reynolds())) * density * velocity**2 / BORE
    assert pipe_friction_psi_per_ft(RATE, BORE, WATER, THIN) == pytest.approx(expected, rel=5e-7 / 0.005180)


def test_pipe_friction_in_si_units() -> None:
    """Twice the factor x density x velocity^2 / diameter, in pascals per metre."""
    velocity = RATE * M3_PER_S_IN_A_BPM / (pi / 4 * DIAMETER_M**2)
    pa_per_m = 2 * float(fanning_friction(reynolds())) * WATER * KG_PER_M3_IN_A_PPG * velocity**2 / DIAMETER_M
    per_ft = pipe_friction_psi_per_ft(RATE, BORE, WATER, THIN)
    assert per_ft == pytest.approx(pa_per_m * M_IN_A_FOOT / PA_IN_A_PSI, rel=1e-7)


def test_laminar_flow_is_that_of_hagen_and_poiseuille() -> None:
    """Thick fluid, slowly: 128 x viscosity x rate / (pi x diameter^4), in pascals per metre (textbooks)."""
    pa_per_m = 128 * 0.5 * 1.0 * M3_PER_S_IN_A_BPM / (pi * DIAMETER_M**4)
    per_ft = pipe_friction_psi_per_ft(1.0, BORE, WATER, 500.0)
    assert per_ft == pytest.approx(pa_per_m * M_IN_A_FOOT / PA_IN_A_PSI, rel=1e-7)


def test_friction_reduction_is_a_share_of_the_friction_of_water() -> None:
    """1 - reduced / unreduced is the stated fraction (Habibpour & Clark, Petroleum Science, 2017)."""
    reduced, plain = (float(pipe_friction_psi_per_ft(RATE, BORE, WATER, THIN, share)) for share in (0.7, 0.0))
    assert 1 - reduced / plain == pytest.approx(0.7, rel=1e-12)


def test_nothing_flows_nothing_rubs() -> None:
    """At rest there is no friction, and next to rest next to none."""
    assert pipe_friction_psi_per_ft(0.0, BORE, WATER, THIN) == 0
    assert pipe_friction_psi_per_ft(np.array([0.0, 1e-12]), BORE, WATER, THIN) == pytest.approx([0, 0], abs=1e-12)
    assert perforation_friction_psi(0.0, WATER, 30, 0.42, 0.8) == 0


def test_perforation_friction_as_printed() -> None:
    """90 bbl/min of water through 30 holes of 0.42 in: 893 psi (Economides & Nolte, 3rd ed. 2000, from memory)."""
    assert perforation_friction_psi(RATE, WATER, 30, 0.42, 0.8) == pytest.approx(893, rel=0, abs=0.5)


def test_perforation_friction_is_that_of_an_orifice() -> None:
    """Half of density x velocity^2 over the square of the coefficient, within what the handbook's factor rounds off."""
    velocity = RATE * M3_PER_S_IN_A_BPM / (30 * pi / 4 * (0.42 * M_IN_AN_INCH) ** 2)
    psi = 0.5 * WATER * KG_PER_M3_IN_A_PPG * (velocity / 0.8) ** 2 / PA_IN_A_PSI
    assert perforation_friction_psi(RATE, WATER, 30, 0.42, 0.8) == pytest.approx(psi, rel=0.0035)


def test_impossible_flow_is_refused() -> None:
    """By the name of what cannot be."""
    with pytest.raises(ValueError, match="viscosity_cp is 0"):
        reynolds_number(RATE, BORE, WATER, 0.0)
    with pytest.raises(ValueError, match="friction_reduction is 70"):
        pipe_friction_psi_per_ft(RATE, BORE, WATER, THIN, 70)
    with pytest.raises(ValueError, match="rate_bpm is -1"):
        pipe_friction_psi_per_ft(-1.0, BORE, WATER, THIN)
    with pytest.raises(ValueError, match="perforations is 0"):
        perforation_friction_psi(RATE, WATER, 0, 0.42, 0.8)
    with pytest.raises(ValueError, match="reynolds is 0"):
        fanning_friction(0.0)
