"""The pad as it was found: a standing becomes the state of boards, queues and neighbours, before anybody goes to work.

What a unit was at, it goes on with by itself. Where nothing has happened yet there is nothing to do.
"""

from __future__ import annotations

from collections.abc import Iterator

from sim import activities
from sim.log import NO_ROW
from sim.operations.found_rotations import find_groups
from sim.operations.preparation import all_done, preparation_job
from sim.operations.preparation_board import UNDER_PRESSURE, jobs_of
from sim.operations.site import Site
from sim.operations.well import Well
from sim.physics.drill_out import plugs_in
from sim.scenario.equipment import individuals
from sim.standing import Job

PREPARING = (
    activities.NIPPLE_UP,
    activities.PRESSURE_TEST,
    activities.TOE_PREPARATION,
    activities.INJECTION_TEST,
    activities.WATCH_PRESSURE,
)
MILLING = (activities.MILL_PLUGS, activities.SWEEP, activities.TRIP_OUT, activities.RIG_DOWN)
BEFORE = (*PREPARING, activities.RIG_RELEASE)
FRACTURING = (activities.PLUG_AND_PERFORATE, activities.SWAP, activities.PUMP_STAGE)


def find(site: Site) -> None:
    """Take everything over from the standing of the site."""
    if not site.standing.rows and not site.standing.jobs:
        return
    for well in site.wells:
        well.pumped = _pumped(site, well)
    drilled_out = _find_drill_out(site)
    _find_preparation(site, len(drilled_out))
    _find_flowing(site)
    find_groups(site)
    _find_flowback(site, drilled_out)


def _jobs(site: Site, well: Well) -> list[Job]:
    return list(site.standing.of_well.get(well.name, ()))


def _pumped(site: Site, well: Well) -> int:
    """Stages pumped: those before any that something has begun in, and all once drill-out or flowback has."""
    jobs = _jobs(site, well)
    if any(job.activity not in {*BEFORE, *FRACTURING} for job in jobs):
        return well.stages
    reached = [job.stage - (job.activity != activities.PUMP_STAGE or not job.is_done) for job in jobs if job.stage]
    return min(max(reached, default=0), well.stages)


# --- preparation


def _find_preparation(site: Site, drilled_out: int) -> None:
    begun = {well: _begun(site, well) for well in site.wells}
    left = {well: [job for job in jobs_of(well) if job not in begun[well]] for well in site.wells}
    site.preparation.stand(left, drilled_out)
    for well in site.wells:
        if _is_past(site, well):
            site.is_prepared(well, _last_row(site, well, PREPARING))
        elif begun[well] and not _is_worked_in(site, well):
            row = _last_row(site, well, PREPARING)
            if left[well]:
                site.preparation.offer(well, row)
            else:
                _find_watch(site, well, row)


def has_begun(site: Site, well: Well) -> bool:
    """Whether anything but its rig release has happened in the well."""
    return any(job.activity != activities.RIG_RELEASE for job in _jobs(site, well))


def _begun(site: Site, well: Well) -> set[str]:
    """Preparation jobs that are done or under way: those with rows, and those that come before one with rows."""
    if _is_past(site, well):
        return set(jobs_of(well))
    found = {job.activity for job in _jobs(site, well)} & set(PREPARING)
    if found & {activities.INJECTION_TEST, activities.WATCH_PRESSURE}:
        return set(jobs_of(well))
    if activities.TOE_PREPARATION in found and well.stated.toe.method != UNDER_PRESSURE:
        return set(jobs_of(well)[:3])
    if activities.PRESSURE_TEST in found:
        found.add(activities.NIPPLE_UP)
    return found | _without_rows(site, well) if found and not _is_worked_in(site, well) else found


def _without_rows(site: Site, well: Well) -> set[str]:
    """Jobs in the well that take no time, and that a crew knows that has been here: done as soon as they could be."""
    crews = individuals(site.scenario.units.preparation_crews)
    known = {job for name, crew in crews if name in site.standing.last_row for job in crew.does}
    return {job for job, hours in preparation_job(site.luck, well.stated) if hours == 0 and job in known}


