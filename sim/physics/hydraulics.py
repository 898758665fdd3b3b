"""Pressure and power that it takes to pump a stage: pure formulae.

Rates in bbl/min, densities in lb/gal (ppg), diameters in inches, as the handbooks have them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from sim.physics.casing import IN3_PER_GAL
from sim.physics.friction import perforation_friction_psi, pipe_friction_psi_per_ft
from sim.physics.possible import Numbers, above_zero, below_one, not_negative

HYDROSTATIC = 12 / IN3_PER_GAL  # psi per foot and lb/gal: 0.051948
HORSEPOWER = 40.8  # psi x bbl/min in one hydraulic horsepower


def hydrostatic_psi(density_ppg: Numbers, true_vertical_depth_ft: Numbers) -> Numbers:
    """Weight of the fluid in the well: 12/231 x density x vertical depth; 0.052 in handbooks (published)."""
    return HYDROSTATIC * density_ppg * true_vertical_depth_ft


def hydraulic_horsepower(pressure_psi: Numbers, rate_bpm: Numbers) -> Numbers:
    """Pressure x rate / 40.8.

    The exact divisor is 40.816, from 1714.29 psi gal/min a horsepower (IADC glossary: 1715, published); crews reckon
    with 40.8, and the difference is 0.04 %.
    """
    return pressure_psi * rate_bpm / HORSEPOWER


@dataclass(frozen=True, eq=False)
class Treatment:
    """What the treating pressure of a stage follows from, but for the rate. Numbers, or arrays over the stages.

    `near_wellbore_psi` is what the way from the perforations to the fracture costs at treating rate.
    """

    measured_depth_ft: Numbers
    true_vertical_depth_ft: Numbers
    inside_diameter_in: Numbers
    fracture_gradient_psi_per_ft: Numbers
    density_ppg: Numbers
    viscosity_cp: Numbers
    friction_reduction: Numbers
    perforations: Numbers
    perforation_diameter_in: Numbers
    discharge_coefficient: Numbers
    near_wellbore_psi: Numbers

    def __post_init__(self) -> None:
        above_zero(measured_depth_ft=self.measured_depth_ft, true_vertical_depth_ft=self.true_vertical_depth_ft)
        above_zero(inside_diameter_in=self.inside_diameter_in, viscosity_cp=self.viscosity_cp)
        above_zero(density_ppg=self.density_ppg, fracture_gradient_psi_per_ft=self.fracture_gradient_psi_per_ft)
        above_zero(perforations=self.perforations, perforation_diameter_in=self.perforation_diameter_in)
        above_zero(discharge_coefficient=self.discharge_coefficient)
        not_negative(near_wellbore_psi=self.near_wellbore_psi)
        below_one(friction_reduction=self.friction_reduction)
        if np.any(self.true_vertical_depth_ft > self.measured_depth_ft):
            raise ValueError("true_vertical_depth_ft is more than measured_depth_ft; no hole is shorter than it is deep")


class TreatingPressure(NamedTuple):
    """The balance of pressure of a stage, term by term; `hydrostatic_psi` is what the column helps."""

    fracturing_psi: Numbers
    perforation_psi: Numbers
    pipe_psi: Numbers
    near_wellbore_psi: Numbers
    hydrostatic_psi: Numbers

    @property
    def surface_psi(self) -> Numbers:
        """What the pumps must bring at the wellhead; negative where the formation takes fluid by itself."""
        return self.static_psi + self.perforation_psi + self.pipe_psi

    @property
    def static_psi(self) -> Numbers:
        """The part that does not depend on the rate."""
        return self.fracturing_psi + self.near_wellbore_psi - self.hydrostatic_psi


def treating_pressure(rate_bpm: Numbers, treatment: Treatment) -> TreatingPressure:
    """Balance of pressure at a rate: fracture gradient x vertical depth, frictions, less the weight of the column.

    M.J. Economides, K.G. Nolte, Reservoir Stimulation, 3rd ed. 2000 (from memory).
    """
    t = treatment
    per_ft = pipe_friction_psi_per_ft(
        rate_bpm, t.inside_diameter_in, t.density_ppg, t.viscosity_cp, t.friction_reduction
    )
    return TreatingPressure(
        t.fracture_gradient_psi_per_ft * t.true_vertical_depth_ft,
        perforation_friction_psi(
            rate_bpm, t.density_ppg, t.perforations, t.perforation_diameter_in, t.discharge_coefficient
        ),
        per_ft * t.measured_depth_ft,
        t.near_wellbore_psi,
        hydrostatic_psi(t.density_ppg, t.true_vertical_depth_ft),
    )


def surface_treating_pressure_psi(rate_bpm: Numbers, treatment: Treatment) -> Numbers:
    """Pressure at the wellhead at a rate: the balance of `treating_pressure` summed up."""
    return treating_pressure(rate_bpm, treatment).surface_psi
