"""Fracturing: a fleet takes on group after group, and within a group goes round the wells stage by stage."""

from __future__ import annotations

from sim import activities
from sim.operations.fleet import Fleet
from sim.operations.rotation import Rotation, Set
from sim.operations.site import Site
from sim.operations.stage_times import StageTimes
from sim.operations.troubled_work import work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.scenario.equipment import PumpingFleet
from sim.supplies.supplies import Wanted


def fracture_pad(site: Site, unit: Unit, stated: PumpingFleet) -> Process:
    """Rig up, fracture group after group until none is left, rig down."""
    yield from unit.arrive()
    if not site.groups:
        return
    fleet = Fleet(site, unit, stated)
    group: list[Well] | None = site.take_group()
    assert group is not None
    yield from _rig_up(site, fleet, group)
    while group is not None:
        yield from _fracture_group(site, fleet, group)
        fractured, group = group, site.take_group()
        site.leave_group(fractured, unit.after)
        if group is not None:
            yield from unit.perform(activities.MOVE, _move_hours(site, group))
    yield from unit.perform(activities.RIG_DOWN, site.luck.hours(unit.name, activities.RIG_DOWN, stated.rig_down))


def _rig_up(site: Site, fleet: Fleet, group: list[Well]) -> Process:
    """A fleet on call comes once the first well of its group is prepared; then it waits for water and proppant."""
    unit = fleet.unit
    if unit.on_call:
        unit.waiting_for = "preparation"
        unit.meet((yield group[0].prepared))
    yield from unit.perform(activities.RIG_UP, site.luck.hours(unit.name, activities.RIG_UP, fleet.stated.rig_up))
    unit.waiting_for = "water system"
    unit.meet((yield site.water_ready))
    if site.scenario.proppant is not None:
        unit.waiting_for = activities.PROPPANT
        unit.meet((yield site.proppant_ready))


def _move_hours(site: Site, group: list[Well]) -> float:
    return site.luck.hours(group[0].name, activities.MOVE, site.scenario.strategy.between_groups)


def _fracture_group(site: Site, fleet: Fleet, group: list[Well]) -> Process:
    yield from site.preparation.wait_for_stacks(fleet.unit, group)
    site.neighbours.turn_to(group)
    yield from site.neighbours.make_way(fleet.unit, group)
    rotation = Rotation(site.env, group, site.scenario.strategy)
    site.neighbours.begin(group, fleet.unit.after)
    for well in group:
        site.env.process(_enter(site, rotation, well, fleet.unit.after))
    times = {well: fleet.stage_times(site, well) for well in group}
    while not rotation.finished:
        wells = yield from _turn_to_next(fleet.unit, rotation, times)
        yield from _pump(site, fleet, rotation, wells, times)


def _enter(site: Site, rotation: Rotation, well: Well, opened: int) -> Process:
    """The well joins the rotation once it is prepared and the fleet has come to its group."""
    site.rotation_of[well] = rotation
    prepared: int = yield well.prepared
    released = site.log.later(prepared, opened)
    rotation.enter(well, released)
    if well.toe_is_open:
        rotation.make_ready(well, released)
    else:
        site.to_perforate.put(well, released)


def _turn_to_next(fleet: Unit, rotation: Rotation, times: dict[Well, StageTimes]) -> Process:
    """Choose the wells for the next stage, swap to them and wait until they are ready, in the manner of the plan."""
    while (wells := rotation.next_set()) is None or (rotation.swaps_when_ready and not rotation.is_ready(wells)):
        fleet.waiting_for = "wireline" if rotation.is_entered else "preparation"
        yield rotation.changed()
    fleet.meet(rotation.last_released(wells))
    if rotation.is_elsewhere(wells):
        yield from fleet.perform(activities.SWAP, times[wells[0]].swap_h[wells[0].pumped], _places(wells))
    fleet.waiting_for = "wireline"
    while not rotation.is_ready(wells):
        yield rotation.changed()
    fleet.meet(rotation.last_released(wells))
    return wells


def _pump(site: Site, fleet: Fleet, rotation: Rotation, wells: Set, times: dict[Well, StageTimes]) -> Process:
    """Pump one stage in each of the wells at once; they are started and shut down together."""
    hours = fleet.stage_hours([times[well].pump_h(len(wells))[well.pumped] for well in wells])
    needed = max([times[well].pumps_needed(len(wells))[well.pumped] for well in wells])
    places, lost_h = _places(wells), fleet.pumps_lose_h(hours, needed)
    row = yield from work(site, fleet.unit, activities.PUMP_STAGE, hours, places, _wanted(site, wells, hours))
    if lost_h > 0:
        row = yield from fleet.unit.perform(activities.PUMP_STAGE, lost_h, places, fleet.pump_trouble, planned_h=0.0)
    rotation.leave(wells)
    for k, well in enumerate(wells):
        well.pumped += 1
        if well.pumped < well.stages:
            site.to_perforate.put(well, row + k)


def _wanted(site: Site, wells: Set, hours: float) -> Wanted:
    """What the next stage in each of the wells uses up."""
    wanted = {activities.WATER: sum([well.fluid_bbl[well.pumped] for well in wells])}
    for name, other in site.other_supplies:
        wanted[name] = other.wanted(hours, len(wells))
    proppant_lb = sum([well.proppant_lb for well in wells])
    if site.scenario.proppant is not None and proppant_lb > 0:
        wanted[activities.PROPPANT] = proppant_lb
    return wanted


def _places(wells: Set) -> tuple[tuple[str, int], ...]:
    return tuple([(well.name, well.pumped + 1) for well in wells])
