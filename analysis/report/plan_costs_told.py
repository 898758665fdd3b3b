"""What is said of the cost and the value of plans beside the plan as stated: sentences, and a table."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

import numpy as np

from analysis.comparing.verdict import Verdict
from analysis.pricing.money_answer import usd
from analysis.report.parts import Cell, Row, Table
from analysis.report.plan_costs import PlanMoney
from analysis.statistics import MeanEstimate, mean_interval
from sim.scenario.written import shortened

NOTE = (
    "Means, in brackets their 95 % confidence intervals. More: than the plan as stated, pair by pair "
    "under the same luck (paired-t); below zero it is less. Cheaper in, worth more in: replications. Value: cash of "
    "costs and production, discounted to the start."
)
CUT_SHORT = "Where the horizon cuts work short, what comes after it costs nothing here."
HEADINGS = (
    "plan",
    "cost",
    "more than as stated",
    "cheaper in",
    "value at the start",
    "more than as stated",
    "worth more in",
)
UNKNOWN = Cell("-")


def cost_table(verdict: Verdict, money: Mapping[str, PlanMoney]) -> Table | None:
    """A row for each plan, in the order of the verdict; None where the plan as stated has no prices."""
    names = [name for name in verdict.in_order if name in money]
    base = verdict.names[0]
    if base not in money or len(names) < 2:
        return None
    rows = tuple(Row((Cell(name), *_cells(money[name], None if name == base else money[base]))) for name in names)
    missing = [f"Not priced under '{name}': {', '.join(each.missing)}." for name, each in money.items() if each.missing]
    short = [CUT_SHORT] if any(not each.complete for each in verdict.seen.values()) else []
    return Table("Cost and value, thousand USD", HEADINGS, rows, " ".join([NOTE, *short, *missing]), texts=1)


def _cells(of: PlanMoney, base: PlanMoney | None) -> list[Cell]:
    worth = None if of.value is None else mean_interval(of.value)
    cells = [_thousands(mean_interval(of.cost)), UNKNOWN, UNKNOWN, UNKNOWN if worth is None else _thousands(worth)]
    if base is None:
        return [*cells, UNKNOWN, UNKNOWN]
    cells[1:3] = _thousands(of.dearer_than(base)), _count(of.cost < base.cost)
    more = of.worth_more_than(base)
    if more is None or of.value is None or base.value is None:
        return [*cells, UNKNOWN, UNKNOWN]
    return [*cells, _thousands(more), _count(of.value > base.value)]


def _thousands(found: MeanEstimate) -> Cell:
    low, mean, high = (each / 1000 for each in (found.low, found.mean, found.high))
    return Cell(f"{mean:,.0f}", (f"[{low:,.0f}, {high:,.0f}]" if high < inf else "[?, ?]",))


def _count(wins: np.ndarray) -> Cell:
    return Cell(f"{int(wins.sum())} of {len(wins)}")


def cost_sentence(name: str, base: str, money: Mapping[str, PlanMoney]) -> str:
    """By how much a plan costs more, and is worth more, than the plan as stated; empty where that is not known."""
    if name not in money or base not in money or name == base:
        return ""
    cost = _said(money[name].dearer_than(money[base]), "costs", "more", "less")
    worth = money[name].worth_more_than(money[base])
    value = "" if worth is None else f" and {_said(worth, 'is worth', 'more', 'less')}"
    return f"'{shortened(name)}' {cost}{value} than the plan as stated, in the mean under the same luck."


def _said(found: MeanEstimate, verb: str, more: str, less: str) -> str:
    if found.low <= 0 <= found.high:
        bounds = f"95 %: from {usd(found.low)} to {usd(found.high)}" if found.high < inf else "too few replications"
        return f"{verb} about as much ({bounds})"
    low, high = sorted((abs(found.low), abs(found.high)))
    return f"{verb} {usd(abs(found.mean))} {more if found.mean > 0 else less} [{usd(low)} to {usd(high)}]"
