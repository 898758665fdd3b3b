"""Treating pressure and horsepower against handbook numbers, and how they must move."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.physics.friction import perforation_friction_psi, pipe_friction_psi_per_ft
from sim.physics.hydraulics import (
    Treatment,
    hydraulic_horsepower,
    hydrostatic_psi,
    surface_treating_pressure_psi,
    treating_pressure,
)
from tests.physics.treatments import USUAL, treatments, usual

fixed = settings(derandomize=True, deadline=None, max_examples=200)
rates = st.floats(0, 150)


@pytest.mark.parametrize(("density_ppg", "depth_ft", "printed"), [(13.5, 12_000, 8_424), (8.34, 10_000, 4_337)])
def test_hydrostatic_pressure_as_printed(density_ppg: float, depth_ft: float, printed: float) -> None:
    """With the 0.052 of a public formula collection; the exact factor is 12/231 = 0.051948."""
    exact = hydrostatic_psi(density_ppg, depth_ft)
    assert exact * 0.052 / (12 / 231) == pytest.approx(printed, rel=0, abs=0.5)
    assert hydrostatic_psi(1.0, 1.0) == pytest.approx(0.051948, rel=0, abs=5e-7)


@pytest.mark.parametrize(("psi", "bpm", "printed"), [(9_000, 90, 19_853), (8_500, 120, 25_000)])
def test_hydraulic_horsepower_as_printed(psi: float, bpm: float, printed: float) -> None:
    """One well at 90, two at 60 + 60 bbl/min (derived from psi bbl/min / 40.8)."""
    assert hydraulic_horsepower(psi, bpm) == pytest.approx(printed, rel=0, abs=0.5)


def test_hydraulic_horsepower_by_definition() -> None:
    """33,000 foot-pounds a minute; IADC glossary: psi gal/min / 1715, and 3.3 gal/min at 520 psi make one."""
    exact = 144 * (42 * 231 / 1728) / 33_000
    assert 1 / exact == pytest.approx(40.816, rel=0, abs=0.0005)
    assert 42 / exact == pytest.approx(1714.29, rel=0, abs=0.005)
    assert hydraulic_horsepower(1.0, 1.0) == pytest.approx(exact, rel=0.05 / 40.8)
    assert hydraulic_horsepower(1_715, 1 / 42) == pytest.approx(1, rel=0.05 / 40.8 + 0.5 / 1_715)
    assert hydraulic_horsepower(520, 3.3 / 42) == pytest.approx(1, rel=0.05 / 3.3)


def test_usual_treatment_lies_in_the_published_band() -> None:
    """7,000 to 10,000 psi in the mid-continent (Hart Energy, Hydraulic Fracturing Techbook, August 2018)."""
    surface = np.asarray(surface_treating_pressure_psi(90.0, USUAL))
    assert np.all((surface > 7_000) & (surface < 10_000))


def test_balance_closes_term_by_term() -> None:
    """Fracturing + perforations + pipe + near wellbore - hydrostatic, each by its own formula.

    M.J. Economides, K.G. Nolte, Reservoir Stimulation, 3rd ed. 2000 (from memory).
    """
    terms = treating_pressure(90.0, USUAL)
    assert terms.fracturing_psi == pytest.approx(0.85 * 10_200)
    assert terms.hydrostatic_psi == pytest.approx(8.34 * 10_200 * 12 / 231)
    assert terms.perforation_psi == perforation_friction_psi(90.0, 8.34, 40, 0.42, 0.8)
    per_ft = pipe_friction_psi_per_ft(90.0, 4.778, 8.34, 1.0, 0.7)
    assert terms.pipe_psi == pytest.approx(per_ft * np.asarray(USUAL.measured_depth_ft))
    frictions = terms.perforation_psi + terms.pipe_psi + terms.near_wellbore_psi
    assert terms.surface_psi == pytest.approx(terms.fracturing_psi + frictions - terms.hydrostatic_psi, rel=1e-14)
    assert terms.surface_psi == pytest.approx(surface_treating_pressure_psi(90.0, USUAL))


@fixed
@given(treatments(), rates, st.floats(0.01, 100))
def test_pressure_rises_with_rate(treatment: Treatment, rate_bpm: float, more_bpm: float) -> None:
    """More rate, more friction, whatever the treatment."""
    slow, fast = (surface_treating_pressure_psi(rate, treatment) for rate in (rate_bpm, rate_bpm + more_bpm))
    assert np.all(fast > np.asarray(slow))


@fixed
@given(treatments(), st.floats(0.1, 150))
def test_pressure_rises_along_the_hole(treatment: Treatment, rate_bpm: float) -> None:
    """The nearer the toe, the longer the pipe: pressure falls stage by stage from toe to heel."""
    assert np.all(np.diff(np.asarray(surface_treating_pressure_psi(rate_bpm, treatment))) < 0)


@fixed
@given(treatments(), st.floats(0.1, 150), st.floats(0, 0.95), st.floats(0, 0.95))
def test_pressure_falls_with_friction_reduction(
    treatment: Treatment, rate_bpm: float, one: float, other: float
) -> None:
    """The more friction reducer works, the less pressure."""
    less, more = sorted((one, other))
    with_less, with_more = (
        np.asarray(surface_treating_pressure_psi(rate_bpm, replace(treatment, friction_reduction=share)))
        for share in (less, more)
    )
    assert np.all(with_more <= with_less)


@fixed
@given(treatments())
def test_at_rest_only_the_static_terms_remain(treatment: Treatment) -> None:
    """No rate, no friction in pipe and perforations."""
    terms = treating_pressure(0.0, treatment)
    assert np.all(np.asarray(terms.surface_psi) == terms.static_psi)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("inside_diameter_in", 0.0),
        ("density_ppg", -8.34),
        ("viscosity_cp", 0.0),
        ("perforations", 0.0),
        ("perforation_diameter_in", -0.4),
        ("discharge_coefficient", 0.0),
        ("fracture_gradient_psi_per_ft", 0.0),
        ("measured_depth_ft", -1.0),
        ("near_wellbore_psi", -1.0),
        ("friction_reduction", 1.0),
        ("true_vertical_depth_ft", 10_601.0),
    ],
)
def test_impossible_treatments_are_refused(name: str, value: float) -> None:
    """By the name of what cannot be; a hole is never shorter than it is deep."""
    with pytest.raises(ValueError, match=f"^{name} is {value}"):
        usual(**{name: value})
