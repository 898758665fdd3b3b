"""Whose night a unit waits for while it stands by: its own is in its day rate, that of another is kept for.

A unit that is off shift and has no job stands by outside its own hours. One that waits for another unit stands by too,
and its wait is put down to what that one does: a fleet around the clock waits through the night of a preparation crew.
So a night is a unit's own where it lies outside the unit's stated hours. Crew changes are alike for all; who stands by
through one waits for the work that it holds up.
"""

from __future__ import annotations

from collections.abc import Iterator

from sim.activities import CREW_CHANGE, OUTSIDE_HOURS, STAND_BY
from sim.log import Interval
from sim.operations.calendars import shifts_of
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario

OWN = (OUTSIDE_HOURS, CREW_CHANGE)
OF_OTHERS = {cause: f"{cause} of others" for cause in OWN}
Stretch = tuple[float, float, str]  # from, to, reason


class Nights:
    """The stated hours of every unit of a scenario."""

    def __init__(self, scenario: Scenario) -> None:
        kinds = scenario.units.kinds.values()
        stated = [each for entries in kinds for each in individuals(entries)]
        self._on_duty = {name: shifts_of(scenario, unit).on_duty for name, unit in stated}

    def told(self, row: Interval) -> list[Stretch]:
        """A row of a unit with its reason, parted where somebody else's night begins or ends to be its own."""
        reason = row.cause or row.activity
        if row.activity != STAND_BY or reason not in OWN or row.unit not in self._on_duty:
            return [(row.start_h, row.end_h, reason)]
        if reason == CREW_CHANGE:
            return [(row.start_h, row.end_h, OF_OTHERS[reason])]
        return list(self._parted(row))

    def _parted(self, row: Interval) -> Iterator[Stretch]:
        on_duty, at_h = self._on_duty[row.unit], row.start_h
        while at_h < row.end_h:
            begins_h, ends_h = (min(each, row.end_h) for each in on_duty.next_window(at_h))
            if at_h < begins_h:
                yield at_h, begins_h, OUTSIDE_HOURS
            if begins_h < ends_h:
                yield begins_h, ends_h, OF_OTHERS[OUTSIDE_HOURS]
            at_h = ends_h
