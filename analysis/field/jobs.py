"""Rows of a log put together to jobs, and to a log of intervals like that of a simulation."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from analysis.field.reading import FieldLog
from sim import activities
from sim.activities import STAND_BY
from sim.log import NO_ROW, Interval, Kind, Log
from sim.scenario.scenario import Scenario
from sim.standing import Job

if TYPE_CHECKING:
    import pandas as pd

BEYOND_H = 1e-6  # the horizon lies just beyond the last moment, so that what ends with the log counts as done
WHAT = ["unit", "activity", "well", "stage"]
OUTSIDE = (STAND_BY, activities.ARRIVE)


def jobs_of(log: FieldLog) -> list[Job]:
    """Every job in the order in which they began. Standing by and coming on location are none."""
    rows = numbered(log.rows, log.until_h)
    lost = _lost(rows)
    jobs = rows.assign(worked_h=rows["hours"].where(rows["cause"] == "", 0.0), over_h=rows["end_h"].fillna(np.inf))
    spans = jobs.groupby("job", sort=False).agg(
        {**dict.fromkeys(WHAT, "first"), "start_h": "first", "over_h": "max", "worked_h": "sum"}
    )
    return [
        Job(
            unit, activity, well, int(stage), start_h, None if over_h == np.inf else over_h, worked_h, lost.get(job, ())
        )
        for job, unit, activity, well, stage, start_h, over_h, worked_h in spans.itertuples()
    ]


def _lost(rows: pd.DataFrame) -> dict[int, tuple[tuple[str, float], ...]]:
    """Waits and troubles of each job, in order of time."""
    found: dict[int, list[tuple[str, float]]] = {}
    columns = [rows.loc[rows["cause"] != "", name].tolist() for name in ("job", "cause", "hours")]
    for job, cause, hours in zip(*columns, strict=True):
        found.setdefault(job, []).append((cause, hours))
    return {job: tuple(lost) for job, lost in found.items()}


def numbered(rows: pd.DataFrame, until_h: float) -> pd.DataFrame:
    """Rows of jobs in order of start, with `job`, a number for each, and `hours`, up to `until_h` where one goes on.

    A job at a well is all that its unit does of it there, with whatever comes between; one at no well is over when
    the unit turns to something else.
    """
    doing = rows[~rows["activity"].isin(OUTSIDE)].sort_values(["unit", "start_h", "row"], kind="stable")
    key = doing.groupby(WHAT, sort=False).ngroup()
    run = ((key != key.shift()) & (doing["well"] == "")).cumsum().where(doing["well"] == "", 0)
    hours = doing["end_h"].fillna(until_h) - doing["start_h"]
    job = doing.assign(key=key, run=run).groupby(["key", "run"], sort=False).ngroup()
    return doing.assign(job=job, hours=hours).sort_values(["start_h", "row"], kind="stable")


def intervals_of(log: FieldLog, scenario: Scenario) -> Log:
    """The log as one of the model's, for whatever reads those; what still goes on is cut short at its last moment."""
    until_h = log.until_h + BEYOND_H
    found = Log(-1, 0, until_h, {well.name: well.stage_count for well in scenario.wells})
    found.intervals += rows_of(log, scenario, until_h)
    return found


def rows_of(log: FieldLog, scenario: Scenario, open_end_h: float = np.inf) -> list[Interval]:
    """The rows as the model writes them, in order of ending; what still goes on ends at `open_end_h`.

    A cause that is no trouble of the plan is a wait.
    """
    troubles = set(scenario.troubles)
    ordered = log.rows.assign(end_h=log.rows["end_h"].fillna(open_end_h)).sort_values(["end_h", "row"], kind="stable")
    columns = [ordered[name].tolist() for name in ("start_h", "end_h", *WHAT, "cause")]
    found = []
    for start_h, end_h, unit, activity, well, stage, cause in zip(*columns, strict=True):
        kind: Kind = "work" if not cause else "trouble" if cause in troubles else "wait"
        found.append(Interval(start_h, end_h, unit, activity, well, stage, kind, cause, NO_ROW))
    return found
