"""Water that never comes, and stages and wireline runs that could never start beside the storage as it is."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.physics.stages import distance_from_heel_ft
from sim.physics.wireline import pump_down_bbl, travel_hours
from sim.scenario.durations import ByStage, DesignDuration, StageDuration
from sim.scenario.equipment import PumpingFleet, WirelineUnit
from sim.scenario.feasibility import Finding, longest, pumped_at_once
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.scenario.treating import MINUTES, held_rates
from sim.scenario.wells import Well

Each = NDArray[np.float64]  # one number for each stage of a well, from the toe
CAPACITY = ("water", "storage", "capacity")


class Thirst(NamedTuple):
    """Work that draws water: what it is, how much it takes in bbl, and the most hours it may take."""

    what: str
    volume: float
    hours: float


def never_delivered(scenario: Scenario) -> Iterator[Finding]:
    """Sources that deliver nothing, where less is on hand than the wells need, pump-down included."""
    water = scenario.water
    if water is None or sum(source.rate for source in water.sources) > 0:
        return
    on_hand, storage = water.storage.on_hand, water.storage
    wanted = storage.capacity if storage.fill_to is None else storage.fill_to
    needed = sum(sum(well.fluid_by_stage) for well in scenario.wells) + sum(run.volume for run in _runs(scenario))
    if max(wanted, needed) > on_hand:
        everything = f"{needed:,.0f} bbl for all stages and wireline runs"
        short = f"{wanted:,.0f} bbl to begin with" if wanted > on_hand else everything
        message = f"deliver nothing, and the {on_hand:,.0f} bbl on hand are less than the {short}"
        yield Finding(("water", "sources"), f"{message}; expected a rate above zero")


def never_started(scenario: Scenario) -> Iterator[Finding]:
    """What can never start, with the storage full and whatever the luck; of stages and of runs the worst each."""
    water = scenario.water
    if water is None or water.start_rule == "as it comes":
        return
    stages = () if water.start_rule == "full stage on hand" else _stages(scenario)  # those are checked already
    for work in (stages, _runs(scenario)):
        worst = max(work, key=lambda each: _must_be_there(each, water), default=None)
        if worst is not None and _must_be_there(worst, water) > water.storage.capacity - water.storage.working_minimum:
            yield Finding(CAPACITY, _message(worst, water))


def _must_be_there(work: Thirst, water: Water) -> float:
    """Water on hand without which the work does not start, in bbl; what takes no time draws none."""
    if work.hours <= 0:
        return 0.0
    return work.volume if water.start_rule == "full stage on hand" else work.volume - _flows_in(work, water)


def _flows_in(work: Thirst, water: Water) -> float:
    inflow = water.most_inflow
    return inflow * work.hours if inflow else 0.0  # not even in hours without a bound


def _message(work: Thirst, water: Water) -> str:
    least = f"expected at least {_must_be_there(work, water) + water.storage.working_minimum:,.0f} bbl"
    if water.start_rule == "full stage on hand":
        return f"less than {work.what} takes; {least}, or a start_rule other than 'full stage on hand'"
    return (
        f"too little for {work.what}, which takes {work.volume:,.0f} bbl, of which at most"
        f" {_flows_in(work, water):,.0f} flow in meanwhile; {least}, or start_rule 'as it comes'"
    )


def _stages(scenario: Scenario) -> Iterator[Thirst]:
    """Stages of wells that may be pumped at once; each goes at the pace of the slowest of its wells."""
    for wells in pumped_at_once(scenario):
        for number in range(max(well.stage_count for well in wells)):
            pumped = [well for well in wells if number < well.stage_count]
            hours = max(_pump_hours(scenario, well, len(pumped))[number] for well in pumped)
            volume = sum(well.fluid_by_stage[number] for well in pumped)
            yield Thirst(f"stage {number + 1} of {' and '.join(well.name for well in pumped)}", volume, hours)


def _pump_hours(scenario: Scenario, well: Well, together: int) -> list[float]:
    """The most that pumping each stage may take any fleet."""

    def by(fleet: PumpingFleet) -> Each:
        design_h = np.array(well.fluid_by_stage) / (MINUTES * held_rates(well, fleet, together).rate_bpm)
        return _longest_each(well.stage_design.pump_time, design_h)

    hours: list[float] = np.max([by(fleet) for fleet in scenario.units.pumping_fleets], axis=0).tolist()
    return hours


def _runs(scenario: Scenario) -> Iterator[Thirst]:
    """Wireline runs of all wells, each by the unit that needs least water for it; none where the toe opens stage 1."""
    first = {well.name: 0 if well.toe.method == "none" else 1 for well in scenario.wells}
    for well in scenario.wells:
        volume = np.min([_run_water(well, unit) for unit in scenario.units.wireline_units], axis=0)
        hours = np.max([_run_hours(well, unit) for unit in scenario.units.wireline_units], axis=0)
        for number in range(first[well.name], well.stage_count):
            yield Thirst(f"the wireline run to stage {number + 1} of {well.name}", volume[number], hours[number])


def _run_water(well: Well, unit: WirelineUnit) -> Each:
    if well.stage_design.pump_down is not None:
        return np.full(well.stage_count, well.stage_design.pump_down)
    along_ft = distance_from_heel_ft(well.lateral_length, well.stage_count)
    return pump_down_bbl(along_ft, unit.pump_down, unit.pump_down_rate)


def _run_hours(well: Well, unit: WirelineUnit) -> Each:
    along_ft = distance_from_heel_ft(well.lateral_length, well.stage_count)
    heel_ft = well.measured_depth - well.lateral_length
    travel_h = travel_hours(heel_ft, along_ft, unit.run_in, unit.pump_down, unit.pull_out)
    at_the_stage_h = _most(longest(unit.plug_and_perforate)) + _most(longest(unit.turnaround))
    return _longest_each(well.stage_design.wireline_time, travel_h + at_the_stage_h)


def _longest_each(stated: StageDuration, design_h: Each) -> Each:
    """The most hours of each stage; without a bound infinite."""
    if isinstance(stated, DesignDuration):
        factor, plus = _most(longest(stated.from_design.factor)), _most(longest(stated.from_design.plus))
        return design_h * factor + plus if factor else np.full(len(design_h), plus)
    if isinstance(stated, ByStage):
        return np.array([_most(longest(each)) for each in stated.by_stage])
    return np.full(len(design_h), _most(longest(stated)))


def _most(hours: float | None) -> float:
    return inf if hours is None else hours
