"""Plan against what happened: hours by activity, unit and cause, and whether dates fell where the forecast had them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.field.jobs import intervals_of, jobs_of
from analysis.field.played import OnePlay, Plays, Task, reduced, task_of
from analysis.field.reading import FieldLog
from analysis.statistics import ShareEstimate, quantile, share_interval
from sim import activities
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


class Reached(NamedTuple):
    """A milestone that was reached, against its forecast; hours from the start.

    `place` is the share of replications in which it came earlier, those at the same moment counted half: the
    probability integral transform, uniform from 0 to 1 over many milestones if forecasts are right.
    """

    well: str
    milestone: str
    actual_h: float
    p10_h: float
    p50_h: float
    p90_h: float
    place: float

    def forecast_h(self, chance: float) -> float:
        """P10, P50 or P90, by its chance."""
        return {0.1: self.p10_h, 0.5: self.p50_h, 0.9: self.p90_h}[chance]

    @property
    def inside(self) -> bool:
        """Whether it fell from P10 to P90."""
        return self.p10_h <= self.actual_h <= self.p90_h


@dataclass(frozen=True)
class Lookback:
    """Everything that looking back finds.

    `still_to_come` counts the milestones that are not reached yet, or that the log does not tell of.
    """

    until_h: float
    replications: int
    activities: tuple[Hourly, ...]
    units: tuple[Hourly, ...]
    causes: tuple[Hourly, ...]
    milestones: tuple[Reached, ...]
    still_to_come: int

    @property
    def coverage(self) -> ShareEstimate | None:
        """Share of the milestones inside their P10 to P90, with its exact interval."""
        return _share([reached.inside for reached in self.milestones])

    def done_by(self, chance: float) -> ShareEstimate | None:
        """Share of the milestones that were reached by the date forecast with this chance: 0.1, 0.5 or 0.9."""
        return _share([each.actual_h <= each.forecast_h(chance) for each in self.milestones])


def _share(hits: list[bool]) -> ShareEstimate | None:
    return share_interval(sum(hits), len(hits)) if hits else None


def look_back(log: FieldLog, scenario: Scenario, plays: Plays) -> Lookback:
    """Compare a log with the replications of the plan, played for a log that ends at the same moment."""
    actual = reduced(intervals_of(log, scenario), log.until_h)
    doubtful = _doubtful(log, scenario)
    known = {key: hours for key, hours in actual.milestones.items() if isfinite(hours) and key not in doubtful}
    reached = [_reached(key, hours, plays.milestones[key]) for key, hours in known.items()]
    return Lookback(
        log.until_h,
        plays.n,
        tuple(_activities(log, plays)),
        tuple(_by(0, actual, plays, working=True)),
        tuple(_by(2, actual, plays, working=False)),
        tuple(sorted(reached, key=lambda each: each.actual_h)),
        len(actual.milestones) - len(reached),
    )


def _doubtful(log: FieldLog, scenario: Scenario) -> set[tuple[str, str]]:
    """Milestones of which the log does not tell: a row that decides on their date was left out."""
    last = {well.name: well.stage_count for well in scenario.wells}
    turned = set(log.rows.loc[log.rows["activity"] == activities.TURN_IN_LINE, "well"])
    found = set()
    for _, activity, well, stage in log.doubtful:
        if activity == activities.PUMP_STAGE:
            found |= {(well, "fracturing_start_h")} if stage == 1 else set()
            found |= {(well, "fracturing_end_h")} if stage == last.get(well) else set()
        elif activity in _DECIDES:
            found.add((well, _DECIDES[activity]))
            if activity == activities.FLOW_BACK and well not in turned:  # it took no time, or is not told either
                found.add((well, _DECIDES[activities.TURN_IN_LINE]))
    return found


_DECIDES = {
    activities.NIPPLE_UP: "prepared_h",
    activities.PRESSURE_TEST: "prepared_h",
    activities.TOE_PREPARATION: "prepared_h",
    activities.INJECTION_TEST: "prepared_h",
    activities.WATCH_PRESSURE: "prepared_h",
    activities.TRIP_OUT: "drilled_out_h",
    activities.FLOW_BACK: "flowback_start_h",
    activities.TURN_IN_LINE: "on_production_h",
}


def _reached(key: tuple[str, str], actual_h: float, forecast_h: Hours) -> Reached:
    p10, p50, p90 = (quantile(forecast_h, chance) for chance in (0.1, 0.5, 0.9))
    return Reached(*key, actual_h, p10, p50, p90, place_of(actual_h, forecast_h))


def place_of(actual_h: float, forecast_h: Hours) -> float:
    """Share of the forecast before it, ties counted half.

    Source: Dawid 1984, Journal of the Royal Statistical Society A 147, 278-292 (from memory).
    """
    earlier, same = int((forecast_h < actual_h).sum()), int((forecast_h == actual_h).sum())
    return (earlier + same / 2 + 0.5) / (len(forecast_h) + 1)


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
