"""What lifting each limit buys: days gained with their intervals, ranked, and which of them are more than chance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.comparing.pairs import Chance, Quantile, chance, quantile_between
from analysis.goals import Goal
from analysis.observed import Observed
from analysis.relaxing.multiple_tests import SURE, holm, paired_p_value
from analysis.relaxing.quotient import Quotient, quotient
from analysis.relaxing.relax import AS_STATED, COST, Played, days_to, unreached
from analysis.relaxing.relaxed_plans import Refused
from analysis.statistics import (
    MeanEstimate,
    QuantileEstimate,
    mean_interval,
    quantile_interval,
)
from sim.scenario.scenario import Scenario

WEEK_DAYS = 7.0
TOP = 3  # limits that are lifted two at a time


class Saving(NamedTuple):
    """Days that lifting one limit gains under common luck; negative where it makes the milestone later.

    `week` is the share of replications in which it gains a week or more. `adjusted_p` is adjusted for all limits
    being looked at together; `never_binds` says that no replication is seen to be changed at all. With prices, `cost`
    is by how many USD the work costs more, or less where negative, and `a_day` the same for each day gained, where
    days surely are. Where the horizon cuts this plan, `unfinished` times, or the plan as stated short, there is no
    mean, no p-value and no cost; the median, in hours, and the share hold all the same.
    """

    limit: str
    days: MeanEstimate | None
    median_h: Quantile
    week: Chance
    adjusted_p: float | None
    never_binds: bool
    unfinished: int = 0
    cost: MeanEstimate | None = None
    a_day: Quotient | None = None

    @property
    def is_sure(self) -> bool:
        """Whether it is more than chance."""
        return self.adjusted_p is not None and self.adjusted_p <= SURE

    @property
    def gains(self) -> bool:
        """Whether it surely makes the milestone earlier."""
        return self.is_sure and self.days is not None and self.days.mean > 0


class Pair(NamedTuple):
    """Two limits lifted together: days gained, and what each still gains once the other is lifted.

    None where the horizon cuts the plan with both lifted short.
    """

    one: str
    other: str
    together: MeanEstimate | None
    other_after_one: MeanEstimate | None
    one_after_other: MeanEstimate | None


@dataclass(frozen=True)
class Savings:
    """The answer. `days` and `chances` are those of the plan as stated; `savings` are the largest first."""

    scenario: Scenario
    goal: Goal
    seed: int
    asked: int
    played: int
    unreached: int
    days: MeanEstimate | None
    chances: tuple[QuantileEstimate, ...]
    savings: tuple[Saving, ...]
    pairs: tuple[Pair, ...]
    refused: tuple[Refused, ...]

    @property
    def priced(self) -> bool:
        """Whether the scenario states prices."""
        return self.scenario.prices is not None

    @property
    def cut(self) -> bool:
        """Whether the horizon cuts any replication of any plan short."""
        return self.unreached > 0 or any(saving.unfinished for saving in self.savings)

    def of(self, limit: str) -> Saving:
        """What lifting a limit gains."""
        return next(saving for saving in self.savings if saving.limit == limit)


def ranked(played: Played, goal: Goal, limits: Sequence[str]) -> tuple[Saving, ...]:
    """What each limit gains, largest first: by the mean, and behind those by the median where there is none."""
    gains = {limit: played.gained(limit, goal) for limit in limits}
    whole = {limit: each.low for limit, each in gains.items() if each.complete}
    adjusted = dict(zip(whole, holm([paired_p_value(each) for each in whole.values()]), strict=True))
    found = [_saving(played, goal, limit, each, adjusted.get(limit)) for limit, each in gains.items()]
    return tuple(sorted(found, key=_place))


def _saving(played: Played, goal: Goal, limit: str, gained: Observed, p_value: float | None) -> Saving:
    spent = -played.gains(limit, COST) if played.priced and gained.complete else None
    week = gained.low >= WEEK_DAYS
    return Saving(
        limit,
        mean_interval(gained.low) if gained.complete else None,
        quantile_between(24 * gained.low, 24 * gained.high, 0.5),
        chance(week, ~week & (gained.high >= WEEK_DAYS), 0.95),
        p_value,
        not np.any((gained.low > 0) | (gained.high < 0)),
        played.unfinished(limit, goal),
        *(() if spent is None else _costs(spent, gained.low)),
    )


def _place(saving: Saving) -> tuple[bool, bool, float, int]:
    gain = -saving.median_h.least if saving.days is None else -saving.days.mean
    return saving.never_binds, saving.days is None, gain, -saving.week.surely


def _costs(spent: NDArray[np.float64], days: NDArray[np.float64]) -> tuple[MeanEstimate, Quotient | None]:
    """What lifting a limit costs at the stated prices, and that for each day gained."""
    gained = mean_interval(days)
    return mean_interval(spent), quotient(spent, days) if gained.low > 0 else None


def worth_pairing(savings: Sequence[Saving], sums: Sequence[str]) -> list[tuple[str, str]]:
    """The limits that surely gain most, two at a time; none that is a sum of others."""
    sure = [saving.limit for saving in savings if saving.gains]
    return list(combinations([limit for limit in sure if limit not in sums][:TOP], 2))


def pair_name(one: str, other: str) -> str:
    """What a plan with two limits lifted is called."""
    return f"{one} + {other}"


def pair_of(played: Played, goal: Goal, one: str, other: str) -> Pair:
    """What two limits gain together, over replications of all plans under the same luck."""
    gained = [played.gained(plan, goal) for plan in (pair_name(one, other), one, other)]
    if not all(each.complete for each in gained):
        return Pair(one, other, None, None, None)
    n = min(len(each.low) for each in gained)
    both, first, second = (each.low[:n] for each in gained)
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
    known = np.where(missed > 0, np.inf, days)
    chances = tuple(quantile_interval(known, p) for p in (0.1, 0.5, 0.9))
    return Savings(
        scenario,
        goal,
        seed,
        asked,
        len(days),
        int(missed.sum()),
        None if missed.any() else mean_interval(days),
        chances,
        savings,
        pairs,
        tuple(refused),
    )
