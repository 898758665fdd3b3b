"""What a plan costs and is worth over all replications: amounts of the log times stated prices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.checking.estimates import Estimate, estimate
from analysis.pricing.amounts import Months
from analysis.pricing.blocks import blocks, summed, together
from analysis.pricing.cash import Cash, cash_of, lost_by_a_day, present_value
from analysis.pricing.cost_lines import cost_lines
from analysis.pricing.tariff import WAITING, Tariff, unpriced
from analysis.pricing.well_flow import Flow
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

DAY_H = 24.0
OF_UNITS = ("day rates", WAITING, "mobilisation", "by the stage", "by the plug", "by the well", "fuel")
BY_SOURCE = "Water is paid for as taken from its source; what was on hand at the start is not paid for again."
PERPETUAL = "Income tax and the sale of what is left after {days:.0f} days are not counted."


@dataclass(frozen=True)
class Money:
    """Costs in USD over all replications; `value` is the present value of the schedule, None without production.

    `waiting` is by cause, `standby_day` what a day costs on which fracturing stands still, `later_day` what is lost
    when all wells come on production a day later. `missing` are prices to state, as paths.
    """

    scenario: Scenario
    amounts: pd.DataFrame
    has_costs: bool
    total: Estimate
    per_stage: Estimate | None
    categories: Mapping[str, Estimate]
    units: Mapping[str, Estimate]
    waiting: Mapping[str, Estimate]
    cash: Cash
    value: Estimate | None
    later_day: Estimate | None
    standby_day: float
    missing: tuple[str, ...]
    notes: tuple[str, ...]

    def lines_of(self, replication: int) -> pd.DataFrame:
        """The lines of one replication."""
        return cost_lines(self.scenario, next(blocks(self.amounts[self.amounts["replication"] == replication])))


def money_of(
    scenario: Scenario, pads: pd.DataFrame, amounts: pd.DataFrame, used: set[str], flow: Flow | None
) -> Money | None:
    """Apply the prices; None where the scenario states none. `used` is all that amounts and fuel are of."""
    if scenario.prices is None:
        return None
    sums, replications = _sums(scenario, amounts), [int(number) for number in pads["replication"]]
    by = {name: together(each, replications) for name, each in sums.items()}
    earning = flow if flow is not None and scenario.prices.oil is not None else None
    cash = cash_of(scenario, by["month"], earning)
    total = cash.paid.sum(axis=1)
    stages = pads["stages_pumped"].to_numpy(dtype=float)
    return Money(
        scenario,
        amounts,
        not by["category"].columns.empty,
        estimate(total),
        estimate(total / stages) if stages.min() > 0 else None,
        _largest_first(by["category"]),
        _largest_first(by["item"]),
        _largest_first(by["reason"]),
        cash,
        None if earning is None else estimate(present_value(cash.net, scenario.prices.discount)),
        None if earning is None else _later_day(scenario, earning),
        _standby_day(scenario),
        tuple(unpriced(scenario, used)),
        tuple(_notes(scenario)),
    )


def _sums(scenario: Scenario, amounts: pd.DataFrame) -> dict[str, list[pd.DataFrame]]:
    """Costs by month, by category, by unit, and of waiting by its cause, block by block."""
    sums: dict[str, list[pd.DataFrame]] = {"month": [], "category": [], "item": [], "reason": []}
    for block in blocks(amounts):
        lines = cost_lines(scenario, block)
        sums["month"].append(summed(lines, "month", "cost"))
        sums["category"].append(summed(lines, "category", "cost"))
        sums["item"].append(summed(lines[lines["category"].isin(OF_UNITS)], "item", "cost"))
        sums["reason"].append(summed(lines[lines["category"] == WAITING], "reason", "cost"))
    return sums


def _largest_first(table: pd.DataFrame) -> dict[str, Estimate]:
    """Costs by what stands in the columns, the largest first."""
    found = {str(name): estimate(table[name].to_numpy(dtype=float)) for name in table}
    return dict(sorted(found.items(), key=lambda each: -each[1].mean.mean))


def _later_day(scenario: Scenario, flow: Flow) -> Estimate:
    assert scenario.prices is not None
    months = Months(scenario, max(scenario.horizon, scenario.prices.evaluated_over))
    return estimate(lost_by_a_day(scenario.prices, flow, months.ends_h))


def _standby_day(scenario: Scenario) -> float:
    """Standby of every fleet and wireline unit with crews and overheads, for one day."""
    tariff, prices = Tariff(scenario), scenario.prices
    assert prices is not None
    units = [*individuals(scenario.units.pumping_fleets), *individuals(scenario.units.wireline_units)]
    stated = [prices_of for name, _ in units if (prices_of := tariff.of_unit(name)) is not None]
    rates = [each.day if each.standby_day is None else each.standby_day for each in stated]
    by_the_day = [*prices.crews.values(), *prices.overheads.values()]
    return DAY_H * float(np.sum([rate or 0.0 for rate in rates]) + np.sum(by_the_day))


def _notes(scenario: Scenario) -> list[str]:
    assert scenario.prices is not None
    found = [BY_SOURCE] if scenario.prices.water_by_source else []
    days = max(scenario.horizon, scenario.prices.evaluated_over) / DAY_H
    found += [PERPETUAL.format(days=days)] if scenario.prices.oil is not None else []
    return found + ([f"{scenario.prices.note}."] if scenario.prices.note else [])


def waiting_share(money: Money) -> float:
    """Share of the mean cost that is paid for waiting."""
    waits: Any = money.categories.get(WAITING)
    return 0.0 if waits is None or money.total.mean.mean == 0 else float(waits.mean.mean / money.total.mean.mean)
