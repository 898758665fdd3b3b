"""Rows of a log looked at one after the other: overlaps, gaps, missing ends, stages out of order."""

from __future__ import annotations

from bisect import bisect_right
from datetime import datetime
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from analysis.field.cells import found
from analysis.field.findings import Finding
from analysis.field.times import swapped
from analysis.field.vocabulary import OF_A_STAGE

if TYPE_CHECKING:
    import pandas as pd

TOUCH_H = 1e-6  # times that differ by less are the same
GAP_H = 0.26  # a quarter of an hour that nobody wrote down is no gap: most sheets are rounded to it
MOST_ROUNDS = 200
FEW = 3  # rows far from all others that may be a slip
NEAR_H, FAR_H = 48.0, 240.0  # how near day and month the other way round bring a row that is far from its neighbours

Numbers = NDArray[np.float64]


def check_sequence(sound: pd.DataFrame, start: datetime) -> tuple[pd.DataFrame, list[Finding]]:
    """The rows in order of unit and start that can all be true together, and what is wrong with the others."""
    neighbours = {"before_h": sound["start_h"].shift(), "after_h": sound["start_h"].shift(-1)}
    rows = sound.assign(other_way_h=swapped(sound["start_h"], start), **neighbours)
    findings = _far_off(rows)
    rows = rows[~rows["row"].isin({finding.row for finding in findings})]
    for check in (_never_ended, _overlapping, _out_of_order):
        rows = rows.sort_values(["unit", "start_h", "end_h", "row"], kind="stable", na_position="last")
        more = check(rows)
        findings += more
        rows = rows[~rows["row"].isin({finding.row for finding in more})]
    rows = rows.sort_values(["unit", "start_h", "end_h", "row"], kind="stable", na_position="last")
    return rows, findings + _gaps(rows)


def _far_off(rows: pd.DataFrame) -> list[Finding]:
    """Rows far from both neighbours in the sheet, or from all others, that would fit the other way round.

    Nothing else tells of such a date where it lies beyond all others: it overlaps with nobody.
    """
    before, after = ((rows["start_h"] - rows[name]).abs() for name in ("before_h", "after_h"))
    alone = (before > FAR_H) & ~(after <= FAR_H) & ((rows["other_way_h"] - rows["before_h"]).abs() < NEAR_H)
    inside = rows[~_apart(rows["start_h"])]["start_h"]
    within = rows["other_way_h"].between(inside.min() - NEAR_H, inside.max() + NEAR_H)
    message = "far from the other rows; day and month may be the other way round"
    return found(rows, alone | (_apart(rows["start_h"]) & within), "start", message, "dates far off")


