"""A job with its troubles: work up to where each strikes, the hours it costs, and on as the trouble allows."""

from __future__ import annotations

from collections.abc import Sequence

from sim.chance.troubles import Script, script
from sim.operations.drawing import work_drawing
from sim.operations.site import Site
from sim.operations.unit import Place, Process, Unit
from sim.supplies.stock import Stock


def work(
    site: Site,
    unit: Unit,
    activity: str,
    hours: float,
    places: Sequence[Place],
    stock: Stock | None = None,
    volume: float = 0.0,
) -> Process:
    """Do a job of so many hours, drawing a volume meanwhile; what strikes any of its places stops all of it.

    What is repeated draws its volume again. Returns the last row of the first place; those of the others follow it.
    """
    hazards = site.hazards(activity, places, hours)
    if not hazards:
        return work_drawing(unit, activity, hours, places, stock, volume)
    return _work_through(script(hours, hazards), unit, activity, places, stock, volume / hours)


def _work_through(
    steps: Script, unit: Unit, activity: str, places: Sequence[Place], stock: Stock | None, rate: float
) -> Process:
    for step in steps.steps:
        if step.trouble:
            yield from unit.perform(activity, step.hours, places, step.trouble, step.planned_h)
        else:
            yield from work_drawing(unit, activity, step.hours, places, stock, rate * step.hours, step.planned_h)
    return unit.after
