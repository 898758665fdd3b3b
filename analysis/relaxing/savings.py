"""What lifting each limit buys: days gained with their intervals, ranked, and which of them are more than chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.goals import Goal
from analysis.relaxing.multiple_tests import SURE, holm, paired_p_value
from analysis.relaxing.quotient import Quotient, quotient
from analysis.relaxing.relax import AS_STATED, COST, Played, days_to, unreached
from analysis.relaxing.relaxed_plans import Refused
from analysis.statistics import (
    MeanEstimate,
    QuantileEstimate,
    ShareEstimate,
    mean_interval,
    quantile_interval,
    share_interval,
)
from sim.scenario.scenario import Scenario

WEEK_DAYS = 7.0
TOP = 3  # limits that are lifted two at a time


class Saving(NamedTuple):
    """Days that lifting one limit gains under common luck; negative where it makes the milestone later.

    `week` is the share of replications in which it gains a week or more. `adjusted_p` is adjusted for all limits
    being looked at together; `never_binds` says that no replication was changed at all. With prices, `cost` is by how
    many USD the work costs more, or less where negative, and `a_day` the same for each day gained, where days surely
    are.
    """

    limit: str
    days: MeanEstimate
    week: ShareEstimate
    adjusted_p: float
    never_binds: bool
    cost: MeanEstimate | None = None
    a_day: Quotient | None = None

    @property
    def is_sure(self) -> bool:
        """Whether it is more than chance."""
        return self.adjusted_p <= SURE


class Pair(NamedTuple):
    """Two limits lifted together: days gained, and what each still gains once the other is lifted."""

    one: str
    other: str
    together: MeanEstimate
    other_after_one: MeanEstimate
    one_after_other: MeanEstimate


@dataclass(frozen=True)
class Savings:
    """The answer. `days` and `chances` are those of the plan as stated; `savings` are the largest first."""

    scenario: Scenario
    goal: Goal
    seed: int
    asked: int
    played: int
    unreached: int
    days: MeanEstimate
    chances: tuple[QuantileEstimate, ...]
    savings: tuple[Saving, ...]
    pairs: tuple[Pair, ...]
    refused: tuple[Refused, ...]

    @property
    def priced(self) -> bool:
        """Whether the scenario states prices."""
        return self.scenario.prices is not None

    def of(self, limit: str) -> Saving:
        """What lifting a limit gains."""
        return next(saving for saving in self.savings if saving.limit == limit)


def ranked(played: Played, goal: Goal, limits: Sequence[str]) -> tuple[Saving, ...]:
    """What each limit gains, largest first."""
    spent = {limit: -played.gains(limit, COST) for limit in limits} if played.priced else {}
    gains = {limit: played.gains(limit, days_to(goal).name) for limit in limits}
    adjusted = holm([paired_p_value(each) for each in gains.values()])
    found = [
        Saving(
            limit,
            mean_interval(each),
            share_interval(int((each >= WEEK_DAYS).sum()), len(each)),
            p_value,
            not np.any(each),
            *(_costs(spent[limit], each) if played.priced else ()),
        )
        for (limit, each), p_value in zip(gains.items(), adjusted, strict=True)
    ]
    return tuple(sorted(found, key=lambda saving: (saving.never_binds, -saving.days.mean)))


def _costs(spent: NDArray[np.float64], days: NDArray[np.float64]) -> tuple[MeanEstimate, Quotient | None]:
    """What lifting a limit costs at the stated prices, and that for each day gained."""
    gained = mean_interval(days)
    return mean_interval(spent), quotient(spent, days) if gained.low > 0 else None


def worth_pairing(savings: Sequence[Saving], sums: Sequence[str]) -> list[tuple[str, str]]:
    """The limits that surely gain most, two at a time; none that is a sum of others."""
    sure = [saving.limit for saving in savings if saving.is_sure and saving.days.mean > 0]
    return list(combinations([limit for limit in sure if limit not in sums][:TOP], 2))


def pair_name(one: str, other: str) -> str:
    """What a plan with two limits lifted is called."""
    return f"{one} + {other}"


def pair_of(played: Played, goal: Goal, one: str, other: str) -> Pair:
    """What two limits gain together, over replications of all plans under the same luck."""
    measure = days_to(goal).name
    both, first, second = (played.gains(plan, measure) for plan in (pair_name(one, other), one, other))
    n = min(map(len, (both, first, second)))
    both, first, second = both[:n], first[:n], second[:n]
    return Pair(one, other, mean_interval(both), mean_interval(both - first), mean_interval(both - second))


def savings_of(
    scenario: Scenario,
    goal: Goal,
    seed: int,
    asked: int,
    played: Played,
    savings: tuple[Saving, ...],
    pairs: tuple[Pair, ...],
    refused: Sequence[Refused],
) -> Savings:
    """The answer put together, with what the plan as stated takes."""
    days = played.of(AS_STATED, days_to(goal).name)
    missed = played.of(AS_STATED, unreached(goal).name)
    hours = np.where(missed > 0, np.inf, days)
    chances = tuple(quantile_interval(hours, chance) for chance in (0.1, 0.5, 0.9))
    return Savings(
        scenario,
        goal,
        seed,
        asked,
        len(days),
        int(missed.sum()),
        mean_interval(days),
        chances,
        savings,
        pairs,
        tuple(refused),
    )
