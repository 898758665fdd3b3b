"""What goes wrong in a job, and when: a job and its luck become steps of work and of hours lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf
from typing import NamedTuple

import numpy as np

from sim.chance.luck import Hours, Luck
from sim.scenario.shapes import Exponential, Uniform
from sim.scenario.troubles import Trouble

ANYWHERE = Uniform(0.0, 1.0)
MOST_STRIKES = 4  # of one trouble in one job that is repeated; then the job is let go on, or some would never end
MOST_IN_A_ROW = 1000  # of one trouble in one job that resumes


class Step(NamedTuple):
    """Hours of a job: of work where `trouble` is empty, else lost to it.

    `planned_h` is how long whoever begins an attempt believes it to be; 0 where one is under way.
    """

    hours: float
    trouble: str
    planned_h: float = 0.0


class Script(NamedTuple):
    """A job as it goes: its steps in order, and the share of it that is given up at the end."""

    steps: tuple[Step, ...]
    given_up: float


class Hazard(NamedTuple):
    """The luck of one job with one trouble.

    `apart_h` are the hours of work before the first strike, and between one strike and the next; infinity where no
    more come. With `each_attempt` they count from the start of an attempt, one number for each; else they run on.
    `lost_h` are the hours that each strike costs.
    """

    name: str
    then: str
    each_attempt: bool
    apart_h: Sequence[float]
    lost_h: Sequence[float]


@dataclass
class _Clock:
    """How far a job has come towards the next strike of one hazard."""

    hazard: Hazard
    strike: int = 0
    worked_h: float = 0.0

    @property
    def left_h(self) -> float:
        if self.strike >= len(self.hazard.apart_h):
            return inf
        return max(0.0, self.hazard.apart_h[self.strike] - self.worked_h)

    def struck(self) -> None:
        self.strike += 1
        self.worked_h = 0.0
        if self.hazard.each_attempt and self.hazard.then != "repeat":
            self.strike = len(self.hazard.apart_h)  # a job is struck once by what strikes by chance

    def begin_again(self) -> None:
        """Another attempt has its own chance of being struck."""
        if self.hazard.each_attempt:
            self.strike, self.worked_h = self.strike + 1, 0.0


def script(hours: float, hazards: Sequence[Hazard]) -> Script:
    """How a job of so many hours of work goes under its luck."""
    if not hazards:
        return Script((Step(hours, "", hours),), 0.0)
    clocks = [_Clock(hazard) for hazard in hazards]
    steps: list[Step] = []
    done_h, planned_h = 0.0, hours
    while True:
        first = min(clocks, key=lambda clock: clock.left_h)
        if first.left_h >= hours - done_h:
            steps.append(Step(hours - done_h, "", planned_h))
            return Script(tuple(steps), 0.0)
        work_h = first.left_h
        steps += [Step(work_h, "", planned_h), Step(first.hazard.lost_h[first.strike], first.hazard.name)]
        done_h += work_h
        planned_h = 0.0
        for clock in clocks:
            clock.worked_h += work_h
        first.struck()
        if first.hazard.then == "give up the rest":
            return Script(tuple(steps), 1 - done_h / hours)
        if first.hazard.then == "repeat":
            done_h, planned_h = 0.0, hours
            for clock in clocks:
                if clock is not first:
                    clock.begin_again()


class _Draws(NamedTuple):
    """Luck of all jobs of one activity in one well with one trouble that strikes some; arrays over job and strike.

    `apart` are the places of the strikes, as shares of the job where they fall by chance, else as hours. `soonest_h`
    is for each job the least work that it gets done: infinity where it is not struck.
    """

    soonest_h: list[float]
    apart: Hours
    lost_h: Hours


class Mishaps:
    """All troubles of a scenario in one replication; `factor` scales how often each strikes.

    `struck` holds the troubles by the activity that they strike; `stages` are those of each well.

    What is compared with the chance of a trouble does not depend on that chance, so raising it adds strikes and
    removes none.
    """

    def __init__(self, troubles: Mapping[str, Trouble], factor: float, stages: Mapping[str, int], luck: Luck) -> None:
        self._luck, self._factor, self._stages = luck, factor, stages
        self.struck: dict[str, list[tuple[str, Trouble]]] = {}
        for name, trouble in troubles.items():
            self.struck.setdefault(trouble.strikes, []).append((name, trouble))
        self._drawn: dict[tuple[str, str], list[tuple[str, Trouble, _Draws]]] = {}
        self._soonest_h: dict[str, dict[str, list[float]]] = {activity: {} for activity in self.struck}

    def hazards(self, activity: str, places: Sequence[tuple[str, int]], hours: float) -> list[Hazard]:
        """What strikes a job of so many hours at wells and stages.

        One at no particular stage, which is 0, is the only one of its kind in its well.
        """
        found: list[Hazard] = []
        soonest_h = self._soonest_h.get(activity)
        if soonest_h is not None:
            for well, stage in places:
                job = stage - 1 if stage else 0
                by_job = soonest_h.get(well) or self._draw_all(activity, well, self._stages[well] if stage else 1)
                if by_job[job] < hours:
                    found += self._strikes(activity, well, job, hours)
        return found

    def _strikes(self, activity: str, well: str, job: int, hours: float) -> list[Hazard]:
        drawn = self._drawn[activity, well]
        return [self._hazard(well, *each, job, hours) for each in drawn if each[2].soonest_h[job] < hours]

    def _hazard(self, well: str, name: str, trouble: Trouble, drawn: _Draws, job: int, hours: float) -> Hazard:
        if trouble.chance is not None:
            apart_h = drawn.apart[job] * hours
            return Hazard(name, trouble.then, True, apart_h.tolist(), drawn.lost_h[job].tolist())
        apart_h, lost_h = drawn.apart[job], drawn.lost_h[job]
        if trouble.then == "resume":
            apart_h, lost_h = self._long_enough(well, name, trouble, job, hours, apart_h, lost_h)
        return Hazard(name, trouble.then, False, apart_h.tolist(), lost_h.tolist())

    def _long_enough(
        self, well: str, name: str, trouble: Trouble, job: int, hours: float, apart_h: Hours, lost_h: Hours
    ) -> tuple[Hours, Hours]:
        """Strikes by the hour of a job that resumes after each, as many as it takes."""
        while apart_h.sum() < hours and len(apart_h) < MOST_IN_A_ROW:
            which = f"{job} from {len(apart_h)}"
            more_h = self._gaps_h(well, f"{name} gap {which}", trouble, len(apart_h))
            apart_h = np.concatenate([apart_h, more_h])
            lost_h = np.concatenate([lost_h, self._luck.many(well, f"{name} lost {which}", trouble.lost, len(more_h))])
        return apart_h, lost_h

    def _gaps_h(self, well: str, purpose: str, trouble: Trouble, n: int) -> Hours:
        """Hours of work between strikes."""
        assert trouble.every is not None
        return self._luck.many(well, purpose, Exponential(1.0), n) * (trouble.every / self._factor)

    def _draw_all(self, activity: str, well: str, jobs: int) -> list[float]:
        """The least work that each job gets done before anything strikes it."""
        found: list[tuple[str, Trouble, _Draws]] = []
        soonest_h = [inf] * jobs
        for name, trouble in self.struck[activity]:
            drawn = self._draw(well, name, trouble, jobs)
            if drawn is not None:
                found.append((name, trouble, drawn))
                soonest_h = list(map(min, soonest_h, drawn.soonest_h))
        self._drawn[activity, well] = found
        self._soonest_h[activity][well] = soonest_h
        return soonest_h

    def _draw(self, well: str, name: str, trouble: Trouble, jobs: int) -> _Draws | None:
        """Where nothing strikes, nothing more is drawn; being drawn by name, that moves no other luck."""
        many, size = self._luck.many, jobs * MOST_STRIKES
        if trouble.every is not None:
            if not self._factor:
                return None
            apart = self._gaps_h(well, f"{name} gap", trouble, size)
            soonest_h = apart[::MOST_STRIKES].tolist()
        else:
            chances = many(well, f"{name} chance", ANYWHERE, size).reshape(jobs, MOST_STRIKES)
            struck = chances < (trouble.chance or 0.0) * self._factor
            soonest_h = np.where(np.logical_or.reduce(struck, axis=1), 0.0, inf).tolist()
            if 0.0 not in soonest_h:
                return None
            apart = np.where(struck.ravel(), many(well, f"{name} place", ANYWHERE, size), inf)
        lost_h = many(well, f"{name} lost", trouble.lost, size)
        return _Draws(soonest_h, apart.reshape(jobs, MOST_STRIKES), lost_h.reshape(jobs, MOST_STRIKES))
