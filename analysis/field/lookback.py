"""Plan against what happened: hours by activity, unit and cause, and whether dates fell where the forecast had them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.field.jobs import intervals_of, jobs_of
from analysis.field.milestones import Met, Milestone, milestones_of
from analysis.field.played import OnePlay, Plays, Task, reduced, task_of
from analysis.field.reading import FieldLog
from analysis.statistics import quantile
from sim.scenario.scenario import Scenario

Hours = NDArray[np.float64]


class Hourly(NamedTuple):
    """Hours in the plan's replications (mean, P10, P90) and in the field, of `n` jobs (0: not counted in jobs)."""

    name: str
    n: int
    plan_h: float
    low_h: float
    high_h: float
    actual_h: float

    @property
    def outside(self) -> bool:
        """Whether the field lies outside what eight replications in ten have."""
        return not self.low_h - 1e-6 <= self.actual_h <= self.high_h + 1e-6


@dataclass(frozen=True)
class Lookback:
    """Everything that looking back finds.

    `milestones` are those that were reached and those that were not by their P10 or later dates; `untold` those past
    their P90 of which the log does not tell. `still_to_come` counts all that are not among the milestones.
    """

    until_h: float
    replications: int
    activities: tuple[Hourly, ...]
    units: tuple[Hourly, ...]
    causes: tuple[Hourly, ...]
    milestones: tuple[Milestone, ...]
    untold: tuple[Milestone, ...]
    still_to_come: int

    @property
    def coverage(self) -> Met:
        """How many of the milestones whose P90 is past fell from their P10 to it."""
        due = [each for each in self.milestones if each.is_due(0.9)]
        return Met(0.8, sum(each.inside for each in due), len(due))

    def done_by(self, chance: float) -> Met:
        """How many of the milestones whose date forecast with this chance is past were reached by it.

        What was reached before its date is past does not count yet: those that will be late cannot be counted then
        either, and the rest would look safer than they are.
        """
        due = [each for each in self.milestones if each.is_due(chance)]
        return Met(chance, sum(each.is_met(chance) for each in due), len(due))


def look_back(log: FieldLog, scenario: Scenario, plays: Plays) -> Lookback:
    """Compare a log with the replications of the plan, played for a log that ends at the same moment."""
    actual = reduced(intervals_of(log, scenario), log.until_h)
    told, untold = milestones_of(actual.milestones, plays.milestones, log, scenario)
    return Lookback(
        log.until_h,
        plays.n,
        tuple(_activities(log, plays)),
        tuple(_by(0, actual, plays, working=True)),
        tuple(_by(2, actual, plays, working=False)),
        told,
        untold,
        len(actual.milestones) - len(told),
    )


def _activities(log: FieldLog, plays: Plays) -> Iterable[Hourly]:
    """Hours worked on the jobs that are done in the field, beside those of the very same jobs in the plan."""
    done: dict[str, dict[Task, float]] = {}
    for job in jobs_of(log):
        key = (job.unit, job.activity, job.well, job.stage)
        task = task_of(job.activity, job.well, job.stage, job.unit)
        if job.end_h is not None and key not in log.doubtful and task in plays.tasks:
            tasks = done.setdefault(job.activity, {})
            tasks[task] = tasks.get(task, 0.0) + job.worked_h
    for activity, tasks in done.items():
        planned = np.sum([_filled(plays.tasks[task]) for task in tasks], axis=0)
        yield _hourly(activity, len(tasks), planned, sum(tasks.values()))


def _filled(hours: Hours) -> Hours:
    """Where a replication did not get to a job before its horizon, its mean over the others."""
    return np.where(np.isnan(hours), np.nanmean(hours), hours)


def _hourly(name: str, n: int, planned: Hours, actual_h: float) -> Hourly:
    return Hourly(name, n, float(planned.mean()), quantile(planned, 0.1), quantile(planned, 0.9), actual_h)


def _by(place: int, actual: OnePlay, plays: Plays, *, working: bool) -> list[Hourly]:
    """Hours summed by unit (place 0) or by cause (place 2), of work or of all else; the most first."""
    happened = _summed(place, actual.units, working=working)
    planned = _summed(place, plays.units, working=working)
    none = np.zeros(plays.n)
    names = dict.fromkeys([*happened, *planned])
    found = [_hourly(name, 0, planned.get(name, none), float(happened.get(name, np.zeros(1))[0])) for name in names]
    return sorted(found, key=lambda each: -max(each.actual_h, each.plan_h))


def _summed(place: int, hours: Mapping[tuple[str, str, str], float | Hours], *, working: bool) -> dict[str, Hours]:
    found: dict[str, Hours] = {}
    for key, each in hours.items():
        if (key[1] == "work") == working:
            found[key[place]] = found.get(key[place], np.zeros(1)) + np.atleast_1d(each)
    return found
