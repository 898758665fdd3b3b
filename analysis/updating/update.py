"""New dates from where a pad stands, and what moved them: a sequence of forecasts, each of which changes one thing.

Every forecast of the sequence is played under the same luck, replication by replication. A term is the mean difference
between one and the one before, so that the terms add up to the whole change exactly, whatever their order; the order
is fixed, and each term is what is added to those before it.

- scope: from the former plan to the plan as it is now, both from hour zero;
- weather: the same with the weather up to now as the log has it, instead of any that there might have been;
- luck: on from where the pad stands, with the log instead of the plan's hours for what is done;
- pace: the same with the durations and rates of a patch, such as one calibrated on the log, for what is to come.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.measures import measure
from analysis.statistics import MeanEstimate, QuantileEstimate, mean_interval, quantile_interval
from sim.log import Log
from sim.replications import replicate
from sim.scenario.scenario import Scenario
from sim.standing import NOTHING_YET, Standing

Hours = NDArray[np.float64]  # replications by milestones

FIRST, ALL = "First production", "Every well on production"
CHANCES = (0.1, 0.5, 0.9)
MEANING = {
    "scope": "the plan itself was changed",
    "weather": "the weather up to now, against what there might have been",
    "luck": "what is done, against what the plan expected of it",
    "pace": "what is to come, at the pace of the patch",
}


class Step(NamedTuple):
    """One forecast of the sequence; `term` names what it changes, empty for the first."""

    term: str
    scenario: Scenario
    since: Standing


class Term(NamedTuple):
    """Days by which one change moved the mean date, and how far the means of each forecast lie from the first."""

    name: str
    days: MeanEstimate


class Update(NamedTuple):
    """Hours of each milestone in every replication, at the first and at the last step, and the terms between."""

    milestones: tuple[str, ...]
    original: Hours
    now: Hours
    terms: dict[str, list[Term]]  # by milestone; empty where a mean date does not exist
    total: dict[str, MeanEstimate]


def steps(was: Scenario | None, plan: Scenario, patched: Scenario | None, since: Standing) -> list[Step]:
    """The sequence of forecasts from the original plan to now."""
    weather = Standing(bad_weather=since.bad_weather, weather_known_h=since.weather_known_h)
    found = [Step("", was or plan, NOTHING_YET)]
    if was is not None:
        found.append(Step("scope", plan, NOTHING_YET))
    if plan.weather is not None or since.bad_weather:
        found.append(Step("weather", plan, weather))
    found.append(Step("luck", plan, since))
    if patched is not None:
        found.append(Step("pace", patched, since))
    return found


def update(sequence: list[Step], n: int, seed: int, workers: int, done: Callable[[int], None]) -> Update | None:
    """Play the sequence. None where it was stopped before its end."""
    played: list[Hours] = []
    for step in sequence:
        results = replicate(
            step.scenario, n, seed, workers, dates_h, lambda _, chunk: done(len(chunk)), step.since
        ).results
        if len(results) < n:
            return None
        played.append(np.array(results))
    names = (FIRST, ALL, *(well.name for well in sequence[-1].scenario.wells))
    shared = (FIRST, ALL)
    terms = {name: _terms(sequence, [hours[:, k] for hours in played]) for k, name in enumerate(shared)}
    total = {name: mean_interval(_days(played[-1][:, k], played[0][:, k])) for k, name in enumerate(shared)}
    return Update(names, played[0], played[-1], terms, total)


def dates_h(log: Log) -> tuple[float, ...]:
    """Hours of first production, of the last well's, and of each well's, in the order of the scenario."""
    found = measure(log)
    return found.pad.first_production_h, found.pad.all_on_production_h, *(row.on_production_h for row in found.wells)


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
