"""Jobs as trials: what the last attempt of each took, whether it came to its end, and what struck it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from analysis.field.jobs import WHAT, numbered
from analysis.field.reading import FieldLog
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

STRIKE = ["name", *WHAT, "start_h", "hours", "open"]


def attempts_of(log: FieldLog, scenario: Scenario) -> pd.DataFrame:
    """A row for each job, in order of start, but for those of which rows were left out.

    Columns: unit, activity, well, stage, start_h; `hours` worked since the last trouble after which the job was
    begun again; `worked_h` in all; `ended` where it came to its end and nothing of it was given up; `open` where it
    goes on; `tries`, how often it was begun; `together`, how many wells the unit worked on at once.
    """
    rows = numbered(log.rows, log.until_h)
    then = {name: trouble.then for name, trouble in scenario.activity_troubles.items()}
    what_then = rows["cause"].map(then)
    again = (what_then == "repeat").astype(int)
    ahead = again[::-1].groupby(rows["job"][::-1]).cumsum()[::-1] - again  # troubles of that kind still to come
    work = rows["hours"].where(rows["cause"] == "", 0.0)
    table = rows.assign(
        worked_h=work,
        last_h=work.where((ahead == 0) & (again == 0), 0.0),
        again=_starts(rows, again == 1),
        open=rows["end_h"].isna(),
        given_up=what_then == "give up the rest",
    )
    sums = {"last_h": "sum", "worked_h": "sum", "again": "sum", "open": "any", "given_up": "any"}
    jobs = table.groupby("job", sort=False).agg({**dict.fromkeys([*WHAT, "start_h"], "first"), **sums})
    jobs = jobs.assign(ended=~(jobs["open"] | jobs["given_up"]), tries=1 + jobs["again"], hours=jobs["last_h"])
    together = jobs.groupby(["unit", "activity", "start_h"])["well"].transform("size")
    kept = [*WHAT, "start_h", "hours", "worked_h", "ended", "open", "tries", "together"]
    return _known(jobs.assign(together=together.where(jobs["unit"] != "", 1))[kept], log)


def _known(table: pd.DataFrame, log: FieldLog) -> pd.DataFrame:
    """Without the jobs of which some row was left out."""
    known = [key not in log.doubtful for key in table[WHAT].itertuples(index=False, name=None)]
    return table[np.array(known, dtype=bool)].reset_index(drop=True)


def _starts(rows: pd.DataFrame, mask: pd.Series[bool]) -> pd.Series[int]:
    """1 where a stretch of trouble begins; the same trouble after a mere wait goes on from before."""
    busy = rows[mask | (rows["cause"] == "")]
    before = busy.groupby("job")["cause"].shift()
    begins = mask & (busy["cause"] != before).reindex(rows.index, fill_value=False)
    return begins.astype(int)


def strikes_of(log: FieldLog, names: frozenset[str]) -> pd.DataFrame:
    """Each time that one of these causes struck a job, with the hours it cost so far: columns as in STRIKE.

    `open` where it is still under way: its job goes on, and nothing but waits came after it. What strikes wells that
    are worked on at once is counted for the first of them only. Jobs of which rows were left out are not there.
    """
    rows = numbered(log.rows, log.until_h)
    mask = rows["cause"].isin(names)
    strike = _starts(rows, mask).groupby(rows["job"]).cumsum()
    rows = rows.assign(strike=strike, open=_comes_last(rows, mask) & _goes_on(rows))[mask]
    sums = {**dict.fromkeys(["cause", *WHAT, "start_h"], "first"), "hours": "sum", "open": "any"}
    found = rows.groupby(["job", "strike"], sort=False).agg(sums).rename(columns={"cause": "name"})
    return _known(found[STRIKE], log).drop_duplicates(["unit", "name", "start_h"]).reset_index(drop=True)


def _comes_last(rows: pd.DataFrame, mask: pd.Series[bool]) -> pd.Series[bool]:
    """Whether neither work nor trouble of the same job comes after a row."""
    busy = rows[mask | (rows["cause"] == "")]
    return (~busy.duplicated("job", keep="last")).reindex(rows.index, fill_value=False)


def _goes_on(rows: pd.DataFrame) -> pd.Series[bool]:
    """Whether the job of a row goes on."""
    return rows["end_h"].isna().groupby(rows["job"]).transform("any")
