"""What the alternatives cost and are worth beside the plan as stated, replication against replication."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import inf

import numpy as np
from numpy.typing import NDArray

from analysis.comparing.comparison import Comparison, Plans, compare, pad_table, play_level
from analysis.forecasting.forecast import Forecast, tables
from analysis.measures import Measures
from analysis.pricing.amounts import measure_for
from analysis.pricing.ledger import reckon
from analysis.statistics import MeanEstimate, mean_interval
from sim.scenario.scenario import Scenario

Array = NDArray[np.float64]


@dataclass(frozen=True)
class PlanMoney:
    """USD of one plan by replication: what it costs, and its present value, None where nothing is sold.

    Where the horizon cuts work short, both are unknown: the cost is infinite, the value NaN. `missing` are prices that
    are not stated for what it uses.
    """

    cost: Array
    value: Array | None
    missing: tuple[str, ...]

    @property
    def unfinished(self) -> int:
        """Replications that the horizon cuts short."""
        return int(np.isinf(self.cost).sum())

    def dearer_than(self, other: PlanMoney) -> MeanEstimate:
        """By how much it costs more than another plan in the mean, under the same luck."""
        return mean_or_unknown(self.cost - np.where(np.isinf(self.cost), 0.0, other.cost))

    def worth_more_than(self, other: PlanMoney) -> MeanEstimate | None:
        """By how much it is worth more in the mean; None where a value is missing."""
        if self.value is None or other.value is None:
            return None
        return mean_or_unknown(self.value - other.value)


def mean_or_unknown(values: Array) -> MeanEstimate:
    """The mean with its interval; all infinite where some values are unknown."""
    return mean_interval(np.where(np.isfinite(values), values, inf))


def compare_with_money(
    plans: Plans, n: int, seed: int, workers: int, on_progress: Callable[[int], None]
) -> tuple[Comparison, Mapping[str, PlanMoney]]:
    """Play all plans under the same luck, and price them; without prices of the plan as stated only play them.

    Raises NothingPlayedError when stopped before every plan had its first replications.
    """
    if next(iter(plans.values())).prices is None:
        return compare(plans, n, seed, workers, on_progress), {}
    reduces = {name: measure_for(plan) for name, plan in plans.items()}
    played = play_level(plans, n, seed, workers, reduces, on_progress)
    pads = {name: pad_table([each.pad for each in results]) for name, results in played.items()}
    money = {name: plan_money(plan, seed, played[name]) for name, plan in plans.items() if plan.prices is not None}
    return Comparison(dict(plans), seed, n, pads), money


def plan_money(plan: Scenario, seed: int, results: list[Measures]) -> PlanMoney:
    """What the replications of one plan cost and are worth, at its own prices."""
    money = reckon(Forecast(plan, seed, len(results), **tables(results))).money
    assert money is not None
    return PlanMoney(money.costs, money.values, money.missing)
