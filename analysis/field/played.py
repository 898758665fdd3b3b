"""The plan played many times, and of each replication what a log of the field can be compared with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import NamedTuple, TypeVar

import numpy as np
from numpy.typing import NDArray

from analysis.measures import Measures, measure
from sim.log import Log
from sim.replications import replicate
from sim.scenario.scenario import Scenario

Hours = NDArray[np.float64]
K = TypeVar("K")
Task = tuple[str, str, int]  # activity, well and stage; without a well, activity and unit

MILESTONES = (
    "prepared_h",
    "fracturing_start_h",
    "fracturing_end_h",
    "drilled_out_h",
    "flowback_start_h",
    "on_production_h",
)


class OnePlay(NamedTuple):
    """One replication, or what happened: milestones by well, hours of units up to a moment, hours worked by task."""

    milestones: dict[tuple[str, str], float]
    units: dict[tuple[str, str, str], float]  # unit, kind, reason
    tasks: dict[Task, float]


@dataclass(frozen=True)
class Plays:
    """The same of many replications, as arrays over them; 0 or infinity where something did not happen."""

    n: int
    asked: int
    milestones: Mapping[tuple[str, str], Hours]
    units: Mapping[tuple[str, str, str], Hours]
    tasks: Mapping[Task, Hours]


def play(scenario: Scenario, n: int, seed: int, workers: int, until_h: float) -> Plays:
    """Play the plan `n` times and keep what a log up to `until_h` can be compared with."""
    played = replicate(scenario, n, seed, workers, partial(reduced, until_h=until_h))
    plays = played.results
    return Plays(
        len(plays),
        n,
        _gathered([each.milestones for each in plays], np.inf),
        _gathered([each.units for each in plays], 0.0),
        _gathered([each.tasks for each in plays], np.nan),
    )


def reduced(log: Log, until_h: float) -> OnePlay:
    """What can be compared, of one log."""
    wells: Measures = measure(log)
    milestones = {(row.well, name): float(getattr(row, name)) for row in wells.wells for name in MILESTONES}
    units = {(row.unit, row.kind, row.reason): row.hours for row in measure(_clipped(log, until_h)).units}
    return OnePlay(milestones, units, _tasks(log))


def _clipped(log: Log, until_h: float) -> Log:
    rows = [row._replace(end_h=min(row.end_h, until_h)) for row in log.intervals if row.start_h < until_h]
    return replace(log, intervals=rows, levels=[])


def _tasks(log: Log) -> dict[Task, float]:
    """Hours worked on each job; the log of a plan never stops in the middle of one but at the horizon."""
    found: dict[Task, float] = {}
    for row in log.intervals:
        if row.kind == "work":
            task = task_of(row.activity, row.well, row.stage, row.unit)
            found[task] = found.get(task, 0.0) + row.end_h - row.start_h
    return found


def task_of(activity: str, well: str, stage: int, unit: str) -> Task:
    """What is done, whoever does it; where no well is concerned, the unit tells it apart."""
    return (activity, well or unit, stage)


def _gathered(rows: list[dict[K, float]], missing: float) -> dict[K, Hours]:
    keys = list(dict.fromkeys(key for row in rows for key in row))
    return {key: np.array([row.get(key, missing) for row in rows]) for key in keys}
