"""Where a pad stands at a moment: what is done, what is under way and how far, by a log real or simulated.

Nothing here is counted twice: a standing is rows of a log up to a moment, gathered into jobs; what follows from it for
each trade is asked of it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from sim.activities import ARRIVE, RIG_RELEASE, SHUT_IN, STAND_BY
from sim.log import NO_ROW, Interval, Level, Log

CLOSE_H = 1e-6  # what rounding may leave between two rows of one job

NO_JOBS = (ARRIVE, STAND_BY, SHUT_IN)


class Job(NamedTuple):
    """One job of a log: rows of one unit, activity, well and stage that follow one another, waits and troubles inside.

    Wells pumped together give one job each, with the same unit and times. `end_h` is None while it is under way; then
    `worked_h` and `lost` are what it has taken up to now. `lost` holds waits and troubles, each as cause and hours, in
    order of time. `stretches_h` are the hours worked before its first trouble, between one and the next, and since the
    last: one more than there were troubles, `worked_h` in all; empty means that nobody knows. `in_trouble` names the
    trouble it is in the middle of, whose hours so far are the last of `lost` by that name. `is_waiting` says that
    it stands still for something else.
    """

    unit: str
    activity: str
    well: str
    stage: int
    start_h: float
    end_h: float | None
    worked_h: float
    lost: tuple[tuple[str, float], ...] = ()
    stretches_h: tuple[float, ...] = ()
    in_trouble: str = ""
    is_waiting: bool = False

    @property
    def is_done(self) -> bool:
        """Whether it is over."""
        return self.end_h is not None


@dataclass(frozen=True)
class Standing:
    """Where a pad stands `as_of_h`, in hours from the scenario's start.

    `rows` are those of the log up to then, those under way cut there, each unit's without a gap; a unit whose rows end
    before that has left. `levels` is what each store and pond holds, by its name in the log, where that is known, and
    `level_rows` how it came to that. `bad_weather` are the hours, sorted and apart, in which weather is known to have
    stopped work up to `weather_known_h`; after that nobody knows.
    """

    as_of_h: float = 0.0
    jobs: tuple[Job, ...] = ()
    levels: Mapping[str, float] = field(default_factory=dict)
    rows: tuple[Interval, ...] = ()
    level_rows: tuple[Level, ...] = ()
    bad_weather: tuple[tuple[float, float], ...] = ()
    weather_known_h: float = 0.0

    @cached_property
    def of_unit(self) -> Mapping[str, list[Job]]:
        """Jobs of each unit, in order of start."""
        return _by(self.jobs, lambda job: job.unit)

    @cached_property
    def of_well(self) -> Mapping[str, list[Job]]:
        """Jobs in each well, in order of start."""
        return _by(self.jobs, lambda job: job.well)

    @cached_property
    def last_row(self) -> Mapping[str, int]:
        """The last row of each unit, by its index."""
        return {row.unit: number for number, row in enumerate(self.rows) if row.unit}

    @cached_property
    def last_row_of(self) -> Mapping[tuple[str, str, int], int]:
        """The last row of each activity in each well at each stage, by its index."""
        return {(row.activity, row.well, row.stage): number for number, row in enumerate(self.rows)}

    @cached_property
    def idle_since_h(self) -> Mapping[str, float]:
        """When each unit last came or did something."""
        return {row.unit: row.end_h for row in self.rows if row.activity != STAND_BY}

    def under_way(self, unit: str) -> Job | None:
        """What a unit is at; of wells worked in together, the first."""
        return next((job for job in self.of_unit.get(unit, ()) if not job.is_done), None)

    def has_left(self, unit: str) -> bool:
        """Whether the unit was on location, and is no more."""
        return unit in self.last_row and self.rows[self.last_row[unit]].end_h < self.as_of_h

    def is_here(self, unit: str) -> bool:
        """Whether the unit is on location."""
        return unit in self.last_row and not self.has_left(unit)

    def done(self, activity: str, well: str = "") -> list[Job]:
        """Jobs of an activity that are over; without a well, of all."""
        jobs = self.of_well.get(well, ()) if well else self.jobs
        return [job for job in jobs if job.activity == activity and job.is_done]


NOTHING_YET = Standing()


def standing_of(log: Log, at_h: float) -> Standing:
    """Where the pad of a simulated log stands at any moment."""
    levels = [row for row in log.levels if row.time_h < at_h]
    return stand(log.intervals, at_h, _levels_at(levels, at_h), levels)


def stand(
    rows: Sequence[Interval], at_h: float, levels: Mapping[str, float], level_rows: Sequence[Level] = ()
) -> Standing:
    """Where a pad stands at a moment, by the rows of its log; one that is not over by then may end at any later hour.

    Who has not come to the location yet, and a well that is not released, have no row.
    """
    past = [number for number, row in enumerate(rows) if row.start_h < at_h and not _is_coming(row, at_h)]
    new = {old: number for number, old in enumerate(past)} | {NO_ROW: NO_ROW}
    kept = [rows[old]._replace(end_h=min(rows[old].end_h, at_h), after=new[rows[old].after]) for old in past]
    return Standing(at_h, tuple(_jobs(rows, at_h)), levels, tuple(kept), tuple(level_rows))


def _is_coming(row: Interval, at_h: float) -> bool:
    return row.activity in {ARRIVE, RIG_RELEASE} and row.end_h > at_h


def _levels_at(rows: Iterable[Level], at_h: float) -> dict[str, float]:
    last = {row.supply: row for row in rows}
    return {
        name: row.level + (row.inflow - row.outflow - row.turned_away) * (at_h - row.time_h)
        for name, row in last.items()
    }


def _jobs(rows: Sequence[Interval], at_h: float) -> Iterator[Job]:
    """The jobs that have begun by a moment, in order of start."""
    found = [_job(each, at_h) for each in _rows_of_jobs(rows, at_h) if each[0].start_h < at_h]
    return iter(sorted(found, key=lambda job: job.start_h))


def _rows_of_jobs(rows: Sequence[Interval], at_h: float) -> Iterator[list[Interval]]:
    """The rows of each job. One at a well is all that its unit does of it there; one at none is over with the next."""
    found: dict[tuple[str, str, str, int, int], list[Interval]] = {}
    turns: dict[str, tuple[str, int]] = {}
    for row in sorted(rows, key=lambda row: row.start_h):
        if row.activity in NO_JOBS or (row.activity == RIG_RELEASE and row.end_h > at_h):
            continue
        before, turn = turns.get(row.unit, ("", 0))
        turns[row.unit] = (row.activity, turn if row.activity == before else turn + 1)
        which = 0 if row.well else turns[row.unit][1]
        found.setdefault((row.unit, row.activity, row.well, row.stage, which), []).append(row)
    return iter(found.values())


def _job(rows: Sequence[Interval], at_h: float) -> Job:
    first, end_h = rows[0], max(row.end_h for row in rows)
    lost: list[tuple[str, float]] = []
    stretches = [0.0]
    trouble = ""
    for row in rows:
        hours = min(row.end_h, at_h) - row.start_h
        if hours <= 0:
            break
        if row.kind == "work":
            stretches[-1] += hours
            trouble = ""
            continue
        if row.kind == "trouble" and row.cause == trouble:  # it goes on after a pause
            last = max(k for k, (cause, _) in enumerate(lost) if cause == trouble)
            lost.append((row.cause, lost.pop(last)[1] + hours))
            continue
        lost.append((row.cause, hours))
        if row.kind == "trouble":
            trouble = row.cause
            stretches.append(0.0)
    going_on = end_h > at_h
    return Job(
        *(first.unit, first.activity, first.well, first.stage, first.start_h, None if going_on else end_h),
        sum(stretches), tuple(lost), tuple(stretches), trouble if going_on and _is_in_trouble(rows, at_h) else "",
        going_on and any(row.kind == "wait" and row.start_h < at_h <= row.end_h for row in rows),
    )  # fmt: skip


def _is_in_trouble(rows: Sequence[Interval], at_h: float) -> bool:
    """Whether the trouble that a job met last goes on."""
    troubles = [row for row in rows if row.kind == "trouble" and row.start_h < at_h]
    if not troubles:
        return False
    later = [row for row in rows if row.end_h > at_h and row.kind != "wait"]
    return troubles[-1].end_h > at_h or bool(later and later[0].cause == troubles[-1].cause)


def _by(jobs: Iterable[Job], key: Callable[[Job], str]) -> dict[str, list[Job]]:
    found: dict[str, list[Job]] = {}
    for job in jobs:
        found.setdefault(key(job), []).append(job)
    return found
