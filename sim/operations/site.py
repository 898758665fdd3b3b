"""The location in one replication: its wells, its water, and what the trades share."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import simpy

from sim.activities import MOVE, PUMP_STAGE, RIG_UP
from sim.chance.luck import Luck
from sim.chance.troubles import Mishaps
from sim.log import NO_ROW, Log
from sim.operations.bell import Bell
from sim.operations.calendars import WorkingTimes
from sim.operations.facility import Facility
from sim.operations.neighbours import Neighbours
from sim.operations.preparation_board import PreparationBoard
from sim.operations.queues import ChoosyQueue, Queue
from sim.operations.rotation import Rotation
from sim.operations.unit import Unit
from sim.operations.well import Well
from sim.scenario.scenario import Scenario
from sim.standing import NOTHING_YET, Standing
from sim.supplies.supplies import supplies_of

Work = list[tuple[str, float]]  # activities and their hours, in order


class Site:
    """Everything the trades share in one replication."""

    def __init__(
        self, scenario: Scenario, env: simpy.Environment, log: Log, luck: Luck, standing: Standing = NOTHING_YET
    ) -> None:
        self.scenario, self.env, self.log, self.luck, self.standing = scenario, env, log, luck, standing
        wells = (well for group in scenario.groups for well in group)
        self.wells = [Well(env, stated, number) for number, stated in enumerate(wells)]
        self.rotation_of: dict[Well, Rotation] = {}  # once the fleet has come to the well's group
        self.working_times = WorkingTimes(scenario, log.seed, log.replication, standing)
        self.groups, self.groups_change = self._groups(), Bell(env)  # rung when one is taken, or a well prepared
        self.supplies = supplies_of(scenario, env, log, standing.levels)
        self.plugs_milled: dict[str, int] = {}  # by rig, in the wells that it was found to have done
        self.found_turned_to: dict[str, list[Well]] = {}  # the group of each fleet, by its name
        self.found_going_round: dict[Well, Rotation] = {}  # rotations under way, by the first well of the group
        self.other_supplies = tuple(scenario.other_supplies.items())
        self.water_ready, self.proppant_ready = env.event(), env.event()
        stages = {well.name: well.stages for well in self.wells}
        self.mishaps = Mishaps(scenario.activity_troubles, scenario.trouble_factor, stages, luck)
        self.preparation = PreparationBoard(env, self.wells, scenario.units.frac_stacks)
        self.to_perforate = Queue(env, sum(well.wireline_runs for well in self.wells))
        self.neighbours = Neighbours(env, log, scenario)
        self.to_mill = ChoosyQueue(env, log, self.wells, "fracturing", self.neighbours)
        self.to_flow_back = ChoosyQueue(env, log, self.wells, "drill-out", self.neighbours)
        self.facility = Facility(env, scenario.facility.limit if scenario.facility else None)

    def _groups(self) -> list[list[Well]]:
        """The wells of each rotation, in the order in which fleets take them on."""
        wells = iter(self.wells)
        return [[next(wells) for _ in group] for group in self.scenario.groups]

    def take_group(self, fleet: str) -> list[Well] | None:
        """The next group for a fleet, or the one that it was found to have turned to; None when all are taken.

        Others must keep clear of it from when fracturing can begin: a well is prepared, and there are frac stacks.
        """
        group = self.found_turned_to.pop(fleet, None)
        if group is None:
            if not self.groups:
                return None
            group = self.groups.pop(0)
            self.groups_change.ring()
        if self.can_begin(group):
            self.neighbours.turn_to(group)
        return group

    def prepared_in(self, group: Sequence[Well]) -> int | None:
        """The row at whose end a first well of a group was prepared; None while none is."""
        rows: list[Any] = [well.prepared.value for well in group if well.prepared.triggered]
        return min(rows, default=None)

    def ends_now(self, row: int) -> bool:
        """Whether a row of the log ends at this moment."""
        return row != NO_ROW and self.log.intervals[row].end_h == self.env.now

    def can_begin(self, group: Sequence[Well]) -> bool:
        """Whether a fleet could begin to fracture the group now."""
        return self.prepared_in(group) is not None and self.preparation.has_stacks_for(group)

    def is_prepared(self, well: Well, row: int) -> None:
        """The well is prepared, at the end of a row."""
        well.prepared.succeed(row)
        self.groups_change.ring()

    def is_rigged_up(self, unit: Unit) -> bool:
        """Whether a unit was found to have rigged up, and perhaps gone on from there."""
        jobs = self.standing.of_unit.get(unit.name, ()) if unit.is_here else ()
        return any(job.activity != RIG_UP or job.is_done for job in jobs)

    def has_to_move(self, fleet: Unit, group: Sequence[Well]) -> bool:
        """Whether a fleet was found on its way to a group from the one before, or about to go."""
        jobs = self.standing.of_unit.get(fleet.name, ()) if fleet.is_here else ()
        last = next((job for job in reversed(jobs)), None)
        names = {well.name for well in group}
        return (
            last is not None
            and last.activity in {MOVE, PUMP_STAGE}
            and (not last.is_done if last.activity == MOVE else last.well not in names)
        )

    def still_to_do(self, unit: str, well: str, job: Work) -> Work:
        """What is left of a unit's activities in a well, the one under way first.

        Those before the furthest are done, for an activity that takes no time leaves no rows.
        """
        begun = [each for each in self.standing.of_well.get(well, ()) if each.unit == unit]
        for number in range(len(job), 0, -1):
            for each in begun:
                if each.activity == job[number - 1][0]:
                    return job[number if each.is_done else number - 1 :]
        return job

    def leave_group(self, group: Sequence[Well], row: int) -> None:
        """The group is fractured at the end of a row; call it after the fleet has taken its next.

        A well may have been found with a rig that did not wait for its group.
        """
        for well in self.neighbours.end(group, row):
            if self.to_mill.is_left(well):
                self.to_mill.put(well, row)
        self.to_mill.look_again()
        self.to_flow_back.look_again()
