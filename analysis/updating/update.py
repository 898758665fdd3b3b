"""New dates from where a pad stands, and what moved them: a sequence of forecasts, each of which changes one thing.

Every forecast of the sequence is played under the same luck, replication by replication. A term is the mean difference
between one and the one before, so that the terms add up to the whole change exactly, whatever their order; the order
is fixed, and each term is what is added to those before it.

- scope: from the former plan to the plan as it is now, both from hour zero;
- weather: the same with the weather up to now as the log has it, instead of any that there might have been;
- luck: on from where the pad stands, with the log instead of the plan's hours for what is done;
- pace: the same with durations and rates as the log shows them, or a patch states them, for what is to come.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.measures import measure
from analysis.statistics import MeanEstimate, QuantileEstimate, mean_interval, quantile_interval
from sim.log import Log
from sim.pad import simulate
from sim.pool import carry_out
from sim.replications import chunks_of
from sim.scenario.scenario import Scenario
from sim.standing import NOTHING_YET, Job, Standing

Hours = NDArray[np.float64]  # replications by milestones

FIRST, ALL = "First production", "Every well on production"
CHANCES = (0.1, 0.5, 0.9)
TOUCH_H = 1e-6  # rows that are less apart follow one another
MEANING = {
    "scope": "the plan itself was changed",
    "weather": "the weather up to now, against what there might have been",
    "luck": "what is done, against what the plan expected of it",
    "pace": "what is to come, at the pace of the log or of the patch",
}


class Step(NamedTuple):
    """One forecast of the sequence; `term` names what it changes, empty for the first.

    `plans` is one for all replications, or one for each.
    """

    term: str
    plans: tuple[Scenario, ...]
    since: Standing

    def plan(self, replication: int) -> Scenario:
        """The plan that a replication plays."""
        return self.plans[replication] if len(self.plans) > 1 else self.plans[0]


class Term(NamedTuple):
    """Days by which one change moved the mean date, and how far the means of each forecast lie from the first."""

    name: str
    days: MeanEstimate


class Update(NamedTuple):
    """Hours of each milestone in every replication, at the first and at the last step, and the terms between.

    All count from the start of the plan as it is now. `under_way` are the jobs that were being done, and `ends` the
    hours at which each is over, replications by jobs.
    """

    milestones: tuple[str, ...]
    original: Hours
    now: Hours
    terms: dict[str, list[Term]]  # by milestone; empty where a mean date does not exist
    total: dict[str, MeanEstimate]
    under_way: tuple[Job, ...]
    ends: Hours


def steps(was: Scenario | None, plan: Scenario, at_pace: Sequence[Scenario], since: Standing) -> list[Step]:
    """The sequence of forecasts from the original plan to now; `at_pace` is one plan, one for each replication or none.

    Where nothing is known yet, the plan is the last of them.
    """
    weather = Standing(bad_weather=since.bad_weather, weather_known_h=since.weather_known_h)
    found = [Step("", (was or plan,), NOTHING_YET)]
    if was is not None:
        found.append(Step("scope", (plan,), NOTHING_YET))
    if plan.weather is not None or since.bad_weather:
        found.append(Step("weather", (plan,), weather))
    found.append(Step("luck", (plan,), since))
    if at_pace:
        found.append(Step("pace", tuple(at_pace), since))
    return found


def update(sequence: list[Step], n: int, seed: int, workers: int, done: Callable[[int], None]) -> Update | None:
    """Play the sequence. None where it was stopped before its end."""
    under_way = tuple(job for job in sequence[-1].since.jobs if not job.is_done)
    wells = tuple(well.name for well in sequence[-1].plan(0).wells)
    played: list[Hours] = []
    try:
        for step in sequence:
            read = partial(dates_h, wells=wells, under_way=under_way if step is sequence[-1] else ())
            played.append(_play(step, n, seed, workers, read, done))
    except KeyboardInterrupt:
        return None
    played = _from_one_start(sequence, played)
    shared = (FIRST, ALL)
    names, last = (*shared, *wells), len(shared) + len(wells)
    terms = {name: _terms(sequence, [hours[:, k] for hours in played]) for k, name in enumerate(shared)}
    total = {name: mean_interval(_days(played[-1][:, k], played[0][:, k])) for k, name in enumerate(shared)}
    return Update(names, played[0], played[-1][:, :last], terms, total, under_way, played[-1][:, last:])


def _from_one_start(sequence: list[Step], played: list[Hours]) -> list[Hours]:
    """Hours from the start of the plan as it is now, also those of a plan that began at another hour."""
    now = sequence[-1].plan(0)
    return [hours + now.hours_at(step.plan(0).start) for step, hours in zip(sequence, played, strict=True)]


def _play(
    step: Step,
    n: int,
    seed: int,
    workers: int,
    read: Callable[[Log], tuple[float, ...]],
    done: Callable[[int], None],
) -> Hours:
    """What `read` says of each replication, in their order."""
    chunks = dict(chunks_of(n))
    one_for_all = len(step.plans) == 1
    tasks = {
        number: partial(_play_chunk, step.plans if one_for_all else step.plans[each.start : each.stop], each, seed,
                        read, step.since)
        for number, each in chunks.items()
    }  # fmt: skip
    found: dict[int, list[tuple[float, ...]]] = {}
    for number, results in carry_out(tasks, workers, lambda number: f"replications from {chunks[number].start} on"):
        found[number] = results
        done(len(results))
    return np.array([hours for number in sorted(found) for hours in found[number]])


def _play_chunk(
    plans: tuple[Scenario, ...],
    replications: range,
    seed: int,
    read: Callable[[Log], tuple[float, ...]],
    since: Standing,
) -> list[tuple[float, ...]]:
    of = plans if len(plans) > 1 else plans * len(replications)
    return [read(simulate(plan, number, seed, since)) for plan, number in zip(of, replications, strict=True)]


def dates_h(log: Log, wells: Sequence[str], under_way: Sequence[Job] = ()) -> tuple[float, ...]:
    """Hours of first production, of the last well's and of each well's; and of the end of each job that was begun.

    A well that the plan did not have is never on production.
    """
    found = measure(log)
    of = {row.well: row.on_production_h for row in found.wells}
    ends = (_end_h(log, job) for job in under_way)
    dates = (of.get(well, np.inf) for well in wells)
    return found.pad.first_production_h, found.pad.all_on_production_h, *dates, *ends


def _end_h(log: Log, job: Job) -> float:
    """When a job that was under way as the replication began is over; never, where the horizon cuts it short."""
    over_h = log.as_of_h
    for row in log.intervals:
        same = (row.unit, row.activity, row.well, row.stage) == (job.unit, job.activity, job.well, job.stage)
        if same and row.end_h > over_h and row.start_h <= over_h + TOUCH_H:
            over_h = row.end_h
    return np.inf if over_h >= log.horizon_h else over_h


def _terms(sequence: list[Step], columns: list[Hours]) -> list[Term]:
    if not all(np.isfinite(column).all() for column in columns):
        return []
    pairs = zip(sequence[1:], columns, columns[1:], strict=False)
    return [Term(step.term, mean_interval(_days(after, before))) for step, before, after in pairs]


def _days(after: Hours, before: Hours) -> Hours:
    """Differences; infinite where either date is beyond the horizon."""
    finite = np.isfinite(after) & np.isfinite(before)
    return np.where(finite, np.where(finite, after, 0.0) - np.where(finite, before, 0.0), np.inf) / 24


def dates(hours: Hours) -> list[QuantileEstimate]:
    """P10, P50 and P90 of one milestone."""
    return [quantile_interval(hours, chance) for chance in CHANCES]
