"""Setting up the water: lines are laid and the storage erected side by side, then the storage is filled."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

import simpy

from sim import activities
from sim.chance.luck import Luck
from sim.chance.residual import CLOSE_H, longer_than
from sim.log import NO_ROW
from sim.operations.site import Site
from sim.operations.troubled_work import do
from sim.operations.unit import Process, Unit
from sim.scenario.supplies import Water
from sim.supplies.supplies import Supplies

LINE, STORAGE = "Water line", "Water storage"


def set_up_water(site: Site, storage: Unit, laying: simpy.Process) -> Process:
    """Make water ready for the first stage; at once where the scenario states no water."""
    water, supplies = site.scenario.water, site.supplies
    if water is None or supplies is None:
        site.water_ready.succeed(NO_ROW)
        return
    if is_in_use(site):
        yield from laying_is_over(site, supplies, storage, laying)
        return
    yield from _erect(site, storage, water)
    storage.waiting_for = "water system"
    laid: int = yield laying
    storage.meet(site.log.later(laid, storage.after))
    supplies.lay(activities.WATER)
    yield from _fill(site, storage, water, supplies)
    site.water_ready.succeed(storage.after)


def lay_line(site: Site, line: Unit) -> Process:
    """Lay the lines, one after the other, the transfer line last. Returns the row at whose end all are laid."""
    water = site.scenario.water
    if water is None:
        return line.after
    if any(job.unit == line.name for job in site.standing.done(activities.LAY_LINE)) or is_in_use(site):
        return line.after
    begun = line.take_up(activities.LAY_LINE)
    for hours in _left_h(lambda luck: lay_hours(luck, water), site.luck, begun.worked_h if begun else 0.0):
        yield from line.perform(activities.LAY_LINE, hours, planned_h=0.0 if begun else hours)
        begun = None
    return line.after


def lay_hours(luck: Luck, water: Water) -> list[float]:
    """Hours of laying each line, in order."""
    hours = [luck.hours(each.name, activities.LAY_LINE, each.lay) for each in water.lines]
    last = [] if water.transfer is None else [luck.hours(LINE, activities.LAY_LINE, water.transfer.lay)]
    return hours + last


def _left_h(hours_of: Callable[[Luck], list[float]], luck: Luck, worked_h: float) -> list[float]:
    """What is left of jobs that follow one another, of which so much is done."""
    total_h = longer_than(worked_h, lambda other: sum(hours_of(other)), luck)
    hours = hours_of(luck)
    if worked_h > 0 and total_h != max(worked_h, sum(hours)):
        return [total_h - worked_h]
    while hours and worked_h >= hours[0] - CLOSE_H:
        worked_h = max(0.0, worked_h - hours.pop(0))
    return [hours[0] - worked_h, *hours[1:]] if hours else []


def is_in_use(site: Site) -> bool:
    """Whether the water was found ready: nothing is left to do at the storage, or somebody draws already."""
    if site.standing.has_left(STORAGE):
        return True
    in_use = (activities.PLUG_AND_PERFORATE, activities.PUMP_STAGE, activities.MILL_PLUGS)
    return any(
        job.activity in in_use or (job.activity == activities.FILL_STORAGE and job.is_done)
        for job in site.standing.jobs
    )


def laying_is_over(site: Site, supplies: Supplies, storage: Unit, laying: simpy.Process) -> Process:
    """Water flows in, as it did before."""
    yield laying
    supplies.lay(activities.WATER)
    site.water_ready.succeed(storage.after)


def _erect(site: Site, storage: Unit, water: Water) -> Process:
    if any(job.activity == activities.FILL_STORAGE or job.is_done for job in site.standing.of_unit.get(STORAGE, ())):
        return
    erect = water.storage.erect
    yield from do(
        site, storage, activities.ERECT_STORAGE, lambda luck: luck.hours(STORAGE, activities.ERECT_STORAGE, erect)
    )


def _fill(site: Site, storage: Unit, water: Water, supplies: Supplies) -> Process:
    """Fill the storage, as fast as the water comes: it needs no crew, and nobody draws meanwhile."""
    hours = supplies.hours_to_reach(activities.WATER, water.storage.filled_to)
    if hours == inf:
        storage.waiting_for = f"{activities.WATER}: source"
        yield site.env.event()  # nothing flows in, ever
    storage.take_up(activities.FILL_STORAGE)
    yield from storage.let_run(activities.FILL_STORAGE, hours)
