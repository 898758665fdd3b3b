"""A job with its troubles: work up to where each strikes, the hours it costs, and on as the trouble allows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from sim.activities import CREW_CHANGE, OUTSIDE_HOURS
from sim.chance.luck import Luck
from sim.chance.residual import beyond, longer_than, matching
from sim.chance.troubles import Step, script
from sim.operations.drawing import work_drawing
from sim.operations.site import Site
from sim.operations.unit import NOWHERE, Place, Process, Unit
from sim.standing import Job
from sim.supplies.supplies import Wanted

NOTHING: Wanted = {}
HoursOf = Callable[[Luck], float]


def work(
    site: Site,
    unit: Unit,
    activity: str,
    hours: float,
    places: Sequence[Place],
    wanted: Wanted = NOTHING,
    hours_of: HoursOf | None = None,
) -> Process:
    """Do a job of so many hours, drawing volumes meanwhile; what strikes any of its places stops all of it.

    What is repeated draws its volumes again. Of a job that the unit was found at, only the rest is done; `hours_of`
    some other luck says what it may take in all. Returns the last row of the first place; those of the others follow.
    """
    begun = unit.begun and unit.take_up(activity)
    if begun is not None and has_begun(begun):
        rest = _rest(site, begun, activity, hours, places, hours_of or (lambda _: hours))
        return _work_through(
            site, rest.steps, unit, activity, places, wanted, rest.hours,
            done_h=rest.done_h, begun=not begun.is_waiting,
        )  # fmt: skip
    hazards = site.mishaps.hazards(activity, places, hours)
    if not hazards:
        return work_drawing(unit, activity, hours, places, site.supplies, wanted)
    return _work_through(site, script(hours, hazards).steps, unit, activity, places, wanted, hours)


def _work_through(
    site: Site, steps: Sequence[Step], unit: Unit, activity: str, places: Sequence[Place], wanted: Wanted, hours: float,
    *, done_h: float = 0.0, begun: bool = False,
) -> Process:  # fmt: skip
    """Go through the steps of a job of so many `hours`; `done_h` are worked already in the attempt under way."""
    for step in steps:
        if step.trouble:
            yield from unit.perform(activity, step.hours, places, step.trouble, step.planned_h)
        else:
            done_h = 0.0 if step.planned_h else done_h
            part = {supply: volume / hours * step.hours for supply, volume in wanted.items()}
            yield from work_drawing(
                unit, activity, step.hours, places, site.supplies, part, step.planned_h,
                attempt_h=max(hours - done_h, step.hours), begun=begun,
            )  # fmt: skip
            done_h += step.hours
        begun = False
    return unit.after


def do(site: Site, unit: Unit, activity: str, hours_of: HoursOf, places: Sequence[Place] = NOWHERE) -> Process:
    """Do a job that nothing strikes and that draws nothing, or what is left of it."""
    begun = unit.take_up(activity)
    if begun is None or not has_begun(begun):
        return unit.perform(activity, hours_of(site.luck), places)
    left_h = longer_than(begun.worked_h, hours_of, site.luck) - begun.worked_h
    return unit.perform(activity, left_h, places, planned_h=0.0)


def has_begun(job: Job) -> bool:
    """Whether a crew has begun a job, be it in vain; else it still waits for the shift in which it means to."""
    return job.worked_h > 0 or any(cause not in {OUTSIDE_HOURS, CREW_CHANGE} for cause, _ in job.lost)


class _Rest(NamedTuple):
    """Hours of a whole job, what of its script is still to come, and hours worked already in the attempt under way."""

    hours: float
    steps: Sequence[Step]
    done_h: float


def _rest(site: Site, job: Job, activity: str, hours: float, places: Sequence[Place], hours_of: HoursOf) -> _Rest:
    """What is left of a job: under the luck that it began with, what lies beyond.

    Otherwise, of another script what lies beyond the work of this attempt.
    """
    known = site.scenario.activity_troubles
    troubles = [cause for cause, _ in job.lost if cause in known]
    stretches_h = job.stretches_h or (job.worked_h,)
    if len(troubles) != len(stretches_h) - 1:  # not all of them are in the plan
        troubles, stretches_h = [], (job.worked_h,)
    steps = script(hours, site.mishaps.hazards(activity, places, hours)).steps
    at = matching(steps, stretches_h, troubles)
    attempt_h = _attempt_h(site, stretches_h, troubles)
    if at is not None and not job.in_trouble:
        if at == len(steps):
            return _Rest(hours, (), attempt_h)
        now = Step(max(0.0, steps[at].hours - stretches_h[-1]), "")
        return _Rest(hours, (now, *steps[at + 1 :]), attempt_h)
    if at is not None and troubles:
        return _Rest(hours, (_trouble_left(site, job, steps[at - 1].hours), *steps[at:]), attempt_h)
    return _otherwise(site, job, activity, places, hours_of, attempt_h)


def _otherwise(
    site: Site, job: Job, activity: str, places: Sequence[Place], hours_of: HoursOf, attempt_h: float
) -> _Rest:
    hours = longer_than(attempt_h, hours_of, site.luck)
    steps = script(hours, site.mishaps.hazards(activity, places, hours)).steps
    if not job.in_trouble:
        return _Rest(hours, beyond(steps, hours, attempt_h), attempt_h)
    now = _trouble_left(site, job)
    trouble = site.scenario.activity_troubles.get(job.in_trouble)
    if trouble is None or trouble.then == "give up the rest":
        return _Rest(hours, (now,), attempt_h)
    then = steps if trouble.then == "repeat" else beyond(steps, hours, attempt_h)
    return _Rest(hours, (now, *then), attempt_h)


def _attempt_h(site: Site, stretches_h: Sequence[float], troubles: Sequence[str]) -> float:
    """Hours worked since the job was last begun from the start; in a trouble, up to it."""
    known, hours = site.scenario.activity_troubles, stretches_h[0]
    for number, (name, worked_h) in enumerate(zip(troubles, stretches_h[1:], strict=True), start=1):
        over = number < len(troubles) or worked_h > 0
        hours = worked_h if known[name].then == "repeat" and over else hours + worked_h
    return hours


def _trouble_left(site: Site, job: Job, lasts_h: float | None = None) -> Step:
    """What is left of the trouble that a job is in; `lasts_h` is how long its own luck had it last."""
    taken_h = next(hours for cause, hours in reversed(job.lost) if cause == job.in_trouble)
    stated = site.scenario.troubles.get(job.in_trouble)
    lost = getattr(stated, "lost", getattr(stated, "repair", taken_h))
    purpose = f"{job.in_trouble} {job.activity} {job.stage} goes on"

    def hours_of(luck: Luck) -> float:
        if lasts_h is not None and luck is site.luck:
            return lasts_h
        return luck.hours(job.well, purpose, lost)

    return Step(longer_than(taken_h, hours_of, site.luck) - taken_h, job.in_trouble)