def _apart(start_h: pd.Series[float]) -> pd.Series[bool]:
    """The first or the last few rows, where a long time parts them from all others."""
    ordered = start_h.sort_values()
    gaps = ordered.diff() > FAR_H
    few = min(FEW, len(ordered) // 10)
    last = gaps & (np.arange(len(ordered)) >= len(ordered) - few)
    first = gaps.shift(-1, fill_value=False) & (np.arange(len(ordered)) < few)
    return (last.cummax() | first[::-1].cummax()[::-1]).reindex(start_h.index)


def _never_ended(rows: pd.DataFrame) -> list[Finding]:
    """An end may be missing only while the job goes on: nothing of the same unit, or well, comes after it."""
    who = rows["unit"].mask(rows["unit"] == "", rows["well"])
    goes_on = rows["start_h"] < rows.groupby(who)["start_h"].transform("max")
    never = rows["end_h"].isna() & goes_on
    message = "missing, although the unit goes on to other work"
    return found(rows, never, "end", message, "missing cells")


def _overlapping(rows: pd.DataFrame) -> list[Finding]:
    """Of rows of one unit that overlap, those that are at odds with the most others, the later first."""
    open_end = rows["end_h"].fillna(np.inf)
    manned = rows[rows["unit"] != ""].assign(end_h=open_end)
    together = ["unit", "start_h", "end_h", "activity"]  # wells pumped or perforated together are one job of the unit
    jobs = manned.drop_duplicates(together)
    bad: list[int] = []
    for _, own in jobs.groupby("unit", sort=False):
        index = own.index.to_numpy()
        bad += index[_at_odds(own["start_h"].to_numpy(float), own["end_h"].to_numpy(float))].tolist()
    if not bad:
        return []
    wrong = manned.merge(jobs.loc[bad, together], on=together)["row"]
    mask = rows["row"].isin(set(wrong))
    return found(
        rows, mask, "start", _with_hints("overlaps other rows of the same unit", rows[mask]), "overlapping rows"
    )


def _with_hints(message: str, rows: pd.DataFrame) -> list[str]:
    """The message for each row; with a hint where day and month the other way round would bring it to its neighbour."""
    apart = (rows["start_h"] - rows["before_h"]).abs() > FAR_H
    beside = (rows["other_way_h"] - rows["before_h"]).abs() < NEAR_H
    hint = "; day and month may be the other way round"
    return [message + hint if likely else message for likely in apart & beside]


def _at_odds(start_h: Numbers, end_h: Numbers) -> NDArray[np.int64]:
    """Places of the rows to leave out, so that none of the rest overlap; rows in order of start."""
    left = np.arange(len(start_h))
    for _ in range(MOST_ROUNDS):
        clashes = _clashes(start_h[left], end_h[left])
        if not clashes.any():
            break
        worst = clashes == clashes.max()
        if clashes.max() == 1:  # pairs: the later of each
            worst = _later_of_pairs(start_h[left], end_h[left], clashes)
        left = left[~worst]
    else:
        left = left[_clashes(start_h[left], end_h[left]) == 0]
    return np.setdiff1d(np.arange(len(start_h)), left)


def _clashes(start_h: Numbers, end_h: Numbers) -> NDArray[np.int64]:
    """With how many others each row overlaps; rows that take no time overlap with nobody."""
    lasting = end_h - start_h > TOUCH_H
    starts, ends = np.sort(start_h[lasting]), np.sort(end_h[lasting])
    begun = np.searchsorted(starts, end_h - TOUCH_H, side="left")
    over = np.searchsorted(ends, start_h + TOUCH_H, side="right")
    return np.where(lasting, begun - over - 1, 0)


def _later_of_pairs(start_h: Numbers, end_h: Numbers, clashes: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Of rows in order of start that each overlap one other, every second."""
    later = np.zeros(len(start_h), dtype=bool)
    places = np.flatnonzero(clashes)
    later[places[1::2]] = True
    return later


def _out_of_order(rows: pd.DataFrame) -> list[Finding]:
    """Stages go from toe to heel: the fewest rows are left out that make them do so."""
    staged = rows[rows["activity"].isin(OF_A_STAGE) & (rows["stage"] > 0)].sort_values("start_h", kind="stable")
    wrong: list[int] = []
    for _, own in staged.groupby(["well", "activity"], sort=False):
        numbers = own["row"].to_numpy()
        wrong += numbers[_not_rising(own["stage"].tolist())].tolist()
    mask = rows["row"].isin(set(wrong))
    return found(rows, mask, "stage", _with_hints("out of order", rows[mask]), "stages out of order")


def _not_rising(stages: list[int]) -> list[int]:
    """Places outside a longest run of stages that never falls."""
    tails: list[int] = []
    places: list[int] = []
    before = [-1] * len(stages)
    for k, stage in enumerate(stages):
        at = bisect_right(tails, stage)
        before[k] = places[at - 1] if at else -1
        tails[at : at + 1], places[at : at + 1] = [stage], [k]
    kept, k = set(), places[-1] if places else -1
    while k >= 0:
        kept.add(k)
        k = before[k]
    return [k for k in range(len(stages)) if k not in kept]


def _gaps(rows: pd.DataFrame) -> list[Finding]:
    """Hours of a unit on location that the log says nothing of; noted, for nothing can be left out."""
    manned = rows[rows["unit"] != ""]
    over_h = manned.groupby("unit", sort=False)["end_h"].transform(lambda ends: ends.cummax().shift())
    gap_h = manned["start_h"] - over_h
    gaps = gap_h > GAP_H
    messages = [
        f"{hours:.1f} h before it are missing for {unit}"
        for hours, unit in zip(gap_h[gaps], manned.loc[gaps, "unit"], strict=True)
    ]
    return [finding._replace(left_out=False) for finding in found(manned, gaps, "start", messages, "gaps")]
