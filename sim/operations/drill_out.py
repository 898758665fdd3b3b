"""Drill-out: a milling rig goes to the well, mills its plugs from heel to toe, and leaves it for flowback."""

from __future__ import annotations

import math
from functools import partial

from sim import activities
from sim.chance.luck import Luck
from sim.operations.learning import faster
from sim.operations.site import Site
from sim.operations.troubled_work import NOTHING, work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.drill_out import plugs_in, trip_hours
from sim.physics.milling import reach_shortfall_ft, sweeps_in
from sim.scenario.equipment import MillingRig
from sim.scenario.wells import Well as StatedWell
from sim.supplies.supplies import Wanted


def mill_wells(site: Site, rig: Unit, stated: MillingRig) -> Process:
    """A rig drills out one well after the other, of those whose toe it can reach."""
    yield from rig.arrive()
    plugs = site.plugs_milled.get(rig.name, 0)
    in_reach = {well for well in site.wells if reaches(well.stated, stated)}
    well: Well | None
    while (well := (yield from site.to_mill.take(rig, in_reach.__contains__))) is not None:
        site.neighbours.enter(well, activities.WAITING_FOR[activities.MILL_PLUGS])
        for activity, hours in site.still_to_do(
            rig.name, well.name, milling_job(site.luck, well.stated, stated, plugs)
        ):
            milled = plugs_in(well.stages) if activity == activities.MILL_PLUGS else 0
            yield from work(
                site,
                rig,
                activity,
                hours,
                ((well.name, 0),),
                water_of(stated, milled, hours),
                partial(_hours_of, well=well.stated, rig=stated, done_here=plugs, activity=activity),
            )
        plugs += plugs_in(well.stages)
        site.neighbours.leave(well, rig.after)
        site.preparation.return_stack(rig.after)
        site.to_flow_back.put(well, rig.after)


def _hours_of(luck: Luck, well: StatedWell, rig: MillingRig, done_here: int, activity: str) -> float:
    return dict(milling_job(luck, well, rig, done_here))[activity]


def reaches(well: StatedWell, rig: MillingRig) -> bool:
    """Whether the rig gets to the toe of the well."""
    return rig.reach is None or reach_shortfall_ft(well.lateral_length, rig.reach) == 0


def milling_job(luck: Luck, well: StatedWell, rig: MillingRig, done_here: int = 0) -> list[tuple[str, float]]:
    """Activities of a drill-out and their hours, in order, for a rig that has milled so many plugs here before."""
    name, depth_ft, plugs = well.name, well.measured_depth, plugs_in(well.stage_count)
    return [
        (activities.RIG_UP, luck.hours(name, "milling rig up", rig.rig_up)),
        (activities.TRIP_IN, trip_hours(depth_ft, rig.run_in)),
        (activities.MILL_PLUGS, _plug_hours(luck, name, rig, plugs, done_here)),
        (activities.SWEEP, _sweep_hours(luck, name, rig, plugs)),
        (activities.TRIP_OUT, trip_hours(depth_ft, rig.pull_out)),
        (activities.RIG_DOWN, luck.hours(name, "milling rig down", rig.rig_down)),
    ]


def water_of(rig: MillingRig, plugs: int, hours: float) -> Wanted:
    """What milling so many plugs in so many hours uses up: the water of each plug, and what circulation loses."""
    return {activities.WATER: plugs * rig.water_per_plug + hours * rig.water_loss} if plugs else NOTHING


def _plug_hours(luck: Luck, well: str, rig: MillingRig, plugs: int, done_here: int) -> float:
    hours = luck.many(well, activities.MILL_PLUGS, rig.per_plug, plugs).tolist()
    return math.fsum(each * faster(rig.learning, done_here + number) for number, each in enumerate(hours, start=1))


def _sweep_hours(luck: Luck, well: str, rig: MillingRig, plugs: int) -> float:
    """Sweeps or short trips in between, logged as one: their number is known, their places do not matter."""
    number = sweeps_in(plugs, rig.sweep_every) if rig.sweep_every else 0
    return float(luck.many(well, activities.SWEEP, rig.sweep, number).sum())
