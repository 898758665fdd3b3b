"""Capacity and velocity against the handbooks' numbers."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from sim.physics.casing import capacity_bbl_per_ft, casing_volume_bbl, velocity_ft_per_min, velocity_ft_per_s

M3_IN_A_BARREL = 0.158987294928  # US EIA, State Energy Data, appendix C; NIST Special Publication 811, from memory
M_IN_A_FOOT = 0.3048  # NIST Special Publication 811, from memory
FIVE_AND_A_HALF_IN = 4.778  # inside diameter of 5 1/2 in 20 lb/ft casing: API TR 5C3, from memory


@pytest.mark.parametrize(
    ("inside_diameter_in", "printed", "half_a_digit"),
    [(4.0, 0.01554, 5e-6), (FIVE_AND_A_HALF_IN, 0.022177, 5e-7)],
)
def test_capacity_as_printed(inside_diameter_in: float, printed: float, half_a_digit: float) -> None:
    """Barrels per foot: 4.000 in from a public completion-training page, 4.778 in derived from it."""
    assert capacity_bbl_per_ft(inside_diameter_in) == pytest.approx(printed, rel=0, abs=half_a_digit)


def test_capacity_is_that_of_a_cylinder() -> None:
    """The same in SI units, and within the rounding of the handbooks' 1029.4."""
    area_m2 = pi / 4 * (FIVE_AND_A_HALF_IN / 12 * M_IN_A_FOOT) ** 2
    capacity = capacity_bbl_per_ft(FIVE_AND_A_HALF_IN)
    assert capacity == pytest.approx(area_m2 * M_IN_A_FOOT / M3_IN_A_BARREL, rel=1e-12)
    assert FIVE_AND_A_HALF_IN**2 / capacity == pytest.approx(1029.4, rel=0, abs=0.05)


def test_volume_of_a_long_casing() -> None:
    """20,000 ft hold 443.5 bbl (derived from the capacity)."""
    assert casing_volume_bbl(20_000, FIVE_AND_A_HALF_IN) == pytest.approx(443.5, rel=0, abs=0.05)
    assert casing_volume_bbl(np.array([0.0, 20_000]), FIVE_AND_A_HALF_IN) == pytest.approx([0, 443.5], abs=0.05)


@pytest.mark.parametrize(("rate_bpm", "printed", "half_a_digit"), [(1, 45.09, 0.005), (12, 541, 0.5)])
def test_velocity_in_casing(rate_bpm: float, printed: float, half_a_digit: float) -> None:
    """45.09 ft/min for every bbl/min; 541 ft/min at 12 bbl/min of pump-down (both derived)."""
    assert velocity_ft_per_min(rate_bpm, FIVE_AND_A_HALF_IN) == pytest.approx(printed, rel=0, abs=half_a_digit)


@pytest.mark.parametrize(("hose_in", "rate_bpm", "printed"), [(12, 100, 11.9), (10, 60, 10.3)])
def test_velocity_in_lay_flat_hose(hose_in: float, rate_bpm: float, printed: float) -> None:
    """11.9 and 10.3 ft/s at the rates usual for 12 and 10 in hose (continuity, derived)."""
    assert velocity_ft_per_s(rate_bpm, hose_in) == pytest.approx(printed, rel=0, abs=0.05)


def test_pipe_without_a_bore_is_refused() -> None:
    """No diameter, no capacity."""
    with pytest.raises(ValueError, match="inside_diameter_in is 0"):
        capacity_bbl_per_ft(0.0)
