"""Wells waiting for a trade, and units waiting for wells."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Mapping, Sequence
from itertools import takewhile
from typing import NamedTuple, Protocol

import simpy

from sim.log import NO_ROW, Log, make_row
from sim.operations.bell import Bell
from sim.operations.on_duty import come_on_duty, covers, is_on_duty, while_on_duty
from sim.operations.unit import Process, Unit
from sim.operations.well import Well


class Job(NamedTuple):
    """A well that waits for a trade, and the row whose end made it wait."""

    well: Well
    released: int


class Queue:
    """Wells waiting for one trade, first come first served by the units that are on shift.

    Who works around the clock goes before who would have to stop for the night, then who has waited longest.
    A unit takes on its next job before the job is there; one that finds none left goes home. What a unit of other hours
    has taken on counts as left, for that one may be off shift when the job comes.
    """

    def __init__(self, env: simpy.Environment, jobs: int) -> None:
        self._env = env
        self._jobs: deque[Job] = deque()
        self._idle: dict[Unit, simpy.Event] = {}
        self._to_come = jobs  # not handed to any unit yet
        self._first: simpy.Event = env.event()
        self._found: dict[str, Well] = {}  # at which well a unit was found, by its name

    def stand(self, left: int, at_work: Mapping[str, Well], begun: bool) -> None:
        """So many jobs are left that nobody is at; these units are at work; whether the first job has come."""
        self._to_come, self._found = left, dict(at_work)
        if begun:
            self._first.succeed(NO_ROW)

    def is_any_left(self, unit: Unit) -> bool:
        """Whether the unit will be needed."""
        return self._to_come > sum([covers(other, unit) for other in self._idle])

    def put(self, well: Well, released: int) -> None:
        """Let the well wait for the trade from now on."""
        if not self._first.triggered:
            self._first.succeed(released)
        job = make_row(Job, (well, released))
        ready = self._next_in_line()
        if ready is None:
            self._jobs.append(job)
        else:
            self._to_come -= 1
            self._idle.pop(ready).succeed(job)
            self._let_go()

    def _next_in_line(self) -> Unit | None:
        by_day = None
        for unit in self._idle:
            if unit.shifts.on_duty.always_open:
                return unit
            if by_day is None and is_on_duty(unit):
                by_day = unit
        return by_day

    def _let_go(self) -> None:
        """Let who is idle go home once nothing is to come."""
        while self._idle and not self._to_come:
            self._idle.popitem()[1].succeed()

    def called_in(self, unit: Unit) -> Process:
        """Come on location for the first job of all, without taking it on."""
        unit.waiting_for = "pumping"
        unit.meet((yield self._first))

    def take(self, unit: Unit) -> Process:
        """Take on one job; returns its well once it is there, with the unit's wait logged; None if none is left."""
        if unit.name in self._found:
            return self._found.pop(unit.name)
        job: Job | None
        while True:
            if not is_on_duty(unit):
                yield from come_on_duty(unit)
            if self._jobs:
                self._to_come -= 1
                self._let_go()
                job = self._jobs.popleft()
            elif self.is_any_left(unit):
                unit.waiting_for = "pumping"
                handed = self._idle[unit] = self._env.event()
                yield while_on_duty(unit, handed)
                self._idle.pop(unit, None)
                job = handed.value if handed.triggered else None  # none at the end of the shift, or for the way home
            else:
                unit.wait_until(self._env.now, "pumping")
                return None
            if job is not None:
                unit.meet(job.released)
                return job.well


class OpenNow(Protocol):
    """Who says whether others may work in a well now."""

    def opened(self, well: Well) -> int | None:
        """The row since whose end they may; None while they may not."""


