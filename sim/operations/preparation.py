"""Preparing the wellheads and the toe: nipple up, test, open the toe, and where asked an injection test."""

from __future__ import annotations

from sim import activities
from sim.chance.luck import Luck
from sim.log import NO_ROW, Interval
from sim.operations.site import Site
from sim.operations.troubled_work import work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.scenario.equipment import PreparationCrew
from sim.scenario.wells import Well as StatedWell


def release(site: Site, well: Well) -> Process:
    """The drilling rig leaves the well, which then waits for a preparation crew."""
    rig_release = well.stated.rig_release
    released_h = site.scenario.hours_at(rig_release) if rig_release else 0.0
    row = NO_ROW
    if released_h > 0:
        yield site.env.timeout(released_h)
        row = _without_unit(site, well, activities.RIG_RELEASE, 0.0, NO_ROW)
    site.to_prepare.put(well, row)


def prepare_wells(site: Site, crew: Unit, _stated: PreparationCrew) -> Process:
    """A crew prepares one well after the other, in the order in which the wells are released."""
    yield from crew.arrive()
    while site.to_prepare.left:
        well: Well = yield from site.to_prepare.take(crew)
        yield from _prepare(site, crew, well)


def _prepare(site: Site, crew: Unit, well: Well) -> Process:
    """The crew goes on to its next well while the pressure after an injection test is watched."""
    for activity, hours in preparation_job(site.luck, well.stated):
        yield from work(site, crew, activity, hours, ((well.name, 0),))
    if well.stated.injection_test is None:
        well.prepared.succeed(crew.after)
    else:
        site.env.process(_watch(site, well, watch_hours(site.luck, well.stated), crew.after))


def preparation_job(luck: Luck, well: StatedWell) -> list[tuple[str, float]]:
    """Activities of a crew at a well and their hours, in order."""
    name, stated, test = well.name, well.preparation, well.injection_test
    job = [
        (activities.NIPPLE_UP, luck.hours(name, activities.NIPPLE_UP, stated.nipple_up)),
        (activities.PRESSURE_TEST, luck.hours(name, activities.PRESSURE_TEST, stated.pressure_test)),
        (activities.TOE_PREPARATION, luck.hours(name, activities.TOE_PREPARATION, well.toe.hours)),
    ]
    if test is not None:
        set_up_h = luck.hours(name, "injection test set-up", test.set_up)
        job.append((activities.INJECTION_TEST, set_up_h + test.volume / test.rate))
    return job


def watch_hours(luck: Luck, well: StatedWell) -> float:
    """How long the falling pressure is watched after an injection test; none without a test."""
    test = well.injection_test
    return 0.0 if test is None else luck.hours(well.name, activities.WATCH_PRESSURE, test.watch)


def _watch(site: Site, well: Well, hours: float, after: int) -> Process:
    start_h = site.env.now
    yield site.env.timeout(hours)
    well.prepared.succeed(_without_unit(site, well, activities.WATCH_PRESSURE, start_h, after))


def _without_unit(site: Site, well: Well, activity: str, start_h: float, after: int) -> int:
    """Row of a well that needs time but no unit."""
    return site.log.append(Interval(start_h, site.env.now, "", activity, well.name, 0, "work", "", after))
