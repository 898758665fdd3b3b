"""The groups of wells as they were found: whose they are, which wells go round, and whom each fleet has turned to.

A rotation is found by going through what happened in its group once more, in order, as the fleet saw it.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Any, NamedTuple

from sim import activities
from sim.log import NO_ROW
from sim.operations.rotation import Rotation, Set
from sim.operations.site import Site
from sim.operations.water_system import is_in_use
from sim.operations.well import Well
from sim.scenario.equipment import individuals
from sim.standing import Job

IN_GROUPS = (activities.PLUG_AND_PERFORATE, activities.SWAP, activities.PUMP_STAGE)


class Event(NamedTuple):
    """Something that the rotation of a group saw: at what hour, by which row, what, and with which wells.

    Of what happened at the same hour the lower `order` came first.
    """

    at_h: float
    row: int
    what: str
    wells: Set
    order: int


def in_order(event: Event) -> tuple[float, int]:
    """By which events are sorted."""
    return event.at_h, event.order


def find_groups(site: Site) -> None:
    """Give every fleet its group, open drill-out in those that are fractured, and set rotations going again."""
    _find_fractured(site)
    _find_owners(site)
    _find_runs(site)
    waiting: list[Event] = []
    for fleet, group in site.found_turned_to.items():
        if site.can_begin(group) or _jobs(site, group):
            site.neighbours.turn_to(group)
        if _is_open(site, fleet, group):
            waiting += _go_round(site, fleet, group)
    for event in sorted(waiting, key=in_order):
        site.to_perforate.put(event.wells[0], event.row)


def _jobs(site: Site, group: list[Well], *activities_: str) -> list[Job]:
    wanted = activities_ or IN_GROUPS
    return [job for well in group for job in site.standing.of_well.get(well.name, ()) if job.activity in wanted]


def _end_h(job: Job) -> float:
    return inf if job.end_h is None else job.end_h


def _row(site: Site, job: Job) -> int:
    return site.standing.last_row_of.get((job.activity, job.well, job.stage), NO_ROW)


def _find_fractured(site: Site) -> None:
    fractured = [group for group in site.groups if all(well.pumped == well.stages for well in group)]
    ended = {id(group): max((_end_h(job) for job in _jobs(site, group)), default=0.0) for group in fractured}
    for group in sorted(fractured, key=lambda group: ended[id(group)]):
        row = max((_row(site, job) for job in _jobs(site, group, activities.PUMP_STAGE)), default=NO_ROW)
        for well in site.neighbours.has_ended(group, row):
            if site.to_mill.is_left(well):
                site.to_mill.put(well, row)
    site.groups = [group for group in site.groups if group not in fractured]


def _find_owners(site: Site) -> None:
    """Who pumps where goes on there; others took the next groups in the order of getting free."""
    fleets = dict(individuals(site.scenario.units.pumping_fleets))
    here = [name for name in fleets if site.standing.is_here(name)]
    for group in list(site.groups):
        jobs = sorted(_jobs(site, group, activities.PUMP_STAGE, activities.SWAP), key=lambda job: job.start_h)
        if jobs and jobs[-1].unit in here and jobs[-1].unit not in site.found_turned_to:
            site.found_turned_to[jobs[-1].unit] = group
            site.groups.remove(group)
    for fleet in sorted([name for name in here if _takes_one(site, name)], key=lambda name: _free_h(site, name)):
        if site.groups:
            site.found_turned_to[fleet] = site.groups.pop(0)


def _takes_one(site: Site, fleet: str) -> bool:
    going = any(job.activity == activities.RIG_DOWN for job in site.standing.of_unit.get(fleet, ()))
    return fleet not in site.found_turned_to and not going


def _free_h(site: Site, fleet: str) -> float:
    """When a fleet last took on a group: when it had pumped the one before, or came."""
    jobs = site.standing.of_unit.get(fleet, ())
    pumped = [_end_h(job) for job in jobs if job.activity == activities.PUMP_STAGE]
    if pumped:
        return max(pumped)
    return next(
        row.end_h if row.activity == activities.ARRIVE else row.start_h
        for row in site.standing.rows
        if row.unit == fleet
    )


def _find_runs(site: Site) -> None:
    """Runs that nobody has taken on, and wells that wireline is in."""
    at_work: dict[str, Well] = {}
    left = 0
    for well in site.wells:
        runs = [
            job for job in site.standing.of_well.get(well.name, ()) if job.activity == activities.PLUG_AND_PERFORATE
        ]
        taken = max([well.pumped, *(job.stage for job in runs)])
        left += well.stages - max(taken, int(well.toe_is_open))
        at_work |= {job.unit: well for job in runs if not job.is_done and site.standing.is_here(job.unit)}
    runs_begun = any(job.activity == activities.PLUG_AND_PERFORATE for job in site.standing.jobs)
    site.to_perforate.stand(left, at_work, runs_begun)


def _is_open(site: Site, fleet: str, group: list[Well]) -> bool:
    """Whether the fleet has begun with the group: nothing is left that it would wait for first."""
    if _jobs(site, group):
        return True
    jobs = list(site.standing.of_unit.get(fleet, ()))
    ready = bool(jobs) and jobs[-1].is_done and (site.scenario.water is None or is_in_use(site))
    moved = not _has_pumped(site, fleet) or jobs[-1].activity == activities.MOVE
    proppant = site.scenario.proppant is None or bool(site.standing.done(activities.FILL_PROPPANT))
    near = site.neighbours.is_anybody_near(group)
    return ready and moved and proppant and not near and site.can_begin(group)


def _has_pumped(site: Site, fleet: str) -> bool:
    return any(job.activity == activities.PUMP_STAGE for job in site.standing.of_unit.get(fleet, ()))


# --- one rotation


def _go_round(site: Site, fleet: str, group: list[Well]) -> Iterator[Event]:
    """Find the rotation of a group; yields the wells that wait for wireline, since when."""
    rotation = Rotation(site.env, group, site.scenario.strategy)
    site.found_going_round[group[0]] = rotation
    pumped = {well: well.pumped for well in group}
    waiting: dict[Well, Event] = {}
    for well in group:
        well.pumped = 0
        site.rotation_of[well] = rotation
    for event in sorted(_events(site, fleet, group), key=in_order):
        _see(rotation, event, waiting)
    for well in group:
        well.pumped = pumped[well]
    rotation.stages_are_left()
    _find_place(site, rotation, fleet, group)
    in_work = {job.well for job in _jobs(site, group, activities.PLUG_AND_PERFORATE) if not job.is_done}
    for well, event in waiting.items():
        if well.name not in in_work and well not in rotation.ready and well.pumped < well.stages:
            yield event


def _events(site: Site, fleet: str, group: list[Well]) -> Iterator[Event]:
    opened_h = _opened_h(site, fleet, group)
    for number, well in enumerate(group, start=-len(group)):
        if well.prepared.triggered:
            value: Any = well.prepared.value
            row = int(value)
            prepared_h = site.standing.rows[row].end_h if row != NO_ROW else 0.0
            begun_h = min((job.start_h for job in _jobs(site, [well])), default=inf)
            order = number if prepared_h <= opened_h else row
            yield Event(min(max(prepared_h, opened_h), begun_h), row, "enter", (well,), order)
    for job in _jobs(site, group, activities.PLUG_AND_PERFORATE):
        if job.is_done:
            yield _event(site, _end_h(job), "ready", group, [job])
    for activity, what in ((activities.SWAP, "swap"), (activities.PUMP_STAGE, "pump")):
        for jobs in _together(_jobs(site, group, activity)):
            yield _event(site, jobs[0].start_h, what, group, jobs)
            if activity == activities.PUMP_STAGE and jobs[0].is_done:
                yield _event(site, _end_h(jobs[0]), "leave", group, jobs)


def _event(site: Site, at_h: float, what: str, group: list[Well], jobs: list[Job]) -> Event:
    names = {well.name: well for well in group}
    row = _row(site, jobs[0])
    return Event(at_h, row, what, tuple(names[job.well] for job in jobs), row)


def _opened_h(site: Site, fleet: str, group: list[Well]) -> float:
    """When the fleet began with the group: it had rigged up or moved, and there was water."""
    first_h = min((job.start_h for job in _jobs(site, group)), default=inf)
    before = [job for job in site.standing.of_unit.get(fleet, ()) if _end_h(job) <= first_h]
    filled = site.standing.done(activities.FILL_STORAGE) + site.standing.done(activities.FILL_PROPPANT)
    return min(max([_end_h(job) for job in (*before, *filled)], default=0.0), first_h)


def _together(jobs: list[Job]) -> list[list[Job]]:
    """Jobs of wells pumped together, or swapped to together."""
    found: dict[tuple[str, float], list[Job]] = {}
    for job in jobs:
        found.setdefault((job.unit, job.start_h), []).append(job)
    return list(found.values())


def _see(rotation: Rotation, event: Event, waiting: dict[Well, Event]) -> None:
    """Let the rotation go through one event, and the fleet choose if it is free."""
    well = event.wells[0]
    match event.what:
        case "enter":
            rotation.enter(well, event.row)
            if well.is_open:
                rotation.make_ready(well, event.row)
            else:
                waiting[well] = event
        case "ready":
            rotation.make_ready(well, event.row)
        case "swap" | "pump":
            rotation.turn(event.wells, has_swapped=True)
        case "leave":
            _leave(rotation, event, waiting)
    rotation.choose()


def _leave(rotation: Rotation, event: Event, waiting: dict[Well, Event]) -> None:
    rotation.leave(event.wells)
    rotation.was_turned_to()
    for number, well in enumerate(event.wells):
        well.pumped += 1
        row = event.row + number if event.row != NO_ROW else NO_ROW
        waiting[well] = event._replace(row=row, wells=(well,), order=row)


def _find_place(site: Site, rotation: Rotation, fleet: str, group: list[Well]) -> None:
    """What the fleet is at says best whom it has turned to."""
    now = [job for job in site.standing.of_unit.get(fleet, ()) if not job.is_done and job.activity in IN_GROUPS]
    wells = tuple(well for job in now for well in group if well.name == job.well)
    if not wells:
        return
    is_pumping = now[0].activity == activities.PUMP_STAGE
    rotation.turn(wells, has_swapped=is_pumping)
    for well in wells:
        if is_pumping and well not in rotation.ready:
            rotation.make_ready(well, NO_ROW)
