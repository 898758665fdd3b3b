"""What the stated design of a well asks of a fleet: pressure, horsepower, and the rate that can really be held."""

from __future__ import annotations

from functools import lru_cache
from math import ceil
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.physics.hydraulics import Treatment, hydraulic_horsepower, surface_treating_pressure_psi
from sim.physics.stages import distance_from_heel_ft, rate_held_bbl_per_h
from sim.physics.treating_rate import rate_within_bpm
from sim.physics.volumes import stage_depth_ft
from sim.scenario.equipment import PumpingFleet
from sim.scenario.wells import Pressure, Well

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


class Hole(NamedTuple):
    """What pressure needs to know of a well's geometry."""

    measured_depth_ft: float
    lateral_ft: float
    stages: int
    inside_diameter_in: float


def treatment_of(well: Well) -> Treatment | None:
    """What the treating pressure of each stage follows from; None where the scenario states no pressures."""
    if well.pressure is None:
        return None
    hole = Hole(well.measured_depth, well.lateral_length, well.stage_count, well.casing_inside_diameter)
    return _treatment(hole, well.pressure)


def _treatment(hole: Hole, stated: Pressure) -> Treatment:
    along_ft = distance_from_heel_ft(hole.lateral_ft, hole.stages)
    return Treatment(
        stage_depth_ft(hole.measured_depth_ft - hole.lateral_ft, along_ft),
        stated.true_vertical_depth,
        hole.inside_diameter_in,
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
    design_bpm = rate_held_bbl_per_h(well.stage_design.rate, fleet.rate_limit, together) / MINUTES
    if well.pressure is None:
        none = np.zeros(well.stage_count, dtype=np.int64)
        return HeldRates(np.full(well.stage_count, design_bpm), none, np.zeros(well.stage_count), none)
    hole = Hole(well.measured_depth, well.lateral_length, well.stage_count, well.casing_inside_diameter)
    pumps = fleet.pumps - fleet.spare_pumps
    return _held_under_pressure(design_bpm, hole, well.pressure, pumps, fleet.pump_power, together)


@lru_cache(maxsize=4096)
def _held_under_pressure(
    design_bpm: float, hole: Hole, pressure: Pressure, pumps: int, pump_power: float, together: int
) -> HeldRates:
    """Remembered because every replication asks for the same; nobody changes its arrays."""
    treatment = _treatment(hole, pressure)
    most_psi = pressure.stack_rating * (1 - pressure.margin)
    held = rate_within_bpm(design_bpm, treatment, most_psi, pumps * pump_power / together)
    surface_psi = np.asarray(surface_treating_pressure_psi(held.rate_bpm, treatment))
    power = np.asarray(together * hydraulic_horsepower(surface_psi, held.rate_bpm))
    needed = [min(pumps, max(1, ceil(each / pump_power - 1e-9))) for each in power.tolist()]
    return HeldRates(held.rate_bpm, held.bound_by, surface_psi, np.array(needed))
