"""A stage log from a sheet: rows of who did what where, from when to when, and everything that was odd about them.

Nothing is mended silently. A row that cannot be right is left out and named, and the rest is used.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from analysis.field.cells import check_cells, closest
from analysis.field.columns import DURATION_UNITS, LogMap, read_map, refuse_unknown
from analysis.field.findings import SHOWN, Finding, in_order, refuse_any
from analysis.field.sequence import check_sequence
from analysis.field.sheet import cells_of
from analysis.field.times import Clock, hours_of
from analysis.field.vocabulary import Vocabulary, vocabulary_of
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

WRONG_DATES = frozenset({"dates far off", "impossible dates", "unreadable dates"})


@dataclass(frozen=True)
class FieldLog:
    """Rows of a log that can be used, in order of unit and start, and what was odd about the others.

    Columns of `rows`: row (number in the sheet), start_h, end_h (NaN while it goes on), unit, activity, well, stage
    (0: none in particular), cause (empty for work), remarks. Hours count from the scenario's start by `clock`.
    `doubtful` are the jobs (unit, activity, well, stage) of which some row was left out, so that their hours are not
    known, each with the start of the first of those rows, NaN where that is what is wrong with it. `as_of_h` is the
    moment at which the log was looked at, where that is stated.
    """

    source: str
    read: int
    rows: pd.DataFrame
    findings: tuple[Finding, ...]
    doubtful: Mapping[tuple[str, str, str, int], float] = field(default_factory=dict)
    clock: Clock | None = None
    as_of_h: float | None = None

    @property
    def left_out(self) -> int:
        """Rows that are not used."""
        return self.read - len(self.rows)

    @property
    def until_h(self) -> float:
        """The last moment that the log knows of: that at which it was looked at, or of its last row; 0 if empty."""
        if self.as_of_h is not None:
            return self.as_of_h
        return 0.0 if self.rows.empty else float(self.rows[["start_h", "end_h"]].max().max())

    @property
    def rounded_to_min(self) -> int:
        """To how many minutes nearly all times are rounded: the most of 60, 30, 15, 10, 5 and 1, or 0."""
        minutes = 60 * self.rows[["start_h", "end_h"]].to_numpy(float)
        known = minutes[~np.isnan(minutes)]
        for step in (60, 30, 15, 10, 5, 1):
            off = step * np.abs(known / step - np.round(known / step))
            if (off < 0.01).mean() > 0.95:
                return step
        return 0


def read_log(
    file: Path, scenario: Scenario, columns: Path | None = None, *, strict: bool = False, may_be_empty: bool = False
) -> FieldLog:
    """The log in `file`, with columns and words as the map in `columns` says.

    Raises ScenarioError where the file or the map cannot be read, where no row can be used (headings alone will do if
    it `may_be_empty`), and with `strict` where anything at all is odd.
    """
    told, known = read_map(columns), vocabulary_of(scenario)
    refuse_unknown(told, {"activity": known.activities, "unit": known.units, "well": known.stages}, columns)
    cells, findings = cells_of(file, told)
    read = len(cells) + sum(finding.kind == "shape" for finding in findings)
    ours = _in_our_words(cells, told)
    rows, more = usable(ours, told, known, scenario)
    findings = [*findings, *more]
    if strict:
        refuse_any(tuple(findings), str(file))
    if rows.empty and not (may_be_empty and read == 0):
        some = [finding.problem(str(file)) for finding in in_order(findings)[:SHOWN]]
        message = f"none of its {read:,} rows can be used; the first reasons follow"
        if not read:
            message = "nothing but headings; expected rows of what happened"
        raise ScenarioError([Problem(str(file), 0, "", message), *some])
    clock = _clock(told, scenario)
    return FieldLog(file.name, read, rows, in_order(findings), _doubtful(ours, findings, known, clock), clock)


def up_to(log: FieldLog, as_of_h: float) -> FieldLog:
    """The log as it was known at a moment: what began later is not there, what ended later goes on."""
    rows = log.rows[log.rows["start_h"] < as_of_h]
    going_on = rows.assign(end_h=rows["end_h"].where(rows["end_h"] <= as_of_h))
    doubtful = {job: start_h for job, start_h in log.doubtful.items() if not start_h >= as_of_h}
    return replace(log, rows=going_on.reset_index(drop=True), doubtful=doubtful, as_of_h=as_of_h)


def usable(
    cells: pd.DataFrame, told: LogMap, known: Vocabulary, scenario: Scenario
) -> tuple[pd.DataFrame, list[Finding]]:
    """Rows that can be used, and what was odd about the others."""
    clock = _clock(told, scenario)
    start_h, start_faults = hours_of(cells["start"], clock)
    end_h, end_faults = hours_of(cells["end"], clock)
    timed = cells.assign(start_h=start_h, end_h=end_h, start_fault=start_faults, end_fault=end_faults)
    timed = _with_durations(timed, told)
    sound, findings = check_cells(timed, known)
    ordered, more = check_sequence(sound, scenario.start)
    kept = ["row", "start_h", "end_h", "unit", "activity", "well", "stage", "cause", "remarks"]
    return ordered[kept].reset_index(drop=True), findings + more


def _clock(told: LogMap, scenario: Scenario) -> Clock:
    return Clock(scenario.start, told.date_format, told.time_zone)


def _in_our_words(cells: pd.DataFrame, told: LogMap) -> pd.DataFrame:
    """Their words replaced by ours; what the map does not name stays as it is."""
    ours = {column: cells[column].replace(told.words(column)) for column in ("activity", "unit", "well", "cause")}
    return cells.assign(**ours)


def _doubtful(
    cells: pd.DataFrame, findings: list[Finding], known: Vocabulary, clock: Clock
) -> dict[tuple[str, str, str, int], float]:
    """Jobs of the rows that were left out, unless for being there twice; of a word that is not known, the closest."""
    out = {finding.row for finding in findings if finding.left_out and finding.kind != "repeated rows"}
    left = cells[cells["row"].isin(out)]
    words = ((left["unit"], known.units), (left["activity"], known.activities), (left["well"], tuple(known.stages)))
    columns = [[closest(word, likely) for word in column] for column, likely in words]
    stages = [int(stage) if stage.isdecimal() else 0 for stage in left["stage"]]
    wrong = {finding.row for finding in findings if finding.kind in WRONG_DATES}
    start_h = hours_of(left["start"], clock)[0].mask(left["row"].isin(wrong))
    found: dict[tuple[str, str, str, int], float] = {}
    for unit, activity, well, stage, at_h in zip(*columns, stages, start_h, strict=True):
        found.setdefault((unit, activity, well, stage), at_h)
    return found


def _with_durations(timed: pd.DataFrame, told: LogMap) -> pd.DataFrame:
    """Ends from durations, where the sheet has these instead."""
    import pandas as pd

    if told.columns.duration is None or told.duration_in is None:
        return timed
    hours = pd.to_numeric(timed["duration"], errors="coerce") * DURATION_UNITS[told.duration_in]
    wrong = hours.isna() & (timed["duration"] != "")
    faults = timed["end_fault"].mask(wrong, f"not a number of {told.duration_in}")
    return timed.assign(end_h=timed["start_h"] + hours, end=timed["duration"], end_fault=faults)
