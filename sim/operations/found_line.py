"""Whose turn it is where several units were found waiting."""

from __future__ import annotations

from sim.operations.preparation_board import jobs_of
from sim.operations.site import Site
from sim.standing import Job

Turn = tuple[int, float]


def turn_of(site: Site, unit: str) -> Turn:
    """First who is at work, then who has waited longest; smaller is sooner.

    Units on call have waited since hour zero; one that has left comes back only if nobody else is there. A crew that
    leaves more to do in its well tells the others so, and is itself the first to look at the board again.
    """
    standing = site.standing
    job = standing.under_way(unit)
    if job is not None:
        return (2, job.start_h) if job.is_waiting else (0, 0.0)
    if standing.has_left(unit):
        return (3, 0.0)
    jobs = standing.of_unit.get(unit, ())
    since_h = standing.idle_since_h.get(unit, 0.0) if standing.is_here(unit) else 0.0
    return (1, -since_h) if jobs and _left_more_to_do(site, jobs[-1]) else (2, since_h)


def _left_more_to_do(site: Site, job: Job) -> bool:
    """Whether a job of preparation was not the last in its well."""
    well = next((well for well in site.wells if well.name == job.well), None)
    if well is None or job.activity not in jobs_of(well):
        return False
    begun = {other.activity for other in site.standing.of_well[job.well] if other.start_h < (job.end_h or 0.0)}
    return not begun.issuperset(jobs_of(well))
