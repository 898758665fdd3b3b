"""What the stated design of a well asks of a fleet: pressure, horsepower, and the rate that can really be held."""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.physics.hydraulics import Treatment, hydraulic_horsepower, surface_treating_pressure_psi
from sim.physics.stages import distance_from_heel_ft, rate_held_bbl_per_h
from sim.physics.treating_rate import rate_within_bpm
from sim.physics.volumes import stage_depth_ft
from sim.scenario.equipment import PumpingFleet
from sim.scenario.wells import Well

WATER_CP = 1.0  # viscosity of slickwater, taken as that of water at about 20 degrees C (common practice)
MINUTES = 60.0


class HeldRates(NamedTuple):
    """What a fleet can hold in a well: arrays over the stages from the toe.

    `bound_by` says what keeps the rate from being higher (`physics.treating_rate.Limit`); pressure and pumps needed
    are zero where the scenario states no pressures.
    """

    rate_bpm: NDArray[np.float64]
    bound_by: NDArray[np.int64]
    surface_psi: NDArray[np.float64]
    pumps_needed: NDArray[np.int64]


def treatment_of(well: Well) -> Treatment | None:
    """What the treating pressure of each stage follows from; None where the scenario states no pressures."""
    stated = well.pressure
    if stated is None:
        return None
    along_ft = distance_from_heel_ft(well.lateral_length, well.stage_count)
    return Treatment(
        stage_depth_ft(well.measured_depth - well.lateral_length, along_ft),
        stated.true_vertical_depth,
        well.casing_inside_diameter,
        stated.fracture_gradient,
        stated.fluid_density,
        WATER_CP,
        stated.friction_reduction,
        stated.perforations,
        stated.perforation_diameter,
        stated.discharge_coefficient,
        stated.near_wellbore,
    )


def held_rates(well: Well, fleet: PumpingFleet, together: int) -> HeldRates:
    """Design rate, or what the fleet's rate, its horsepower or the rating of the stack allow, shared between wells."""
    n, working = well.stage_count, fleet.pumps - fleet.spare_pumps
    design_bpm = rate_held_bbl_per_h(well.stage_design.rate, fleet.rate_limit, together) / MINUTES
    treatment = treatment_of(well)
    if treatment is None or well.pressure is None:
        none = np.zeros(n, dtype=np.int64)
        return HeldRates(np.full(n, design_bpm), none, np.zeros(n), none)
    most_psi = well.pressure.stack_rating * (1 - well.pressure.margin)
    held = rate_within_bpm(design_bpm, treatment, most_psi, working * fleet.pump_power / together)
    surface_psi = surface_treating_pressure_psi(held.rate_bpm, treatment)
    power = np.asarray(together * hydraulic_horsepower(surface_psi, held.rate_bpm))
    pumps = [min(working, max(1, ceil(each / fleet.pump_power - 1e-9))) for each in power.tolist()]
    return HeldRates(held.rate_bpm, held.bound_by, np.asarray(surface_psi), np.array(pumps))
