"""Flowback: the first controlled flow of a well, until it is turned in line to the facility and on production."""

from __future__ import annotations

import math
from functools import partial

from sim import activities
from sim.chance.luck import Luck
from sim.operations.site import Site
from sim.operations.troubled_work import NOTHING, work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.flowback_water import returned_steps
from sim.scenario.equipment import FlowbackSpread
from sim.scenario.wells import Well as StatedWell
from sim.standing import Job

TRADE = activities.WAITING_FOR[activities.FLOW_BACK]


def flow_back_wells(site: Site, spread: Unit, stated: FlowbackSpread) -> Process:
    """A spread flows back one well after the other; it stays on a well that must wait for the facility."""
    yield from spread.arrive()
    well: Well | None
    while (well := (yield from site.to_flow_back.take(spread, lambda _: True))) is not None:
        site.neighbours.enter(well, TRADE)
        job = flowback_job(site.luck, well.stated, stated)
        for activity, hours in site.still_to_do(spread.name, well.name, job):
            if activity == activities.TURN_IN_LINE and not spread.found_at(activity):
                yield from _wait_for_facility(site, spread, well)
            if activity == activities.FLOW_BACK:
                _give_back(site, well, hours, spread.found_at(activity))
            hours_of = partial(_hours_of, well=well.stated, spread=stated, activity=activity)
            yield from work(site, spread, activity, hours, ((well.name, 0),), NOTHING, hours_of)
        site.neighbours.leave(well, spread.after)
        site.neighbours.produce(well, spread.after)


def _wait_for_facility(site: Site, spread: Unit, well: Well) -> Process:
    """Nobody works in a well that is shut and waits for room: others may be fractured beside it, and then go first."""
    if not site.facility.keeps_waiting(well):
        yield from site.facility.make_room(spread, well)
        return
    site.neighbours.leave(well, spread.after)
    yield from site.facility.make_room(spread, well)
    yield from site.neighbours.wait_until_clear(spread, well)
    site.neighbours.enter(well, TRADE)


def _hours_of(luck: Luck, well: StatedWell, spread: FlowbackSpread, activity: str) -> float:
    return dict(flowback_job(luck, well, spread))[activity]


def _give_back(site: Site, well: Well, hours: float, begun: Job | None) -> None:
    """Announce the water that will come back, as if the well flowed without a pause from now on."""
    stated = well.stated.flowback_water
    if stated is not None and site.supplies is not None:
        since_h = site.env.now - (begun.worked_h if begun else 0.0)
        site.supplies.give_back(returned_steps(stated.rate, stated.decline, since_h, hours))


def flowback_job(luck: Luck, well: StatedWell, spread: FlowbackSpread) -> list[tuple[str, float]]:
    """Activities of a flowback and their hours, in order; the steps of the choke schedule are one job."""
    return [
        (activities.RIG_UP, luck.hours(well.name, "flowback rig up", spread.rig_up)),
        (activities.FLOW_BACK, _flowing_h(luck, well, spread)),
        (activities.TURN_IN_LINE, luck.hours(well.name, activities.TURN_IN_LINE, spread.turn_in_line)),
    ]


def _flowing_h(luck: Luck, well: StatedWell, spread: FlowbackSpread) -> float:
    if spread.choke_steps is None:
        return luck.hours(well.name, activities.FLOW_BACK, spread.duration)
    steps = enumerate(spread.choke_steps, start=1)
    return math.fsum(luck.hours(well.name, f"choke step {number}", step) for number, step in steps)
