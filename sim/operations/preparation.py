"""Preparing the wellheads and the toe: nipple up, test, open the toe, and where asked an injection test."""

from __future__ import annotations

from functools import partial

from sim import activities
from sim.chance.luck import Luck
from sim.chance.residual import longer_than
from sim.log import NO_ROW, Interval
from sim.operations.preparation_board import Task
from sim.operations.site import Site
from sim.operations.troubled_work import NOTHING, work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.scenario.equipment import PreparationCrew
from sim.scenario.wells import Well as StatedWell


def release(site: Site, well: Well) -> Process:
    """The drilling rig leaves the well, which then waits for a preparation crew."""
    rig_release = well.stated.rig_release
    released_h = site.scenario.hours_at(rig_release) if rig_release else 0.0
    row = site.standing.last_row_of.get((activities.RIG_RELEASE, well.name, 0), NO_ROW)
    if released_h > site.env.now:
        yield site.env.timeout(released_h - site.env.now)
        row = _without_unit(site, well, activities.RIG_RELEASE, 0.0, NO_ROW)
    site.preparation.offer(well, row)


def prepare_wells(site: Site, crew: Unit, stated: PreparationCrew) -> Process:
    """A crew does the preparation jobs it knows, the first well of the strategy first."""
    yield from crew.arrive()
    hours: dict[Well, dict[str, float]] = {}
    task: Task | None
    while (task := (yield from site.preparation.take(crew, stated.does))) is not None:
        well, activity = task.well, task.activity
        if well not in hours:
            hours[well] = dict(preparation_job(site.luck, well.stated))
        stated_hours = partial(_hours_of, well=well.stated, activity=activity)
        yield from work(site, crew, activity, hours[well][activity], ((well.name, 0),), NOTHING, stated_hours)
        if site.preparation.put_back(well, crew.after):
            all_done(site, well, crew.after)


def all_done(site: Site, well: Well, row: int, watched_h: float = 0.0) -> None:
    """All jobs are done; after an injection test the falling pressure is still to be watched."""
    hours_of = partial(watch_hours, well=well.stated)
    if well.stated.injection_test is None or hours_of(site.luck) == 0:
        site.is_prepared(well, row)
    else:
        left_h = longer_than(watched_h, hours_of, site.luck) - watched_h
        site.env.process(_watch(site, well, left_h, row))


def _hours_of(luck: Luck, well: StatedWell, activity: str) -> float:
    return dict(preparation_job(luck, well))[activity]


def preparation_job(luck: Luck, well: StatedWell) -> list[tuple[str, float]]:
    """Activities of the crews at a well and their hours, in the usual order."""
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
    site.is_prepared(well, _without_unit(site, well, activities.WATCH_PRESSURE, start_h, after))


def _without_unit(site: Site, well: Well, activity: str, start_h: float, after: int) -> int:
    """Row of a well that needs time but no unit."""
    if site.env.now <= start_h:
        return after
    return site.log.append(Interval(start_h, site.env.now, "", activity, well.name, 0, "work", "", after))
