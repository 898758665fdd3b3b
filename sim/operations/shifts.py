"""When a crew is on shift, when it can begin work, and what its pauses are called."""

from __future__ import annotations

from typing import NamedTuple

from sim.activities import CREW_CHANGE, FLOW_BACK, OUTSIDE_HOURS, PLUG_AND_PERFORATE, PUMP_STAGE, WEATHER
from sim.calendars import Calendar

GOING_ON = (PUMP_STAGE, PLUG_AND_PERFORATE, FLOW_BACK)
"""What is not begun during a crew change, but goes on through one: nobody stops a stage for it."""


class Shifts(NamedTuple):
    """A crew's times, known in advance: `on_duty`, and `free` to begin work, which leaves out crew changes."""

    on_duty: Calendar
    free: Calendar

    @property
    def going_on(self) -> Calendar:
        """When work goes on that no crew change stops; a change at the start of a shift comes first all the same."""
        if self.on_duty.always_open or self.free is self.on_duty:
            return self.on_duty
        return Calendar([(begin, b) for a, b in self.on_duty.windows if (begin := self.free.next_open(a)) < b])

    def begins_h(self, at_h: float, hours: float, *, must_fit: bool) -> float:
        """When a crew means to begin work of so many hours: free, and if it must, until all of it is done.

        What is longer than any shift cannot but pause. Of no hours is what has begun before, and goes on at once.
        """
        if hours == 0:
            return at_h
        fitting = self.free.fitting(at_h, hours) if must_fit else []
        return fitting[0][0] if fitting else self.free.next_open(at_h)

    def pause(self, at_h: float, begins_h: float, activity: str) -> tuple[float, str]:
        """Until when, at the latest, and why an activity that is meant to begin at `begins_h` does not go on now."""
        on_duty_h, free_h = self.on_duty.next_open(at_h), self.free.next_open(at_h)
        if on_duty_h > at_h:
            return on_duty_h, OUTSIDE_HOURS
        begun = at_h >= begins_h
        if free_h > at_h and not (begun and activity in GOING_ON):
            return free_h, CREW_CHANGE
        closes_h = self.on_duty.closes(at_h)
        if begun and activity in GOING_ON:
            return closes_h, WEATHER
        until_change_h = min(closes_h, self.free.closes(at_h))
        if begun:
            return until_change_h, WEATHER
        return min(begins_h, until_change_h), CREW_CHANGE if until_change_h < closes_h else OUTSIDE_HOURS
