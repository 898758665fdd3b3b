"""Flowback: the first controlled flow of a well, until it is turned in line to the facility and on production."""

from __future__ import annotations

from sim import activities
from sim.chance.luck import Luck
from sim.operations.site import Site
from sim.operations.troubled_work import work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.scenario.equipment import FlowbackSpread
from sim.scenario.wells import Well as StatedWell


def flow_back_wells(site: Site, spread: Unit, stated: FlowbackSpread) -> Process:
    """A spread flows back one well after the other; it stays on a well that must wait for the facility."""
    yield from spread.arrive()
    while site.to_flow_back.left:
        well: Well = yield from site.to_flow_back.take(spread)
        for activity, hours in flowback_job(site.luck, well.stated, stated):
            if activity == activities.TURN_IN_LINE:
                yield from site.facility.make_room(spread, well)
            yield from work(site, spread, activity, hours, ((well.name, 0),))
        site.neighbours.produce(well, spread.after)


def flowback_job(luck: Luck, well: StatedWell, spread: FlowbackSpread) -> list[tuple[str, float]]:
    """Activities of a flowback and their hours, in order."""
    name, flowing = well.name, []
    for number, step in enumerate(spread.choke_steps or (spread.duration,), start=1):
        purpose = activities.FLOW_BACK if number == 1 else f"choke step {number}"
        flowing.append((activities.FLOW_BACK, luck.hours(name, purpose, step)))
    return [
        (activities.RIG_UP, luck.hours(name, "flowback rig up", spread.rig_up)),
        *flowing,
        (activities.TURN_IN_LINE, luck.hours(name, activities.TURN_IN_LINE, spread.turn_in_line)),
    ]
