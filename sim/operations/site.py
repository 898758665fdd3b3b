"""The location in one replication: its wells, its water, and the queues between the trades."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from typing import NamedTuple

import simpy

from sim.chance.luck import Luck
from sim.chance.troubles import Hazard, Mishaps
from sim.log import Log
from sim.operations.calendars import WorkingTimes
from sim.operations.facility import Facility
from sim.operations.neighbours import Neighbours
from sim.operations.preparation_board import PreparationBoard
from sim.operations.rotation import Rotation
from sim.operations.unit import Place, Process, Unit
from sim.operations.well import Well
from sim.scenario.scenario import Scenario
from sim.supplies.supplies import supplies_of


class Job(NamedTuple):
    """A well that waits for a trade, and the row whose end made it wait."""

    well: Well
    released: int


class Queue:
    """Wells waiting for one trade, first come first served. `left` counts the jobs that no unit has taken on yet.

    A unit takes on its next job before the job is there; one that finds none left goes home. `comes_from` is what
    units wait for here; empty where that is to be read from what went on meanwhile.
    """

    def __init__(self, env: simpy.Environment, jobs: int, comes_from: str = "") -> None:
        self._env = env
        self._jobs: deque[Job] = deque()
        self._idle: deque[simpy.Event] = deque()
        self.left = jobs
        self._comes_from = comes_from

    def put(self, well: Well, released: int) -> None:
        """Let the well wait for the trade from now on."""
        if self._idle:
            self._idle.popleft().succeed(Job(well, released))
        else:
            self._jobs.append(Job(well, released))

    def take(self, unit: Unit) -> Process:
        """Take on one job; returns its well once it is there, with the unit's wait for it logged."""
        self.left -= 1
        if self._jobs:
            job = self._jobs.popleft()
        else:
            unit.waiting_for = self._comes_from or "pumping"
            self._idle.append(self._env.event())
            job = yield self._idle[-1]
        unit.meet(job.released, self._comes_from)
        return job.well


class ChoosyQueue:
    """Wells waiting for a trade whose units cannot all do every well; each takes the first that it can.

    A unit goes home once every well that it could do is taken.
    """

    def __init__(self, env: simpy.Environment, wells: Sequence[Well], comes_from: str) -> None:
        self._env, self._comes_from = env, comes_from
        self._left = list(wells)
        self._jobs: list[Job] = []
        self._bell = env.event()

    def put(self, well: Well, released: int) -> None:
        """Let the well wait for the trade from now on."""
        self._jobs.append(Job(well, released))
        self._ring()

    def take(self, unit: Unit, can: Callable[[Well], bool]) -> Process:
        """The first well that the unit can do, once there is one; None if there will be none."""
        while any(can(well) for well in self._left):
            job = next((job for job in self._jobs if can(job.well)), None)
            if job is not None:
                self._jobs.remove(job)
                self._left.remove(job.well)
                self._ring()
                unit.meet(job.released, self._comes_from)
                return job.well
            unit.waiting_for = self._comes_from
            yield self._bell
        if not unit.on_call:
            unit.wait_until(self._env.now, self._comes_from)
        return None

    def _ring(self) -> None:
        bell, self._bell = self._bell, self._env.event()
        bell.succeed()


class Site:
    """Everything the trades share in one replication."""

    def __init__(self, scenario: Scenario, env: simpy.Environment, log: Log, luck: Luck) -> None:
        self.scenario, self.env, self.log, self.luck = scenario, env, log, luck
        wells = (well for group in scenario.groups for well in group)
        self.wells = [Well(env, stated, number) for number, stated in enumerate(wells)]
        self.rotation_of: dict[Well, Rotation] = {}  # once the fleet has come to the well's group
        self.working_times = WorkingTimes(scenario, log.seed, log.replication)
        self.groups = self._groups()
        self.supplies = supplies_of(scenario, env, log)
        self.water_ready = env.event()
        self._stages = {well.name: well.stages for well in self.wells}
        self._mishaps = Mishaps(scenario.activity_troubles, scenario.trouble_factor, luck)
        self.preparation = PreparationBoard(env, self.wells, scenario.units.frac_stacks)
        self.to_perforate = Queue(env, sum(well.wireline_runs for well in self.wells))
        self.to_mill = ChoosyQueue(env, self.wells, "fracturing")
        self.to_flow_back = Queue(env, len(self.wells), "drill-out")
        self.neighbours = Neighbours(env, log, scenario, self.to_mill.put)
        self.facility = Facility(env, scenario.facility.limit if scenario.facility else None)

    def _groups(self) -> list[list[Well]]:
        """The wells of each rotation, in the order in which fleets take them on."""
        wells = iter(self.wells)
        return [[next(wells) for _ in group] for group in self.scenario.groups]

    def hazards(self, activity: str, places: Sequence[Place], hours: float) -> list[Hazard]:
        """What strikes a job of so many hours; a job at no particular stage is the only one of its kind in its well."""
        found: list[Hazard] = []
        if activity in self._mishaps.struck:
            for well, stage in places:
                job, jobs = (stage - 1, self._stages[well]) if stage else (0, 1)
                found += self._mishaps.hazards(activity, well, job, jobs, hours)
        return found

    def take_group(self) -> list[Well] | None:
        """The next group for a fleet, which others must keep clear of from now on; None when all are taken."""
        if not self.groups:
            return None
        group = self.groups.pop(0)
        self.neighbours.turn_to(group)
        return group

    def later(self, one: int, other: int) -> int:
        """Whichever of two rows ended later: what really released something that needed both."""
        rows = self.log.intervals
        if min(one, other) < 0:
            return max(one, other)
        return one if rows[one].end_h >= rows[other].end_h else other
