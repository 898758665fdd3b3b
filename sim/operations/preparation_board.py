"""Which preparation job can be done now, and which crew takes it.

Crews may know all jobs or only some. What the trade leaves free may be done in either order, though never two things
at once in one well. A well keeps its frac stack from nipple-up until it is drilled out.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import simpy

from sim import activities
from sim.activities import WAITING_FOR
from sim.log import NO_ROW
from sim.operations.bell import Bell
from sim.operations.on_duty import come_on_duty, is_on_duty, while_on_duty
from sim.operations.unit import Process, Unit
from sim.operations.well import Well

UNDER_PRESSURE = "tubing-conveyed perforating"  # the one toe method that needs no stack on the wellhead first


class Task(NamedTuple):
    """A job for a crew in a well, and the row that made it possible."""

    well: Well
    activity: str
    released: int


class PreparationBoard:
    """Preparation jobs of all wells, on which crews find their next.

    A crew takes the job of the first well, in the order of the strategy, that it knows how to do, and goes home once
    no such job is left for it. Frac stacks, if their number is limited, go to the wells in that order too, so that
    no later well keeps one from an earlier.
    """

    def __init__(self, env: simpy.Environment, wells: Sequence[Well], stacks: int | None) -> None:
        self._env, self._wells = env, wells
        self._todo = {well: jobs_of(well) for well in wells}
        self._idle: dict[Well, int] = {}  # wells that nobody works in, with the row that left them so
        self._does: dict[Well, Sequence[str]] = {}  # what the crew knows that works in a well
        self._free_stacks, self._stack_row = stacks, NO_ROW
        self._turn_row = NO_ROW  # at whose end a well last got its stack, and the turn came to the next
        self._stacked: set[Well] = set()
        self._changed = Bell(env)

    def stand(self, left: Mapping[Well, list[str]], drilled_out: int) -> None:
        """So far it has come: the jobs that nobody has begun yet, by well, and how many wells gave their stack back."""
        self._todo = dict(left)
        self._stacked = {well for well, jobs in left.items() if activities.NIPPLE_UP not in jobs}
        if self._free_stacks is not None:
            self._free_stacks += drilled_out - len(self._stacked)

    def jobs_left(self, well: Well) -> list[str]:
        """Jobs in the well that nobody has begun."""
        return self._todo[well]

    def offer(self, well: Well, released: int) -> None:
        """The well is there for the crews from now on."""
        self._idle[well] = released
        self._changed.ring()

    def put_back(self, well: Well, released: int) -> bool:
        """A crew has done its job in the well. Says whether that was the last."""
        del self._does[well]
        if self._todo[well]:
            self.offer(well, released)
        return not self._todo[well]

    def return_stack(self, row: int) -> None:
        """A well is drilled out, and its stack free for another."""
        if self._free_stacks is not None:
            self._free_stacks += 1
            self._stack_row = row
            self._changed.ring()

    def has_stacks_for(self, group: Sequence[Well]) -> bool:
        """Whether every well of the group has its stack or, after the wells before it, will find one free."""
        last = max(self._wells.index(well) for well in group)
        bare = [well for well in self._wells[: last + 1] if well not in self._stacked]
        return self._free_stacks is None or self._free_stacks >= len(bare)

    def wait_for_stacks(self, fleet: Unit, group: Sequence[Well]) -> Process:
        """The fleet waits until there are stacks for the whole group, so that none of it is begun in vain."""
        waits = False
        while not self.has_stacks_for(group):
            waits, fleet.waiting_for = True, activities.FRAC_STACK
            yield self._changed.rung()
        if waits:
            fleet.meet(self._stack_row, activities.FRAC_STACK)

    def take(self, crew: Unit, does: Sequence[str]) -> Process:
        """The crew's next job once there is one, with its wait logged; None if there will be none.

        What it was found at comes first.
        """
        if (task := self._found(crew, does)) is not None:
            return task
        while self._is_any_left(does):
            if not is_on_duty(crew):
                yield from come_on_duty(crew)
            elif (task := self._next(does)) is not None:
                self._begin(task, does)
                crew.meet(task.released)
                if task.activity == activities.NIPPLE_UP:
                    self._turn_row = crew.after
                return task
            else:
                crew.waiting_for = self._missing(does)
                yield while_on_duty(crew, self._changed.rung())
        if not crew.on_call:
            crew.wait_until(self._env.now, crew.waiting_for)
        return None

    def _found(self, crew: Unit, does: Sequence[str]) -> Task | None:
        for well in self._wells:
            for activity in does:
                if (job := crew.found_at(activity)) is not None and job.well == well.name:
                    self._does[well] = does
                    return Task(well, activity, NO_ROW)
        return None

    def _missing(self, does: Sequence[str]) -> str:
        """What a crew without a job waits for."""
        bare = [well for well in self._idle if self._todo[well][0] == activities.NIPPLE_UP]
        if activities.NIPPLE_UP in does and bare:
            return activities.FRAC_STACK
        return WAITING_FOR[activities.NIPPLE_UP] if self._idle or self._does else activities.RIG_RELEASE

    def _is_any_left(self, does: Sequence[str]) -> bool:
        """Whether any job is left that no crew at work in its well will go on to do."""
        return any(
            activity in does and activity not in self._does.get(well, ())
            for well, todo in self._todo.items()
            for activity in todo
        )

    def _next(self, does: Sequence[str]) -> Task | None:
        for well in self._wells:
            if well in self._idle:
                for activity in self._todo[well]:
                    if activity in does and self._may_begin(well, activity):
                        return Task(well, activity, self._released(well, activity))
        return None

    def _may_begin(self, well: Well, activity: str) -> bool:
        todo = self._todo[well]
        if activity == activities.NIPPLE_UP:
            return self._has_stack_for(well)
        if activity == activities.TOE_PREPARATION and well.stated.toe.method == UNDER_PRESSURE:
            return True
        return todo[0] == activity

    def _has_stack_for(self, well: Well) -> bool:
        """A free stack is there for the first well that has none yet."""
        waiting = next(each for each in self._wells if each not in self._stacked)
        return self._free_stacks is None or (self._free_stacks > 0 and waiting is well)

    def _released(self, well: Well, activity: str) -> int:
        """What a nipple-up waited for last: the well, the stack, or a well before it that took its own."""
        needs_stack = activity == activities.NIPPLE_UP and self._free_stacks is not None
        return max(self._idle[well], self._stack_row, self._turn_row) if needs_stack else self._idle[well]

    def _begin(self, task: Task, does: Sequence[str]) -> None:
        self._todo[task.well].remove(task.activity)
        self._does[task.well] = does
        del self._idle[task.well]
        if task.activity == activities.NIPPLE_UP:
            self._stacked.add(task.well)
            if self._free_stacks is not None:
                self._free_stacks -= 1
        self._changed.ring()


def jobs_of(well: Well) -> list[str]:
    """What crews do in a well, in the usual order."""
    jobs = [activities.NIPPLE_UP, activities.PRESSURE_TEST, activities.TOE_PREPARATION]
    return jobs if well.stated.injection_test is None else [*jobs, activities.INJECTION_TEST]
