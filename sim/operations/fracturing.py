"""Fracturing: a fleet takes on group after group, and within a group goes round the wells stage by stage."""

from __future__ import annotations

import numpy as np

from sim import activities
from sim.chance.luck import Luck
from sim.operations.drawing import work_drawing
from sim.operations.rotation import Rotation, Set
from sim.operations.site import Site
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.stages import pump_hours, rate_held_bbl_per_h
from sim.scenario.equipment import PumpingFleet
from sim.scenario.shapes import Shape
from sim.scenario.wells import Well as StatedWell


def fracture_pad(site: Site, fleet: Unit, stated: PumpingFleet) -> Process:
    """Rig up, fracture group after group until none is left, rig down."""
    yield from fleet.arrive()
    if not site.groups:
        return
    group = site.groups.pop(0)
    yield from _rig_up(site, fleet, stated, group)
    while True:
        yield from _fracture_group(site, fleet, stated, group)
        if not site.groups:
            break
        group = site.groups.pop(0)
        yield from fleet.perform(activities.MOVE, _move_hours(site, group))
    yield from fleet.perform(activities.RIG_DOWN, site.luck.hours(fleet.name, activities.RIG_DOWN, stated.rig_down))


def _rig_up(site: Site, fleet: Unit, stated: PumpingFleet, group: list[Well]) -> Process:
    """A fleet on call comes once the first well of its group is prepared; then it waits for the water system."""
    if fleet.on_call:
        fleet.waiting_for = "preparation"
        fleet.meet((yield group[0].prepared))
    yield from fleet.perform(activities.RIG_UP, site.luck.hours(fleet.name, activities.RIG_UP, stated.rig_up))
    fleet.waiting_for = "water system"
    fleet.meet((yield site.water_ready))


def _move_hours(site: Site, group: list[Well]) -> float:
    return site.luck.hours(group[0].name, activities.MOVE, site.scenario.strategy.between_groups)


def _fracture_group(site: Site, fleet: Unit, stated: PumpingFleet, group: list[Well]) -> Process:
    rotation = Rotation(site.env, group, site.scenario.strategy)
    for well in group:
        site.env.process(_enter(site, rotation, well, fleet.after))
    swap = site.scenario.strategy.swap.time
    times = {well: StageTimes(site.luck, well.stated, swap, stated.rate_limit) for well in group}
    while not rotation.finished:
        wells = yield from _turn_to_next(fleet, rotation, times)
        yield from _pump(site, fleet, rotation, wells, times)
    site.group_fractured(group, fleet.after)


def _enter(site: Site, rotation: Rotation, well: Well, opened: int) -> Process:
    """The well joins the rotation once it is prepared and the fleet has come to its group."""
    well.rotation = rotation
    prepared: int = yield well.prepared
    released = site.later(prepared, opened)
    if well.toe_is_open:
        rotation.make_ready(well, released)
    else:
        site.to_perforate.put(well, released)


def _turn_to_next(fleet: Unit, rotation: Rotation, times: dict[Well, StageTimes]) -> Process:
    """Choose the wells for the next stage, swap to them and wait until they are ready, in the manner of the plan."""
    while (wells := rotation.next_set()) is None or (rotation.swaps_when_ready and not rotation.is_ready(wells)):
        yield rotation.changed()
    if rotation.swaps_when_ready:
        fleet.meet(rotation.last_released(wells))
    if rotation.is_elsewhere(wells):
        yield from fleet.perform(activities.SWAP, times[wells[0]].swap_h[wells[0].pumped], _places(wells))
    fleet.waiting_for = "wireline"
    while not rotation.is_ready(wells):
        yield rotation.changed()
    fleet.meet(rotation.last_released(wells))
    return wells


def _pump(site: Site, fleet: Unit, rotation: Rotation, wells: Set, times: dict[Well, StageTimes]) -> Process:
    """Pump one stage in each of the wells at once; they are started and shut down together."""
    hours = max([times[well].pump_h(len(wells))[well.pumped] for well in wells])
    fluid_bbl = sum([well.fluid_bbl for well in wells])
    row = yield from work_drawing(fleet, activities.PUMP_STAGE, hours, _places(wells), site.water, fluid_bbl)
    rotation.leave(wells)
    for k, well in enumerate(wells):
        well.pumped += 1
        if well.pumped < well.stages:
            site.to_perforate.put(well, row + k)


def _places(wells: Set) -> tuple[tuple[str, int], ...]:
    return tuple([(well.name, well.pumped + 1) for well in wells])


class StageTimes:
    """Swap and pumping hours of a well under one fleet, lists over the stages from the toe."""

    def __init__(self, luck: Luck, well: StatedWell, swap: float | Shape, rate_limit_bbl_per_h: float) -> None:
        self._luck, self._well, self._rate_limit = luck, well, rate_limit_bbl_per_h
        self.swap_h: list[float] = luck.many(well.name, activities.SWAP, swap, well.stage_count).tolist()
        self._pump_h: dict[int, list[float]] = {}

    def pump_h(self, together: int) -> list[float]:
        """Pumping hours with so many wells pumped at once, at the rate the fleet can hold into each."""
        if together not in self._pump_h:
            well, design = self._well, self._well.stage_design
            rate = rate_held_bbl_per_h(design.rate, self._rate_limit, together)
            design_h = np.full(well.stage_count, pump_hours(design.fluid, rate))
            hours = self._luck.by_stage(well.name, activities.PUMP_STAGE, design.pump_time, design_h)
            self._pump_h[together] = hours.tolist()
        return self._pump_h[together]
