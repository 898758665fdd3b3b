"""What each piece of work takes from a store, and how many hours it may take: stages, wireline runs, drill-outs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.physics.drill_out import plugs_in
from sim.physics.stages import distance_from_heel_ft
from sim.physics.wireline import pump_down_bbl, travel_hours
from sim.scenario.durations import ByStage, DesignDuration, StageDuration
from sim.scenario.equipment import MillingRig, PumpingFleet, WirelineUnit
from sim.scenario.feasibility import longest, pumped_at_once, shortest
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Shape
from sim.scenario.supplies import OtherSupply, Water
from sim.scenario.treating import MINUTES, held_rates
from sim.scenario.wells import Well

Each = NDArray[np.float64]  # one number for each stage of a well, from the toe
Bound = Callable[[float | Shape], float]  # of a duration


class Thirst(NamedTuple):
    """Work that draws from a store: what it is, what it takes and what more by the hour, its least and most hours."""

    what: str
    volume: float
    least_h: float
    most_h: float
    per_hour: float = 0.0

    def must_be_there(self, inflow: float = 0.0) -> float:
        """What must be on hand for it at least, whatever the luck, if so much flows in meanwhile by the hour.

        What takes no time draws nothing.
        """
        if self.most_h <= 0:
            return 0.0
        net = self.per_hour - inflow
        hours = self.least_h if net >= 0 else self.most_h
        return self.volume + (net * hours if net else 0.0)


def stages(scenario: Scenario, volume_of: Callable[[Well, int], float], per_hour: float = 0.0) -> Iterator[Thirst]:
    """Stages of wells that may be pumped at once; each goes at the pace of the slowest of its wells.

    `volume_of` says what a stage of a well takes, by its number from 0.
    """
    for wells in pumped_at_once(scenario):
        for number in range(max(well.stage_count for well in wells)):
            pumped = [well for well in wells if number < well.stage_count]
            hours = [_pump_hours(scenario, well, len(pumped)) for well in pumped]
            least_h, most_h = (max(float(each[bound][number]) for each in hours) for bound in (0, 1))
            volume = sum(volume_of(well, number) for well in pumped)
            yield Thirst(f"stage {number + 1} of {_names(pumped)}", volume, least_h, most_h, per_hour)


def stages_of_another(scenario: Scenario, other: OtherSupply) -> Iterator[Thirst]:
    """What stages take of another supply, by the stage and by the hour."""
    return stages(scenario, lambda _, __: other.per_stage, other.per_hour)


def _names(wells: list[Well]) -> str:
    return " and ".join(well.name for well in wells)


def _pump_hours(scenario: Scenario, well: Well, together: int) -> tuple[Each, Each]:
    """The least and the most that pumping each stage may take any fleet."""

    def by(fleet: PumpingFleet, bound: Bound) -> Each:
        design_h = np.array(well.fluid_by_stage) / (MINUTES * held_rates(well, fleet, together).rate_bpm)
        return _each(well.stage_design.pump_time, design_h, bound)

    fleets = scenario.units.pumping_fleets
    return np.min([by(fleet, shortest) for fleet in fleets], axis=0), np.max(
        [by(fleet, most) for fleet in fleets], axis=0
    )


def runs(scenario: Scenario) -> Iterator[Thirst]:
    """Wireline runs of all wells, each by the unit that needs least water for it; none where the toe opens stage 1."""
    first = {well.name: 0 if well.toe.method == "none" else 1 for well in scenario.wells}
    for well in scenario.wells:
        volume = np.min([_run_water(well, unit) for unit in scenario.units.wireline_units], axis=0)
        hours = np.max([_run_hours(well, unit) for unit in scenario.units.wireline_units], axis=0)
        for number in range(first[well.name], well.stage_count):
            what = f"the wireline run to stage {number + 1} of {well.name}"
            yield Thirst(what, float(volume[number]), 0.0, float(hours[number]))


def _run_water(well: Well, unit: WirelineUnit) -> Each:
    if well.stage_design.pump_down is not None:
        return np.full(well.stage_count, well.stage_design.pump_down)
    along_ft = distance_from_heel_ft(well.lateral_length, well.stage_count)
    return pump_down_bbl(along_ft, unit.pump_down, unit.pump_down_rate)


def _run_hours(well: Well, unit: WirelineUnit) -> Each:
    along_ft = distance_from_heel_ft(well.lateral_length, well.stage_count)
    heel_ft = well.measured_depth - well.lateral_length
    travel_h = travel_hours(heel_ft, along_ft, unit.run_in, unit.pump_down, unit.pull_out)
    at_the_stage_h = most(unit.plug_and_perforate) + most(unit.turnaround)
    return _each(well.stage_design.wireline_time, travel_h + at_the_stage_h, most)


def drill_outs(scenario: Scenario, inflow: float = 0.0) -> Iterator[Thirst]:
    """Milling the plugs of each well, drawn in one, by whichever rig can reach them with least on hand."""
    for well in scenario.wells:
        plugs = plugs_in(well.stage_count)
        rigs = [rig for rig in scenario.units.milling_rigs if rig.reach is None or well.lateral_length <= rig.reach]
        if plugs and rigs:
            yield min((_milling(well, plugs, rig) for rig in rigs), key=lambda each: each.must_be_there(inflow))


def _milling(well: Well, plugs: int, rig: MillingRig) -> Thirst:
    least_h = 0.0 if rig.learning else plugs * shortest(rig.per_plug)  # who learns may get ever faster
    what = f"milling the {plugs} plugs of {well.name}"
    return Thirst(what, plugs * rig.water_per_plug, least_h, plugs * most(rig.per_plug), rig.water_loss)


def _each(stated: StageDuration, design_h: Each, bound: Bound) -> Each:
    """A bound of the hours of each stage."""
    if isinstance(stated, DesignDuration):
        factor, plus = bound(stated.from_design.factor), bound(stated.from_design.plus)
        return design_h * factor + plus if factor else np.full(len(design_h), plus)
    if isinstance(stated, ByStage):
        return np.array([bound(each) for each in stated.by_stage])
    return np.full(len(design_h), bound(stated))


def most(duration: float | Shape) -> float:
    """The most that a duration or a factor may be; infinite without a bound."""
    hours = longest(duration)
    return inf if hours is None else hours


def water_in_all(scenario: Scenario) -> float:
    """Water of all stages, wireline runs and drill-outs at least, in bbl."""
    pumped = sum(sum(well.fluid_by_stage) for well in scenario.wells)
    return pumped + sum(work.must_be_there() for work in (*runs(scenario), *drill_outs(scenario)))


def water_there(water: Water) -> float:
    """Water on hand at the start, as far as it may be drawn from ponds; in bbl."""
    return water.storage.on_hand + sum(max(0.0, pond.on_hand - pond.working_minimum) for pond in water.ponds)
