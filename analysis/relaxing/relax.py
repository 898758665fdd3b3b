"""Plans with limits lifted, played beside the plan itself under the same luck: what each replication gains.

What is measured of a replication is a function of its log. Days to a milestone are one such measure; another, such as
what the replication costs, can stand beside it, and then both are known of the same replications: what a day bought
this way costs is the quotient of two gains.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.comparing.pairs import difference
from analysis.goals import NOT_REACHED, Goal, reached_by
from analysis.observed import SAME, Observed
from sim.log import Log

COST = "cost in USD"
AS_STATED = "as stated"  # the plan with nothing lifted

Reduced = tuple[float, ...]


class Measure(NamedTuple):
    """A number of a replication of which less is better. `of` must be a function that can be sent to a worker.

    `since_start` says that it is in days from the start of its plan, which may not be that of the plan as stated.
    """

    name: str
    of: Callable[[Log], float]
    since_start: bool = False


class RelaxedRow(NamedTuple):
    """A measure of one replication of the plan with a limit lifted; infinity where it was not reached."""

    replication: int
    limit: str
    measure: str
    value: float


def days_to(goal: Goal) -> Measure:
    """Days from the start to a milestone; where it is not reached by the horizon, those to the horizon.

    `unreached` tells where that is so, and `Played.gained` what is then known of the days gained.
    """
    return Measure(f"days to {goal.name}", partial(_days, goal), since_start=True)


def unreached(goal: Goal) -> Measure:
    """One where a milestone is not reached by the horizon, else none."""
    return Measure(f"{goal.name} not reached", partial(_unreached, goal))


def _days(goal: Goal, log: Log) -> float:
    last = reached_by(log, goal)
    return (log.horizon_h if last == NOT_REACHED else log.intervals[last].end_h) / 24


def _unreached(goal: Goal, log: Log) -> float:
    return float(reached_by(log, goal) == NOT_REACHED)


@dataclass
class Played:
    """Measures by plan and chunk, as they come in: arrays over the replications of the chunk and the measures.

    `later` are the days by which a plan starts after the plan as stated: all days count from the start of that.
    """

    measures: tuple[Measure, ...]
    priced: bool = False  # whether the cost of each replication stands behind the measures
    chunks: dict[str, dict[int, NDArray[np.float64]]] = field(default_factory=dict)
    later: dict[str, float] = field(default_factory=dict)

    @property
    def names(self) -> tuple[str, ...]:
        """What the columns are called."""
        return (*(each.name for each in self.measures), *((COST,) if self.priced else ()))

    def add(self, plan: str, chunk: int, results: Sequence[Reduced]) -> None:
        """Another chunk of a plan is played."""
        self.chunks.setdefault(plan, {})[chunk] = np.array(results, dtype=np.float64)

    def of(self, plan: str, measure: str) -> NDArray[np.float64]:
        """One measure of all replications that were played both of this plan and of the plan as stated."""
        return self._column(plan, measure, self._both(plan))

    def gains(self, plan: str, measure: str) -> NDArray[np.float64]:
        """By how much each replication is less than that of the plan as stated, which met the same luck."""
        both = self._both(plan)
        gained: NDArray[np.float64] = self._column(AS_STATED, measure, both) - self._column(plan, measure, both)
        gained[np.abs(gained) < (CENT if measure == COST else SAME / 24)] = 0.0
        return gained

    def gained(self, plan: str, goal: Goal) -> Observed:
        """Days gained in each replication, between bounds where the horizon cut either plan short."""
        both = self._both(plan)
        low, high = difference(self._hours(AS_STATED, goal, both), self._hours(plan, goal, both))
        return Observed(low / 24, high / 24)

    def unfinished(self, plan: str, goal: Goal) -> int:
        """Replications in which the plan does not reach the milestone by its horizon."""
        return int((self.of(plan, unreached(goal).name) > 0).sum())

    def _hours(self, plan: str, goal: Goal, chunks: Sequence[int]) -> Observed:
        hours = 24 * self._column(plan, days_to(goal).name, chunks)
        cut = self._column(plan, unreached(goal).name, chunks) > 0
        return Observed(hours, np.where(cut, np.inf, hours))

    def _both(self, plan: str) -> list[int]:
        return sorted(set(self.chunks.get(plan, {})) & set(self.chunks.get(AS_STATED, {})))

    def _column(self, plan: str, measure: str, chunks: Sequence[int]) -> NDArray[np.float64]:
        column = self.names.index(measure)
        parts = [self.chunks[plan][chunk][:, column] for chunk in chunks]
        since_start = column < len(self.measures) and self.measures[column].since_start
        later = self.later.get(plan, 0.0) if since_start else 0.0
        return np.concatenate(parts) + later if parts else np.zeros(0)


CENT = 0.01  # USD


def reduced_to(measures: tuple[Measure, ...]) -> Callable[[Log], Reduced]:
    """The reduction of a log to these measures, which can be sent to a worker."""
    return partial(_reduce, measures)


def _reduce(measures: tuple[Measure, ...], log: Log) -> Reduced:
    return tuple([measure.of(log) for measure in measures])
