"""What a casing holds and how fast fluid moves in it: pure formulae."""

from __future__ import annotations

from math import pi

from sim.physics.possible import Numbers, above_zero

IN3_PER_GAL = 231  # the US gallon; EIA, State Energy Data, appendix C for 42 of them in a barrel (published)
GAL_PER_BBL = 42
IN2_PER_BBL_PER_FT = 4 * GAL_PER_BBL * IN3_PER_GAL / (12 * pi)  # 1029.414


def capacity_bbl_per_ft(inside_diameter_in: Numbers) -> Numbers:
    """Barrels in one foot of pipe: the square of the diameter over 1029.414; 1029.4 in handbooks (published)."""
    above_zero(inside_diameter_in=inside_diameter_in)
    return inside_diameter_in**2 / IN2_PER_BBL_PER_FT


def casing_volume_bbl(measured_depth_ft: Numbers, inside_diameter_in: Numbers) -> Numbers:
    """Barrels between the surface and a depth: what it takes to flush a stage down to there."""
    return measured_depth_ft * capacity_bbl_per_ft(inside_diameter_in)


def velocity_ft_per_min(rate_bpm: Numbers, inside_diameter_in: Numbers) -> Numbers:
    """Mean velocity of the fluid: rate over capacity (continuity)."""
    return rate_bpm / capacity_bbl_per_ft(inside_diameter_in)


def velocity_ft_per_s(rate_bpm: Numbers, inside_diameter_in: Numbers) -> Numbers:
    """The same by the second, as the formulae of flow take it."""
    return velocity_ft_per_min(rate_bpm, inside_diameter_in) / 60
