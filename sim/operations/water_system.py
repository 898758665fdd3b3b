"""Setting up the water: lines are laid and the storage erected side by side, then the storage is filled."""

from __future__ import annotations

from math import inf

import simpy

from sim import activities
from sim.log import NO_ROW
from sim.operations.site import Site
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
    for each in water.lines:
        yield from line.perform(activities.LAY_LINE, site.luck.hours(each.name, activities.LAY_LINE, each.lay))
    if water.transfer is not None:
        yield from line.perform(activities.LAY_LINE, site.luck.hours(LINE, activities.LAY_LINE, water.transfer.lay))
    return line.after


def _erect(site: Site, storage: Unit, water: Water) -> Process:
    hours = site.luck.hours(STORAGE, activities.ERECT_STORAGE, water.storage.erect)
    yield from storage.perform(activities.ERECT_STORAGE, hours)


def _fill(site: Site, storage: Unit, water: Water, supplies: Supplies) -> Process:
    """Fill the storage, as fast as the water comes; nobody draws meanwhile."""
    hours = supplies.hours_to_reach(activities.WATER, water.storage.filled_to)
    if hours == inf:
        storage.waiting_for = f"{activities.WATER}: source"
        yield site.env.event()  # nothing flows in, ever
    yield from storage.perform(activities.FILL_STORAGE, hours)
