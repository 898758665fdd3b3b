"""What may run beside fracturing: who must keep clear of a group, who waits for that, and who is shut in meanwhile."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import simpy

from sim.activities import PUMP_STAGE, SHUT_IN, WAITING_FOR
from sim.log import NO_ROW, Interval, Log
from sim.operations.bell import Bell
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.scenario.scenario import Scenario


class Begun(NamedTuple):
    """Something that began at an hour, at the end of a row of the log."""

    at_h: float
    row: int


class Neighbours:
    """Positions of the wells on the pad, the groups being fractured, and what that means for the others.

    Nobody begins drill-out or flowback in a well that is not clear of every group that is being fractured, or turned
    to; and no fleet begins a group before whoever is at work too near has left. A well on production that is not
    clear is shut in while its neighbours are fractured.
    """

    def __init__(self, env: simpy.Environment, log: Log, scenario: Scenario) -> None:
        self._env, self._log = env, log
        self._place = {well.name: number for number, well in enumerate(scenario.wells)}
        self._wells, strategy = len(scenario.wells), scenario.strategy
        self._by_pad, self._keep_clear = strategy.drill_out == "after the pad", strategy.wells_between
        self._active: dict[Well, list[Well]] = {}  # group by its first well
        self._begun: dict[Well, Begun] = {}
        self._fractured: list[Well] = []
        self._ended: list[tuple[Sequence[Well], int]] = []  # groups, with the row at whose end each was fractured
        self._at_work: dict[Well, str] = {}
        self._left, self._ends = Bell(env), Bell(env)  # rung when a trade leaves a well, and a group is fractured
        self._left_row = NO_ROW
        self._open: dict[Well, Begun] = {}  # wells that may flow, since when

    def turn_to(self, group: Sequence[Well]) -> None:
        """A fleet turns to a group: from now on others must keep clear of it."""
        self._active[group[0]] = list(group)

    def make_way(self, fleet: Unit, group: Sequence[Well]) -> Process:
        """The fleet waits until nobody is at work too near to the group."""
        waits = False
        while near := [trade for well, trade in self._at_work.items() if not self._is_clear(well, group)]:
            waits, fleet.waiting_for = True, near[0]
            yield self._left.rung()
        if waits:
            fleet.meet(self._left_row)

    def begin(self, group: Sequence[Well], row: int) -> None:
        """The fleet pumps in the group, at first at the end of this row."""
        if group[0] not in self._begun:
            self._begun[group[0]] = Begun(self._env.now, row)

    def end(self, group: Sequence[Well], row: int) -> list[Well]:
        """The group is fractured at the end of a row. Returns the wells that may now be drilled out, if clear."""
        self._log_shut_in(group, self._env.now)
        del self._active[group[0]]
        return self.has_ended(group, row)

    def has_ended(self, group: Sequence[Well], row: int) -> list[Well]:
        """The group was fractured at the end of a row. Returns the wells that may be drilled out since then."""
        self._ended.append((group, row))
        self._ends.ring()
        self._fractured += group
        if not self._by_pad:
            return list(group)
        return self._fractured if len(self._fractured) == self._wells else []

    def opened(self, well: Well) -> int | None:
        """The row since whose end the well is clear of all that is fractured; None while it is not."""
        if not self._is_clear(well):
            return None
        return max([row for group, row in self._ended if not self._is_clear(well, group)], default=NO_ROW)

    def wait_until_clear(self, unit: Unit, well: Well) -> Process:
        """The unit waits until nothing is fractured too near to the well."""
        waits = False
        while (row := self.opened(well)) is None:
            waits, unit.waiting_for = True, WAITING_FOR[PUMP_STAGE]
            yield self._ends.rung()
        if waits:
            unit.meet(row, WAITING_FOR[PUMP_STAGE])

    def enter(self, well: Well, trade: str) -> None:
        """A trade begins work in the well."""
        self._at_work[well] = trade

    def leave(self, well: Well, row: int) -> None:
        """The trade is done at the end of a row."""
        del self._at_work[well]
        self._left_row = row
        self._left.ring()

    def produce(self, well: Well, row: int) -> None:
        """The well is on production from now on."""
        self._open[well] = Begun(self._env.now, row)

    def has_produced(self, well: Well) -> None:
        """The well has been on production since before now."""
        self._open[well] = Begun(self._env.now, NO_ROW)

    def is_anybody_near(self, group: Sequence[Well]) -> bool:
        """Whether somebody is at work too near to the group."""
        return any(not self._is_clear(well, group) for well in self._at_work)

    def cut_short(self, horizon_h: float) -> None:
        """The horizon ends whatever is being fractured."""
        for group in self._active.values():
            if group[0] in self._begun:
                self._log_shut_in(group, horizon_h)

    def _is_clear(self, well: Well, of: Sequence[Well] | None = None) -> bool:
        others = [other for group in self._active.values() for other in group] if of is None else of
        place = self._place[well.name]
        return all(abs(place - self._place[other.name]) > self._keep_clear for other in others)

    def _log_shut_in(self, group: Sequence[Well], end_h: float) -> None:
        """Log the hours that producing neighbours of the group could not flow."""
        begun = self._begun[group[0]]
        for well, since in self._open.items():
            start_h, after = max(begun, since)
            if end_h > start_h and not self._is_clear(well, group):
                cause = WAITING_FOR[PUMP_STAGE]
                self._log.append(Interval(start_h, end_h, "", SHUT_IN, well.name, 0, "wait", cause, after))
                self._open[well] = Begun(end_h, len(self._log.intervals) - 1)
