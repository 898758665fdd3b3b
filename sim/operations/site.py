"""The location in one replication: its wells, its water, and what the trades share."""

from __future__ import annotations

from collections.abc import Sequence

import simpy

from sim.activities import MOVE, PUMP_STAGE, RIG_UP
from sim.chance.luck import Luck
from sim.chance.troubles import Hazard, Mishaps
from sim.log import Log
from sim.operations.calendars import WorkingTimes
from sim.operations.facility import Facility
from sim.operations.neighbours import Neighbours
from sim.operations.preparation_board import PreparationBoard
from sim.operations.queues import ChoosyQueue, Queue
from sim.operations.rotation import Rotation
from sim.operations.unit import Place, Unit
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
        self.groups = self._groups()
        self.supplies = supplies_of(scenario, env, log, standing.levels)
        self.plugs_milled: dict[str, int] = {}  # by rig, in the wells that it was found to have done
        self.found_turned_to: dict[str, list[Well]] = {}  # the group of each fleet, by its name
        self.found_going_round: dict[Well, Rotation] = {}  # rotations under way, by the first well of the group
        self.other_supplies = tuple(scenario.other_supplies.items())
        self.water_ready, self.proppant_ready = env.event(), env.event()
        self._stages = {well.name: well.stages for well in self.wells}
        self._mishaps = Mishaps(scenario.activity_troubles, scenario.trouble_factor, luck)
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

    def hazards(self, activity: str, places: Sequence[Place], hours: float) -> list[Hazard]:
        """What strikes a job of so many hours; a job at no particular stage is the only one of its kind in its well."""
        found: list[Hazard] = []
        if activity in self._mishaps.struck:
            for well, stage in places:
                job, jobs = (stage - 1, self._stages[well]) if stage else (0, 1)
                found += self._mishaps.hazards(activity, well, job, jobs, hours)
        return found

    def take_group(self, fleet: str) -> list[Well] | None:
        """The next group for a fleet, or the one that it was found to have turned to; None when all are taken.

        Others must keep clear of it from now on, unless they have to set frac stacks free for it first.
        """
        group = self.found_turned_to.pop(fleet, None)
        if group is None:
            if not self.groups:
                return None
            group = self.groups.pop(0)
        if self.preparation.has_stacks_for(group):
            self.neighbours.turn_to(group)
        return group

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
