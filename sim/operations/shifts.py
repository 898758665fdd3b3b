"""When a crew is on shift, when it can begin work, and what its pauses are called."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from sim.activities import CREW_CHANGE, FLOW_BACK, OUTSIDE_HOURS, PLUG_AND_PERFORATE, PUMP_STAGE, WEATHER
from sim.calendars import Calendar

GOING_ON = (PUMP_STAGE, PLUG_AND_PERFORATE, FLOW_BACK)
"""What is not begun during a crew change, but goes on through one: nobody stops a stage for it."""


class Shifts(NamedTuple):
    """A crew's times, known in advance.

    `on_duty`; `free` to begin work, which leaves out crew changes; and `going_on` with work that no crew change stops,
    which leaves out only those at the start of a shift.
    """

    on_duty: Calendar
    free: Calendar
    going_on: Calendar

    def begins_h(self, at_h: float, hours: float, *, must_fit: bool) -> float:
        """When a crew means to begin work of so many hours: free, and if it must, until all of it is done.

        What is longer than any shift cannot but pause. Of no hours is what has begun before, and goes on at once.
        """
        if hours == 0:
            return at_h
        fitting = self.free.fitting(at_h, hours) if must_fit else []
        return fitting[0][0] if fitting else self.free.next_open(at_h)

    def latest_h(self, begins_h: float, hours: float) -> float:
        """Until when work that a crew means to begin at `begins_h` may begin and be done without a pause.

        Infinite for what cannot but pause, and for work of no hours.
        """
        if hours == 0 or begins_h == inf:
            return inf
        closes_h = self.free.closes(begins_h)
        return max(begins_h, closes_h - hours) if begins_h + hours <= closes_h else inf

    def pause(self, at_h: float, begins_h: float, activity: str) -> tuple[float, str]:
        """Until when, at the latest, and why an activity that is meant to begin at `begins_h` does not go on now."""
        on_duty_h, begun = self.on_duty.next_open(at_h), at_h >= begins_h
        if on_duty_h > at_h:
            return on_duty_h, OUTSIDE_HOURS
        staffed = self.going_on if begun and activity in GOING_ON else self.free
        if (staffed_h := staffed.next_open(at_h)) > at_h:
            return staffed_h, CREW_CHANGE
        closes_h = self.on_duty.closes(at_h)
        until_h = min(closes_h, staffed.closes(at_h))
        if begun:
            return until_h, WEATHER
        return min(begins_h, until_h), CREW_CHANGE if until_h < closes_h else OUTSIDE_HOURS


def shifts_between(on_duty: Calendar, free: Calendar) -> Shifts:
    """The shifts of a crew that is on duty in these windows, and free to begin work in those."""
    if on_duty.always_open or free is on_duty:
        return Shifts(on_duty, free, on_duty)
    begins = [(free.next_open(a), b) for a, b in on_duty.windows]
    return Shifts(on_duty, free, Calendar([(a, b) for a, b in begins if a < b]))