def _is_past(site: Site, well: Well) -> bool:
    """Whether the well is prepared for certain: somebody came after, or the pressure has been watched."""
    jobs = _jobs(site, well)
    watched = any(job.activity == activities.WATCH_PRESSURE and job.is_done for job in jobs)
    return watched or any(job.activity not in BEFORE for job in jobs)


def _is_worked_in(site: Site, well: Well) -> bool:
    return any(not job.is_done and job.activity in PREPARING[:-1] for job in _jobs(site, well))


def _find_watch(site: Site, well: Well, row: int) -> None:
    before = [job for job in _jobs(site, well) if job.activity != activities.WATCH_PRESSURE]
    since_h = max([job.end_h or 0.0 for job in before], default=site.env.now)
    watching = [job.start_h for job in _jobs(site, well) if job.activity == activities.WATCH_PRESSURE]
    all_done(site, well, row, site.env.now - min([*watching, since_h]))


def _last_row(site: Site, well: Well, of: tuple[str, ...]) -> int:
    rows = [
        row for (activity, name, _), row in site.standing.last_row_of.items() if name == well.name and activity in of
    ]
    return max(rows, default=NO_ROW)


# --- drill-out and flowback


def _units(site: Site, kind: str) -> list[str]:
    return [name for name, _ in individuals(site.scenario.units.kinds[kind])]


def _done_and_current(site: Site, kind: str, last: str, *, is_over: set[str]) -> Iterator[tuple[str, Well, bool]]:
    """Wells that a trade has begun, in order, each with its unit, and whether it is done.

    A unit that has gone to another well, or home, is done; so is the well in which somebody works who comes after.
    """
    names = {well.name: well for well in site.wells}
    for unit in _units(site, kind):
        jobs = [job for job in site.standing.of_unit.get(unit, ()) if job.well in names]
        wells = list(dict.fromkeys(job.well for job in jobs))
        for number, well in enumerate(wells):
            at_last = number == len(wells) - 1 and site.standing.is_here(unit)
            ended = any(job.activity == last and job.well == well and job.is_done for job in jobs)
            yield unit, names[well], ended or not at_last or well in is_over


def _find_drill_out(site: Site) -> list[Well]:
    """Wells that are drilled out, in order."""
    flowing = {well.name for _, well, _ in _done_and_current(site, "flowback_spreads", "", is_over=set())}
    found = list(_done_and_current(site, "milling_rigs", activities.RIG_DOWN, is_over=flowing))
    site.to_mill.stand(
        {well for _, well, _ in found} | {well for well in site.wells if well.name in flowing},
        {unit: well for unit, well, done in found if not done},
    )
    for unit, well, done in found:
        if done:
            site.plugs_milled[unit] = site.plugs_milled.get(unit, 0) + plugs_in(well.stages)
        else:
            site.neighbours.enter(well, activities.WAITING_FOR[activities.MILL_PLUGS])
    milled = {well for _, well, done in found if done} | {well for well in site.wells if well.name in flowing}
    return sorted(milled, key=lambda well: _last_row(site, well, MILLING))


def _flowing(site: Site) -> list[tuple[str, Well, bool]]:
    return list(_done_and_current(site, "flowback_spreads", activities.TURN_IN_LINE, is_over=set()))


def _find_flowing(site: Site) -> None:
    """Wells in which a spread is at work, of which fleets keep clear, and those on production."""
    for _, well, done in _flowing(site):
        if done:
            site.neighbours.has_produced(well)
        else:
            site.neighbours.enter(well, activities.WAITING_FOR[activities.FLOW_BACK])


def _find_flowback(site: Site, drilled_out: list[Well]) -> None:
    found = _flowing(site)
    begun = {well for _, well, _ in found}
    site.to_flow_back.stand(begun, {unit: well for unit, well, done in found if not done})
    for well in drilled_out:
        if well not in begun:
            site.to_flow_back.put(well, _last_row(site, well, MILLING))
    for _, well, done in found:
        turned = [job for job in _jobs(site, well) if job.activity == activities.TURN_IN_LINE]
        if done or turned:
            last_h = max(job.end_h or site.env.now for job in _jobs(site, well))
            site.facility.has_taken(well, turned[0].start_h if turned else last_h)
