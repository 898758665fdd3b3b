"""Fracturing: a fleet takes on group after group, and within a group goes round the wells stage by stage."""

from __future__ import annotations

from sim import activities
from sim.chance.luck import Luck
from sim.log import NO_ROW
from sim.operations.fleet import Fleet
from sim.operations.rotation import Rotation, Set
from sim.operations.site import Site
from sim.operations.stage_times import StageTimes
from sim.operations.troubled_work import do, work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.scenario.equipment import PumpingFleet
from sim.supplies.supplies import Wanted


def fracture_pad(site: Site, unit: Unit, stated: PumpingFleet) -> Process:
    """Rig up, fracture group after group until none is left, rig down."""
    yield from unit.arrive()
    if unit.on_call:
        yield from _called_in(site, unit)
    group = site.take_group(unit.name)
    if group is None and not unit.is_here:
        return
    fleet = Fleet(site, unit, stated)
    if group is not None:
        yield from _rig_up(site, fleet)
    if group is not None and site.has_to_move(unit, group):
        yield from _move(site, unit, group)
    while group is not None:
        yield from _fracture_group(site, fleet, group)
        fractured, group = group, site.take_group(unit.name)
        site.leave_group(fractured, unit.after)
        if group is not None:
            yield from _move(site, unit, group)
    yield from do(
        site, unit, activities.RIG_DOWN, lambda luck: luck.hours(unit.name, activities.RIG_DOWN, stated.rig_down)
    )


def _called_in(site: Site, unit: Unit) -> Process:
    """A fleet on call comes once a well is prepared of a group that no fleet has taken, and takes that group."""
    while site.groups:
        for group in site.groups:
            if (prepared := site.prepared_in(group)) is not None:
                site.groups.remove(group)
                site.groups.insert(0, group)
                unit.meet(prepared if site.ends_now(prepared) else NO_ROW)
                return
        unit.waiting_for = "preparation"
        yield site.groups_change.rung()


def _rig_up(site: Site, fleet: Fleet) -> Process:
    """Rig up, then wait for water and proppant."""
    unit = fleet.unit
    if not site.is_rigged_up(unit):
        stated = fleet.stated.rig_up
        yield from do(site, unit, activities.RIG_UP, lambda luck: luck.hours(unit.name, activities.RIG_UP, stated))
    unit.waiting_for = "water system"
    unit.meet((yield site.water_ready))
    if site.scenario.proppant is not None:
        unit.waiting_for = activities.PROPPANT
        unit.meet((yield site.proppant_ready))


def _move(site: Site, unit: Unit, group: list[Well]) -> Process:
    stated, name = site.scenario.strategy.between_groups, group[0].name
    return do(site, unit, activities.MOVE, lambda luck: luck.hours(name, activities.MOVE, stated))


def _fracture_group(site: Site, fleet: Fleet, group: list[Well]) -> Process:
    rotation = site.found_going_round.pop(group[0], None)
    if rotation is None:
        yield from site.preparation.wait_for_stacks(fleet.unit, group)
        yield from _wait_for_preparation(site, fleet.unit, group)
        site.neighbours.turn_to(group)
        yield from site.neighbours.make_way(fleet.unit, group)
        rotation = Rotation(site.env, group, site.scenario.strategy)
    for well in group:
        if not rotation.has_entered(well):
            site.env.process(_enter(site, rotation, well, fleet.unit.after))
    times = {well: fleet.stage_times(site, well) for well in group}
    if any(well.pumped for well in group):  # as it was found
        site.neighbours.begin(group, fleet.unit.after)
    while not rotation.finished:
        wells = yield from _turn_to_next(site, fleet, rotation, times)
        site.neighbours.begin(group, fleet.unit.after)
        yield from _pump(site, fleet, rotation, wells, times)


def _wait_for_preparation(site: Site, unit: Unit, group: list[Well]) -> Process:
    """Wait until fracturing of the group can begin: others need not keep clear of it before."""
    waits = False
    while (prepared := site.prepared_in(group)) is None:
        waits, unit.waiting_for = True, "preparation"
        yield site.groups_change.rung()
    if waits:
        unit.meet(prepared)


def _enter(site: Site, rotation: Rotation, well: Well, opened: int) -> Process:
    """The well joins the rotation once it is prepared and the fleet has come to its group."""
    site.rotation_of[well] = rotation
    prepared: int = yield well.prepared
    released = site.log.later(prepared, opened)
    rotation.enter(well, released)
    if well.is_open:
        rotation.make_ready(well, released)
    else:
        site.to_perforate.put(well, released)


def _turn_to_next(site: Site, fleet: Fleet, rotation: Rotation, times: dict[Well, StageTimes]) -> Process:
    """Choose the wells for the next stage, swap to them and wait until they are ready, in the manner of the plan."""
    unit, wells, has_swapped = fleet.unit, *rotation.was_turned_to()
    while wells is None and (
        (wells := rotation.next_set()) is None or (rotation.swaps_when_ready and not rotation.is_ready(wells))
    ):
        unit.waiting_for, wells = "wireline" if rotation.is_entered else "preparation", None
        yield rotation.changed.rung()
    unit.meet(rotation.last_released(wells))
    if rotation.is_elsewhere(wells) and not has_swapped:
        yield from _swap(site, fleet, wells, times)
    unit.waiting_for = "wireline"
    while not rotation.is_ready(wells):
        yield rotation.changed.rung()
    unit.meet(rotation.last_released(wells))
    return wells


def _swap(site: Site, fleet: Fleet, wells: Set, times: dict[Well, StageTimes]) -> Process:
    first, stage, found = wells[0], wells[0].pumped, fleet.unit.found_at(activities.SWAP)
    if found is None:
        return fleet.unit.perform(activities.SWAP, times[first].swap_h[stage], _places(wells))
    return do(
        site,
        fleet.unit,
        activities.SWAP,
        lambda luck: fleet.stage_times(site, first, luck).swap_h[stage],
        _places(wells),
    )


def _pump(site: Site, fleet: Fleet, rotation: Rotation, wells: Set, times: dict[Well, StageTimes]) -> Process:
    """Pump one stage in each of the wells at once; they are started and shut down together."""
    stages = [times[well].pumping(len(wells))[well.pumped] for well in wells]
    hours = fleet.stage_hours(stages)
    found = fleet.unit.found_at(activities.PUMP_STAGE)
    left_h = hours if found is None else max(0.0, hours - found.worked_h)
    places, lost_h = _places(wells), fleet.pumps_lose_h(left_h, stages)

    def hours_of(luck: Luck) -> float:
        drawn = [fleet.stage_times(site, well, luck).pumping(len(wells))[well.pumped] for well in wells]
        return fleet.this_stage_hours(drawn)

    wanted = _wanted(site, wells, hours)
    row = yield from work(site, fleet.unit, activities.PUMP_STAGE, hours, places, wanted, hours_of)
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
    if site.scenario.proppant is not None and (proppant_lb := sum([well.proppant_lb for well in wells])) > 0:
        wanted[activities.PROPPANT] = proppant_lb
    return wanted


def _places(wells: Set) -> tuple[tuple[str, int], ...]:
    return tuple([(well.name, well.pumped + 1) for well in wells])
