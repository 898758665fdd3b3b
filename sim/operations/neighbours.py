"""What may run beside fracturing: who must keep clear of a group, who waits for that, and who is shut in meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import simpy

from sim.activities import PUMP_STAGE, SHUT_IN, WAITING_FOR
from sim.log import Interval, Log
from sim.operations.well import Well
from sim.scenario.scenario import Scenario


class Begun(NamedTuple):
    """Something that began at an hour, at the end of a row of the log."""

    at_h: float
    row: int


class Neighbours:
    """Positions of the wells on the pad, the groups being fractured, and what that means for the others.

    A fractured well is handed to drill-out once the strategy allows it and it is clear of every group that is being
    fractured, or moved to. A well on production that is not clear is shut in while its neighbours are fractured.
    """

    def __init__(
        self, env: simpy.Environment, log: Log, scenario: Scenario, hand_over: Callable[[Well, int], None]
    ) -> None:
        self._env, self._log, self._hand_over = env, log, hand_over
        self._place = {well.name: number for number, well in enumerate(scenario.wells)}
        self._wells, strategy = len(scenario.wells), scenario.strategy
        self._by_pad, self._keep_clear = strategy.drill_out == "after the pad", strategy.wells_between
        self._active: dict[Well, list[Well]] = {}  # group by its first well
        self._begun: dict[Well, Begun] = {}
        self._held: list[Well] = []
        self._fractured = 0
        self._open: dict[Well, Begun] = {}  # wells that may flow, since when

    def turn_to(self, group: Sequence[Well]) -> None:
        """A fleet turns to a group: from now on others must keep clear of it."""
        self._active[group[0]] = list(group)

    def begin(self, group: Sequence[Well], row: int) -> None:
        """The fleet begins to fracture the group at the end of a row."""
        self._begun[group[0]] = Begun(self._env.now, row)

    def end(self, group: Sequence[Well], row: int) -> None:
        """The group is fractured at the end of a row; call it after turning to the next."""
        self._log_shut_in(group, self._env.now)
        del self._active[group[0]]
        self._held += group
        self._fractured += len(group)
        if not self._by_pad or self._fractured == self._wells:
            for well in [well for well in self._held if self._is_clear(well)]:
                self._held.remove(well)
                self._hand_over(well, row)

    def produce(self, well: Well, row: int) -> None:
        """The well is on production from now on."""
        self._open[well] = Begun(self._env.now, row)

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