class ChoosyQueue:
    """Wells waiting for a trade whose units cannot all do every well, and may not work in each at any time.

    The unit that has waited longest takes the first well that it can do and that is open now, unless one that can do
    fewer wells waits too. A unit goes home once those before it in the line are enough for every well that it could do;
    who works other hours does not count, for it may be off shift when the well comes. `comes_from` is what units wait
    for here.
    """

    def __init__(
        self, env: simpy.Environment, log: Log, wells: Sequence[Well], comes_from: str, access: OpenNow
    ) -> None:
        self._env, self._log, self._comes_from, self._access = env, log, comes_from, access
        self._left = list(wells)
        self._jobs: list[Job] = []
        self._line: dict[Unit, Callable[[Well], bool]] = {}
        self._could_do: dict[Unit, int] = {}  # how many of the wells left, by each unit in the line
        self._changed = Bell(env)
        self._found: dict[str, Well] = {}  # at which well a unit was found, by its name

    def stand(self, begun: Collection[Well], at_work: Mapping[str, Well]) -> None:
        """The trade has begun in these wells; these units are at work in the last of them."""
        self._left = [well for well in self._left if well not in begun]
        self._found = dict(at_work)

    def is_left(self, well: Well) -> bool:
        """Whether nobody has begun with the well."""
        return well in self._left

    def put(self, well: Well, released: int) -> None:
        """Let the well wait for the trade from now on."""
        self._jobs.append(Job(well, released))
        self.look_again()

    def look_again(self) -> None:
        """Something changed: whoever waits looks again."""
        self._changed.ring()

    def take(self, unit: Unit, can: Callable[[Well], bool]) -> Process:
        """The first well that the unit can do, once there is one; None if there will be none."""
        if unit.name in self._found:
            return self._found.pop(unit.name)
        self._line[unit], self._could_do[unit] = can, sum(map(can, self._left))
        unit.waiting_for = self._comes_from
        while self._is_needed(unit):
            if not is_on_duty(unit):
                yield from come_on_duty(unit)
                unit.waiting_for = self._comes_from
            elif job := self._next(unit):
                self._begin(unit, job)
                return job.well
            else:
                yield while_on_duty(unit, self._changed.rung())
        del self._line[unit]
        if not unit.on_call:
            unit.wait_until(self._env.now, self._comes_from)
        return None

    def _is_needed(self, unit: Unit) -> bool:
        """Whether a well is left for the unit that those before it in the line cannot take among them."""
        earlier = takewhile(lambda other: other is not unit, self._line)
        before = [other for other in earlier if is_on_duty(other) and covers(other, unit)]
        if not 0 < self._could_do[unit] <= len(before):  # as nearly always: no need to look who could do which
            return self._could_do[unit] > 0
        return self._doable([*before, unit]) > self._doable(before)

    def _doable(self, units: Sequence[Unit]) -> int:
        """How many of the wells left these units can do, one each: a largest matching, by augmenting paths."""
        done_by: dict[Well, Unit] = {}

        def finds_one(unit: Unit, seen: set[Well]) -> bool:
            for well in self._left:
                if self._line[unit](well) and well not in seen:
                    seen.add(well)
                    if well not in done_by or finds_one(done_by[well], seen):
                        done_by[well] = unit
                        return True
            return False

        return sum([finds_one(unit, set()) for unit in units])

    def _next(self, unit: Unit) -> Job | None:
        for job in self._jobs:
            if self._goes_first(job.well) is unit and (opened := self._access.opened(job.well)) is not None:
                return Job(job.well, self._log.later(job.released, opened))
        return None

    def _goes_first(self, well: Well) -> Unit | None:
        """Of those who can do a well: who can do fewest others, then who has waited longest."""
        able = [unit for unit, can in self._line.items() if can(well) and is_on_duty(unit)]
        return min(able, key=self._could_do.__getitem__, default=None)

    def _begin(self, unit: Unit, job: Job) -> None:
        self._jobs = [other for other in self._jobs if other.well is not job.well]
        self._left.remove(job.well)
        for other, can in self._line.items():
            self._could_do[other] -= can(job.well)
        del self._line[unit]
        self.look_again()
        unit.meet(job.released, self._comes_from)
