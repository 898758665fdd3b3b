"""What a plan costs and is worth over all replications: amounts of the log times stated prices."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf, nan
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from analysis.checking.estimates import Estimate, estimate, estimate_within
from analysis.pricing.amounts import Months
from analysis.pricing.blocks import blocks, summed, together
from analysis.pricing.cash import Array, Cash, cash_of, lost_by_a_day, present_value
from analysis.pricing.cost_lines import cost_lines
from analysis.pricing.tariff import WAITING, Tariff, unpriced
from analysis.pricing.well_flow import Flow
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

DAY_H = 24.0
OF_UNITS = ("day rates", WAITING, "mobilisation", "by the stage", "by the plug", "by the well", "fuel")
SHORT = "{unfinished} of {replications} replications unfinished: costs to the horizon only"
BY_SOURCE = "Water is paid for as taken from its source; what was on hand at the start is not paid for again."
CUT_OFF = "Value counts cash up to day {days:.0f}, costs to the end of that calendar month."
PERPETUAL = "Income tax and the sale of what is left after {days:.0f} days are not counted."


@dataclass(frozen=True)
class Money:
    """Costs in USD over all replications; `value` is the present value of the schedule, None without production.

    `waiting` is by cause, `standby_day` what a day costs on which fracturing stands still, `later_day` what is lost
    when all wells come on production a day later. `missing` are prices to state, as paths.

    In `unfinished` replications not every well is on production by the horizon: they cost at least what is `spent` by
    then, and their value is unknown if it is reckoned further. `categories`, `units`, `waiting` and, where some are
    unfinished, `cash` go to the horizon and no further. `costs` and `values` are by replication, infinite and NaN where
    unknown.
    """

    scenario: Scenario
    amounts: pd.DataFrame
    has_costs: bool
    unfinished: int
    costs: Array
    values: Array | None
    total: Estimate
    spent: Estimate
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

    @property
    def cut_short(self) -> str:
        """That the horizon cut some replications short; empty where it did not."""
        return SHORT.format(unfinished=self.unfinished, replications=len(self.costs)) if self.unfinished else ""

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
    span_h, over_h = max(scenario.horizon, scenario.prices.evaluated_over), scenario.prices.evaluated_over
    unfinished = np.isinf(pads["all_on_production_h"].to_numpy(dtype=float))
    unknown = unfinished if over_h > scenario.horizon else np.zeros_like(unfinished)
    cash = cash_of(scenario, by["month"], earning, scenario.horizon if unfinished.any() else span_h)
    spent = cash.paid.sum(axis=1)
    values = present_value(cash_of(scenario, by["month"], earning, over_h).net, scenario.prices.discount)
    stages = pads["stages_pumped"].to_numpy(dtype=float)
    return Money(
        scenario,
        amounts,
        not by["category"].columns.empty,
        int(unfinished.sum()),
        np.where(unfinished, inf, spent),
        None if earning is None else np.where(unknown, nan, values),
        _within(spent, spent, unfinished),
        estimate(spent),
        _within(spent / stages, 0.0, unfinished) if stages.min() > 0 else None,
        _largest_first(by["category"]),
        _largest_first(by["item"]),
        _largest_first(by["reason"]),
        cash,
        None if earning is None else _value(values, unknown),
        None if earning is None else _later_day(scenario, earning, unknown),
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


def _within(amount: Array, at_least: float | Array, unfinished: NDArray[np.bool_]) -> Estimate:
    """An amount that unfinished replications know the least of."""
    return estimate_within(np.where(unfinished, at_least, amount), np.where(unfinished, inf, amount), as_most=True)


def _value(values: Array, unknown: NDArray[np.bool_]) -> Estimate:
    """What is unknown counts as worth less than any other; the intervals do not rely on it."""
    least, most = (np.where(unknown, bound, values) for bound in (-inf, inf))
    return estimate_within(least, most, as_most=False)


def _later_day(scenario: Scenario, flow: Flow, unknown: NDArray[np.bool_]) -> Estimate:
    assert scenario.prices is not None
    months = Months(scenario, scenario.prices.evaluated_over)
    return _within(lost_by_a_day(scenario.prices, flow, months.ends_h), -inf, unknown)


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
    if scenario.prices.oil is not None:
        days = scenario.prices.evaluated_over / DAY_H
        found += [CUT_OFF.format(days=days)] if scenario.prices.evaluated_over < scenario.horizon else []
        found.append(PERPETUAL.format(days=days))
    return found + ([f"{scenario.prices.note}."] if scenario.prices.note else [])


def waiting_share(money: Money) -> float:
    """Share of what is paid in the mean, by the horizon, that is for waiting."""
    waits: Any = money.categories.get(WAITING)
    return 0.0 if waits is None or money.spent.mean.mean == 0 else float(waits.mean.mean / money.spent.mean.mean)
