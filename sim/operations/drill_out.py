"""Drill-out: a milling rig goes to the well, mills its plugs from heel to toe, and leaves it for flowback."""

from __future__ import annotations

from sim import activities
from sim.chance.luck import Luck
from sim.operations.site import Site
from sim.operations.troubled_work import work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.drill_out import plugs_in, trip_hours
from sim.scenario.equipment import MillingRig
from sim.scenario.wells import Well as StatedWell


def mill_wells(site: Site, rig: Unit, stated: MillingRig) -> Process:
    """A rig drills out one well after the other."""
    yield from rig.arrive()
    while site.to_mill.left:
        well: Well = yield from site.to_mill.take(rig)
        for activity, hours in milling_job(site.luck, well.stated, stated):
            yield from work(site, rig, activity, hours, ((well.name, 0),))
        site.preparation.return_stack(rig.after)
        site.to_flow_back.put(well, rig.after)


def milling_job(luck: Luck, well: StatedWell, rig: MillingRig) -> list[tuple[str, float]]:
    """Activities of a drill-out and their hours, in order."""
    name, depth_ft = well.name, well.measured_depth
    plugs_h = luck.many(name, activities.MILL_PLUGS, rig.per_plug, plugs_in(well.stage_count))
    return [
        (activities.RIG_UP, luck.hours(name, "milling rig up", rig.rig_up)),
        (activities.TRIP_IN, trip_hours(depth_ft, rig.run_in)),
        (activities.MILL_PLUGS, float(plugs_h.sum())),
        (activities.TRIP_OUT, trip_hours(depth_ft, rig.pull_out)),
        (activities.RIG_DOWN, luck.hours(name, "milling rig down", rig.rig_down)),
    ]
