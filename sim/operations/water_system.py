"""Setting up the water: the transfer line is laid and the storage erected side by side, then the storage is filled."""

from __future__ import annotations

from math import inf

import simpy

from sim import activities
from sim.log import NO_ROW
from sim.operations.site import Site
from sim.operations.unit import Process, Unit
from sim.scenario.supplies import Water
from sim.supplies.stock import Stock

LINE, STORAGE = "Water line", "Water storage"


def set_up_water(site: Site, storage: Unit, laying: simpy.Process) -> Process:
    """Make water ready for the first stage; at once where the scenario states no water."""
    water, stock = site.scenario.water, site.water
    if water is None or stock is None:
        site.water_ready.succeed(NO_ROW)
        return
    yield from _erect(site, storage, water)
    storage.waiting_for = "water system"
    laid: int = yield laying
    storage.meet(site.log.later(laid, storage.after))
    stock.set_inflow(inflow_bbl_per_h(water))
    yield from _fill(site, storage, water, stock)
    site.water_ready.succeed(storage.after)


def inflow_bbl_per_h(water: Water) -> float:
    """What the sources deliver together, within the limit of the line."""
    delivered = sum(source.rate for source in water.sources)
    return min(delivered, water.transfer.limit) if water.transfer else delivered


def lay_line(site: Site, line: Unit) -> Process:
    """Lay the transfer line, where there is one. Returns the row at whose end it is laid."""
    water = site.scenario.water
    if water is not None and water.transfer is not None:
        yield from line.perform(activities.LAY_LINE, site.luck.hours(LINE, activities.LAY_LINE, water.transfer.lay))
    return line.after


def _erect(site: Site, storage: Unit, water: Water) -> Process:
    hours = site.luck.hours(STORAGE, activities.ERECT_STORAGE, water.storage.erect)
    yield from storage.perform(activities.ERECT_STORAGE, hours)


def _fill(site: Site, storage: Unit, water: Water, stock: Stock) -> Process:
    wanted = water.storage.capacity if water.storage.fill_to is None else water.storage.fill_to
    hours = stock.hours_to_reach(wanted)
    if hours == inf:
        storage.waiting_for = activities.WATER
        yield site.env.event()  # nothing flows in, ever
    yield from storage.perform(activities.FILL_STORAGE, hours)
