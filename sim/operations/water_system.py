"""Setting up the water: the transfer line is laid and the storage erected side by side, then the storage is filled."""

from __future__ import annotations

from sim import activities
from sim.log import NO_ROW
from sim.operations.site import Site
from sim.operations.unit import Process, Unit
from sim.scenario.supplies import Water
from sim.supplies.stock import Stock

LINE, STORAGE = "Water line", "Water storage"


def set_up_water(site: Site, line: Unit, storage: Unit) -> Process:
    """Make water ready for the first stage; at once where the scenario states no water."""
    water, stock = site.scenario.water, site.water
    if water is None or stock is None:
        site.water_ready.succeed(NO_ROW)
        return
    laying = site.env.process(_lay(site, line, water))
    yield from _erect(site, storage, water)
    laid: int = yield laying
    storage.meet(site.later(laid, storage.after))
    stock.set_inflow(inflow_bbl_per_h(water))
    yield from _fill(storage, water, stock)
    site.water_ready.succeed(storage.after)


def inflow_bbl_per_h(water: Water) -> float:
    """What the sources deliver together, within the limit of the line."""
    delivered = sum(source.rate for source in water.sources)
    return min(delivered, water.transfer.limit) if water.transfer else delivered


def _lay(site: Site, line: Unit, water: Water) -> Process:
    if water.transfer is not None:
        yield from line.perform(activities.LAY_LINE, site.luck.hours(LINE, activities.LAY_LINE, water.transfer.lay))
    return line.after


def _erect(site: Site, storage: Unit, water: Water) -> Process:
    hours = site.luck.hours(STORAGE, activities.ERECT_STORAGE, water.storage.erect)
    yield from storage.perform(activities.ERECT_STORAGE, hours)


def _fill(storage: Unit, water: Water, stock: Stock) -> Process:
    wanted = water.storage.capacity if water.storage.fill_to is None else water.storage.fill_to
    yield from storage.perform(activities.FILL_STORAGE, stock.hours_to_reach(wanted))
