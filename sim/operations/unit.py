"""A unit at work: crew, fleet, wireline unit, rig or spread. Whatever it does or waits for becomes a row of the log.

A unit's rows follow one another without gap or overlap by construction: each starts where the last one ended.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Sequence
from math import inf
from typing import Any

import simpy

from sim import activities
from sim.calendars import Calendar, Piece
from sim.log import NO_ROW, Interval, Kind, Log, make_row
from sim.operations.reasons import reasons
from sim.operations.shifts import Shifts
from sim.standing import Job, Standing
from sim.supplies.store import ROUNDING
from sim.supplies.supplies import AnyDraw

Process = Generator[simpy.Event, Any, Any]
Place = tuple[str, int]  # well and stage; stage 0 is no particular one

NOWHERE: tuple[Place, ...] = (("", 0),)


class Unit:
    """One named individual on the location, or on its way there.

    `after` is the row that releases its next row. `waiting_for` is what it will wait for next. A unit on call
    (`arrives_h` None) is on location from its first job. `shifts` is what its crew knows in advance;
    `open_for(activity)` is when it can really work on something: on shift, and not stopped by the weather.
    """

    def __init__(
        self,
        env: simpy.Environment,
        log: Log,
        name: str,
        shifts: Shifts,
        open_for: Callable[[str], Calendar],
        arrives_h: float | None = 0.0,
        *,
        must_fit: bool = False,
        priority: int = 1,
    ) -> None:
        self.env, self.log, self.name, self.shifts = env, log, name, shifts
        self.open_for, self._must_fit = open_for, must_fit
        self.priority = priority  # where a supply is short, lower is served first
        self.on_call = arrives_h is None
        self._arrives_h = arrives_h or 0.0
        self.free_h, self.after = 0.0, NO_ROW
        self.waiting_for = activities.ARRIVAL
        self._free_for: dict[str, bool] = {}
        self._begins_h = 0.0  # when the crew meant to begin the job at hand
        self.start_by_h = inf  # when it is too late to begin it in that shift
        self._job: tuple[str, Sequence[Place], Sequence[Piece], str] | None = None
        self.drawing: tuple[str, Sequence[Place], AnyDraw | None] | None = None
        self.is_here = False  # since before the simulation began
        self.begun: Job | None = None

    def stand(self, standing: Standing) -> None:
        """Take the place in which the unit was found. One that has left may be called again."""
        if self.name not in standing.last_row:
            return
        self.after, self.is_here = standing.last_row[self.name], standing.is_here(self.name)
        self.free_h = standing.rows[self.after].end_h
        self.on_call, self._arrives_h = not self.is_here, 0.0
        self.begun = standing.under_way(self.name) if self.is_here else None

    def found_at(self, activity: str) -> Job | None:
        """The job of an activity that the unit was found at, while it has not gone on with it."""
        return self.begun if self.begun is not None and self.begun.activity == activity else None

    def take_up(self, activity: str) -> Job | None:
        """Go on with the job that the unit was found at, if it is of this activity."""
        job, self.begun = self.found_at(activity), None
        return job

    def record(
        self, end_h: float, activity: str, places: Sequence[Place] = NOWHERE, kind: Kind = "work", cause: str = ""
    ) -> int:
        """Append what the unit did since it was last free: a row for each place, of which the first is returned."""
        rows = self.log.intervals
        start_h, after, name, self.free_h, self.after = self.free_h, self.after, self.name, end_h, len(rows)
        for well, stage in places:
            rows.append(make_row(Interval, (start_h, end_h, name, activity, well, stage, kind, cause, after)))
        return self.after

    def wait_until(
        self, end_h: float, cause: str, activity: str = activities.STAND_BY, places: Sequence[Place] = NOWHERE
    ) -> None:
        """Log a wait up to `end_h`, if there was any."""
        if end_h > self.free_h:
            self.record(end_h, activity, places, "wait", cause)

    def arrive(self) -> Process:
        """Come on location at the stated time; a unit on call comes when it is first met."""
        if self._arrives_h > 0:
            yield self.env.timeout(max(0.0, self._arrives_h - self.env.now))
            self.wait_until(self.env.now, activities.ARRIVAL, activities.ARRIVE)

    def meet(self, released: int, cause: str = "") -> None:
        """Begin something that the row `released` has just made possible; waiting since the unit was free is logged.

        Without a `cause`, each stretch of the wait is put down to what went on along the rows that led to the release.
        What was possible before the unit comes waited for its shift.
        """
        now: float = self.env.now
        ready_h = self.log.intervals[released].end_h if released != NO_ROW else now
        if self.on_call:
            self.on_call = False
            self.wait_until(ready_h, activities.ON_CALL, activities.ARRIVE)
            self.after = self.after if released == NO_ROW else released
        elif released == NO_ROW:
            self.wait_until(now, self.waiting_for)
        elif ready_h > self.free_h:
            for end_h, reason in [(ready_h, cause)] if cause else reasons(self.log, released, self.free_h, ready_h):
                self.record(end_h, activities.STAND_BY, NOWHERE, "wait", reason)
            self.after = released
        self.wait_until(now, activities.OUTSIDE_HOURS)

    def perform(
        self,
        activity: str,
        hours: float,
        places: Sequence[Place] = NOWHERE,
        trouble: str = "",
        planned_h: float | None = None,
    ) -> Process:
        """Work `hours` within working hours, or lose them to a trouble. Returns the row at whose end it was over.

        `planned_h` is how long the crew believes it to be when it begins: the same unless trouble is to come.
        """
        if hours <= 0:
            return self.after
        planned_h = hours if planned_h is None else planned_h
        pieces = self._pieces(activity, hours, planned_h)
        while pieces[0][0] > self.start_by_h:  # the weather lets nobody begin while there is time
            yield from self.stand_by(pieces[0][0], activity, places)
            pieces = self._pieces(activity, hours, planned_h)
        self._job = (activity, places, pieces, trouble)
        yield self.env.timeout(pieces[-1][1] - self.env.now)
        self._log_job(self.env.now)
        return self.after

    def let_run(self, activity: str, hours: float) -> Process:
        """Look on while something takes its hours by itself, by day and night."""
        if hours > 0:
            self._job = (activity, NOWHERE, ((self.env.now, self.env.now + hours),), "")
            yield self.env.timeout(hours)
            self._log_job(self.env.now)

    def _pieces(self, activity: str, hours: float, planned_h: float) -> Sequence[Piece]:
        """When the next `hours` of work are done."""
        now = self.env.now
        if self.is_free_for(activity):
            return ((now, now + hours),)
        return self.open_for(activity).pieces(self._begin_h(planned_h, now), hours)

    def _begin_h(self, planned_h: float, at_h: float) -> float:
        """When the crew means to begin, from a time on."""
        self._begins_h = self.shifts.begins_h(at_h, planned_h, must_fit=self._must_fit)
        if self._must_fit:
            self.start_by_h = self.shifts.latest_h(self._begins_h, planned_h)
        return self._begins_h

    def is_free_for(self, activity: str) -> bool:
        """Whether nothing ever keeps the unit from the activity."""
        if activity not in self._free_for:
            self._free_for[activity] = self.open_for(activity).always_open and self.shifts.free.always_open
        return self._free_for[activity]

    def first_window(self, activity: str, planned_h: float, *, next_shift: bool = False) -> Piece:
        """When work may begin, in this shift or only in the next, and until when it may go on at a stretch."""
        at_h = self.shifts.free.closes(self.env.now) if next_shift else self.env.now
        return self.open_for(activity).next_window(self._begin_h(planned_h, at_h))

    def next_window(self, activity: str) -> Piece:
        """When work that has begun may go on, and until when."""
        return self.open_for(activity).next_window(self.env.now)

    def stand_by(self, until_h: float, activity: str, places: Sequence[Place]) -> Process:
        """Wait until the unit is on shift and the weather lets it work."""
        self.drawing, self.waiting_for = (activity, places, None), activities.OUTSIDE_HOURS
        yield self.env.timeout(until_h - self.env.now)
        self.stand_still(self.env.now, activity, places)
        self.drawing = None

    def _log_job(self, until_h: float) -> None:
        """Rows of the job under way, up to now or to the horizon."""
        assert self._job is not None
        activity, places, pieces, trouble = self._job
        self._job = None
        kind: Kind = "trouble" if trouble else "work"
        if len(pieces) == 1 and pieces[0][0] == self.free_h:
            self.record(until_h, activity, places, kind, trouble)
            return
        for begin_h, end_h in pieces:
            if begin_h < until_h:
                self.stand_still(begin_h, activity, places)
                self.record(end_h if end_h < until_h - ROUNDING else until_h, activity, places, kind, trouble)
        self.stand_still(until_h, activity, places)

    def stand_still(self, until_h: float, activity: str, places: Sequence[Place]) -> None:
        """Log a pause, each stretch of it by what kept the crew from work."""
        stretch, end_h = "", self.free_h
        while end_h < until_h:
            next_h, cause = self.shifts.pause(end_h, self._begins_h, activity)
            if cause != stretch:
                self.wait_until(end_h, stretch, activity, places)
            stretch, end_h = cause, min(next_h, until_h)
        self.wait_until(end_h, stretch, activity, places)

    def _log_drawing(self, until_h: float, activity: str, places: Sequence[Place], draw: AnyDraw | None) -> None:
        """Rows of work that draws a supply, so far: it waits for its shift, for the supply, or is under way."""
        if draw is None:
            self.stand_still(until_h, activity, places)
        else:
            self.log_draw(until_h, activity, places, draw)

    def log_draw(self, until_h: float, activity: str, places: Sequence[Place], draw: AnyDraw) -> None:
        """Rows of a draw. Where a supply slowed it, the time lost is a wait, before the last of the work."""
        for end_h, cause in draw.waits(self.free_h, draw.start_h if draw.started else until_h):
            self.wait_until(end_h, cause, activity, places)
        if draw.slow_from_h < until_h:
            if draw.slow_from_h > self.free_h:
                self.record(draw.slow_from_h, activity, places)
            for cause, lost_h in draw.lost(until_h):
                self.wait_until(min(self.free_h + lost_h, until_h), cause, activity, places)
        if until_h > self.free_h:
            self.record(until_h, activity, places)

    @property
    def is_at_work(self) -> bool:
        """Whether a job is under way, or will be at the next shift: then nobody's call is needed for it to go on."""
        return self._job is not None or (self.drawing is not None and self.drawing[2] is None)

    def cut_short(self, horizon_h: float) -> bool:
        """Close the unit's rows at the horizon. False for a unit that was never called."""
        if self.on_call:
            return False
        if self._job:
            self._log_job(horizon_h)
        elif self.drawing:
            self._log_drawing(horizon_h, *self.drawing)
        else:
            self.wait_until(horizon_h, self.waiting_for, activities.STAND_BY if self.free_h else activities.ARRIVE)
        return True
