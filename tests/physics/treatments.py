"""Treatments for the tests of pressure and rate: a usual one, and any that could be."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from sim.physics.hydraulics import Treatment
from sim.physics.stages import distance_from_heel_ft
from sim.physics.volumes import stage_depth_ft

HEEL_FT, LATERAL_FT, STAGES = 10_500.0, 10_000.0, 50

# 5 1/2 in 20 lb/ft casing (API TR 5C3, from memory), slickwater with the usual friction reduction (common practice)
USUAL = Treatment(
    measured_depth_ft=stage_depth_ft(HEEL_FT, distance_from_heel_ft(LATERAL_FT, STAGES)),
    true_vertical_depth_ft=10_200.0,
    inside_diameter_in=4.778,
    fracture_gradient_psi_per_ft=0.85,
    density_ppg=8.34,
    viscosity_cp=1.0,
    friction_reduction=0.70,
    perforations=40.0,
    perforation_diameter_in=0.42,
    discharge_coefficient=0.8,
    near_wellbore_psi=300.0,
)


def usual(**changed: Any) -> Treatment:
    """The usual treatment with something else."""
    return replace(USUAL, **changed)


def _depths(heel_ft: float, lateral_ft: float, stages: int) -> NDArray[np.float64]:
    return heel_ft + distance_from_heel_ft(lateral_ft, stages)


@st.composite
def treatments(draw: st.DrawFn) -> Treatment:
    """Any treatment: shallow to deep, water to thick gel, narrow to wide casing, all of its friction or hardly any."""

    def between(least: float, most: float) -> float:
        return draw(st.floats(least, most))

    vertical_ft = between(3_000, 16_000)
    depths = _depths(vertical_ft + between(0, 2_000), between(1_000, 20_000), draw(st.integers(1, 60)))
    return Treatment(
        depths,
        vertical_ft,
        between(3.0, 6.5),
        between(0.4, 1.2),
        between(7.0, 14.0),
        draw(st.one_of(st.floats(0.3, 20), st.floats(20, 5_000))),
        between(0.0, 0.95),
        between(4, 120),
        between(0.25, 0.6),
        between(0.5, 1.0),
        between(0, 2_000),
    )
