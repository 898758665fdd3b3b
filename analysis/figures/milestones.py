"""The turning points of a well, read from its rows of the log or taken from the table of wells."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import pandas as pd

from sim import activities


class Milestones(NamedTuple):
    """Hours of a well's turning points, None where not reached; `last_h` is the end of the whole log."""

    released_h: float
    fracturing_h: float | None
    fractured_h: float | None
    drill_out_h: float | None
    flowback_h: float | None
    on_production_h: float | None
    last_h: float


def pad_milestones(rows: pd.DataFrame, last_h: float, wells: pd.DataFrame | None) -> dict[str, Milestones]:
    """Turning points of every well that the log's rows or the table of wells name; where both do, the table counts."""
    read = {str(name): _of_one_well(own, last_h) for name, own in rows.groupby("well")}
    if wells is None:
        return read
    unseen = _of_one_well(rows[:0], last_h)._replace(released_h=last_h)
    known = {str(row["well"]): row for _, row in wells.iterrows()}
    return read | {name: _with_known(read.get(name, unseen), row) for name, row in known.items()}


def _of_one_well(rows: pd.DataFrame, last_h: float) -> Milestones:
    done = rows[rows["kind"] != "wait"]
    rig = (rows[["activity", "cause"]] == activities.RIG_RELEASE).any(axis="columns")
    pumped, flowed = rows_of(done, activities.PUMP_STAGE), rows_of(done, activities.FLOW_BACK)
    return Milestones(
        released_h=_last(rows.loc[rig & (rows["unit"] == ""), "end_h"]) or 0.0,
        fracturing_h=_first(pumped["start_h"]),
        fractured_h=_last(pumped["end_h"]),
        drill_out_h=_first(done.loc[done["colour"] == "drill-out", "start_h"]),
        flowback_h=_first(flowed["start_h"]),
        on_production_h=_last(rows_of(done, activities.TURN_IN_LINE)["end_h"]),
        last_h=last_h,
    )


def _with_known(read: Milestones, known: pd.Series[Any]) -> Milestones:
    """The milestones with those that the table of wells knows; +inf there is not reached."""
    return read._replace(
        fracturing_h=_reached(known["fracturing_start_h"]),
        fractured_h=_reached(known["fracturing_end_h"]),
        flowback_h=_reached(known["flowback_start_h"]),
        on_production_h=_reached(known["on_production_h"]),
    )


def _reached(hour: float) -> float | None:
    return float(hour) if math.isfinite(hour) else None


def rows_of(rows: pd.DataFrame, activity: str) -> pd.DataFrame:
    """The rows of one activity."""
    return rows[rows["activity"] == activity]


def _first(hours: pd.Series[float]) -> float | None:
    return float(hours.min()) if len(hours) else None


def _last(hours: pd.Series[float]) -> float | None:
    return float(hours.max()) if len(hours) else None
