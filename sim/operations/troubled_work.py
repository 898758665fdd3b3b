"""A job with its troubles: work up to where each strikes, the hours it costs, and on as the trouble allows."""

from __future__ import annotations

from collections.abc import Sequence

from sim.chance.troubles import Script, script
from sim.operations.drawing import work_drawing
from sim.operations.site import Site
from sim.operations.unit import Place, Process, Unit
from sim.supplies.supplies import Wanted

NOTHING: Wanted = {}


def work(
    site: Site,
    unit: Unit,
    activity: str,
    hours: float,
    places: Sequence[Place],
    wanted: Wanted = NOTHING,
) -> Process:
    """Do a job of so many hours, drawing volumes meanwhile; what strikes any of its places stops all of it.

    What is repeated draws its volumes again. Returns the last row of the first place; those of the others follow it.
    """
    hazards = site.hazards(activity, places, hours)
    if not hazards:
        return work_drawing(unit, activity, hours, places, site.supplies, wanted)
    return _work_through(site, script(hours, hazards), unit, activity, places, wanted, hours)


def _work_through(
    site: Site, steps: Script, unit: Unit, activity: str, places: Sequence[Place], wanted: Wanted, hours: float
) -> Process:
    for step in steps.steps:
        if step.trouble:
            yield from unit.perform(activity, step.hours, places, step.trouble, step.planned_h)
        else:
            part = {supply: volume / hours * step.hours for supply, volume in wanted.items()}
            yield from work_drawing(unit, activity, step.hours, places, site.supplies, part, step.planned_h)
    return unit.after
