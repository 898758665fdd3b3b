"""Wells waiting for a trade, and units waiting for wells."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import NamedTuple, Protocol

import simpy

from sim.log import NO_ROW, Log, make_row
from sim.operations.bell import Bell
from sim.operations.unit import Process, Unit
from sim.operations.well import Well


class Job(NamedTuple):
    """A well that waits for a trade, and the row whose end made it wait."""

    well: Well
    released: int


class Queue:
    """Wells waiting for one trade, first come first served. `left` counts the jobs that no unit has taken on yet.

    A unit takes on its next job before the job is there; one that finds none left goes home.
    """

    def __init__(self, env: simpy.Environment, jobs: int) -> None:
        self._env = env
        self._jobs: deque[Job] = deque()
        self._idle: deque[simpy.Event] = deque()
        self.left = jobs
        self._first: simpy.Event = env.event()
        self._found: dict[str, Well] = {}  # at which well a unit was found, by its name

    def stand(self, left: int, at_work: Mapping[str, Well], begun: bool) -> None:
        """So many jobs are left that nobody has taken on; these units are at work; whether the first job has come."""
        self.left, self._found = left, dict(at_work)
        if begun:
            self._first.succeed(NO_ROW)

    def put(self, well: Well, released: int) -> None:
        """Let the well wait for the trade from now on."""
        if not self._first.triggered:
            self._first.succeed(released)
        job = make_row(Job, (well, released))
        if self._idle:
            self._idle.popleft().succeed(job)
        else:
            self._jobs.append(job)

    def called_in(self, unit: Unit) -> Process:
        """Come on location for the first job of all, without taking it on."""
        unit.waiting_for = "pumping"
        unit.meet((yield self._first))

    def take(self, unit: Unit) -> Process:
        """Take on one job; returns its well once it is there, with the unit's wait for it logged."""
        if unit.name in self._found:
            return self._found.pop(unit.name)
        self.left -= 1
        if self._jobs:
            job = self._jobs.popleft()
        else:
            unit.waiting_for = "pumping"
            self._idle.append(self._env.event())
            job = yield self._idle[-1]
        unit.meet(job.released)
        return job.well


class OpenNow(Protocol):
    """Who says whether others may work in a well now."""

    def opened(self, well: Well) -> int | None:
        """The row since whose end they may; None while they may not."""


class ChoosyQueue:
    """Wells waiting for a trade whose units cannot all do every well, and may not work in each at any time.

    The unit that has waited longest takes the first well that it can do and that is open now. A unit goes home once
    those before it in the line are enough for every well that it could do. `comes_from` is what units wait for here.
    """

    def __init__(
        self, env: simpy.Environment, log: Log, wells: Sequence[Well], comes_from: str, access: OpenNow
    ) -> None:
        self._env, self._log, self._comes_from, self._access = env, log, comes_from, access
        self._left = list(wells)
        self._jobs: list[Job] = []
        self._line: dict[Unit, Callable[[Well], bool]] = {}
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
        self._line[unit] = can
        unit.waiting_for = self._comes_from
        while self._is_needed(unit, can):
            if job := self._next(can):
                self._begin(unit, job)
                return job.well
            yield self._changed.rung()
        del self._line[unit]
        if not unit.on_call:
            unit.wait_until(self._env.now, self._comes_from)
        return None

    def _is_needed(self, unit: Unit, can: Callable[[Well], bool]) -> bool:
        """Whether a well is left for the unit that those before it in the line do not take."""
        mine = [well for well in self._left if can(well)]
        before = list(self._line)[: list(self._line).index(unit)]
        return len(mine) > sum(all(self._line[other](well) for well in mine) for other in before)

    def _next(self, can: Callable[[Well], bool]) -> Job | None:
        for job in self._jobs:
            if can(job.well) and (opened := self._access.opened(job.well)) is not None:
                return Job(job.well, self._log.later(job.released, opened))
        return None

    def _begin(self, unit: Unit, job: Job) -> None:
        self._jobs = [other for other in self._jobs if other.well is not job.well]
        self._left.remove(job.well)
        del self._line[unit]
        self.look_again()
        unit.meet(job.released, self._comes_from)
