"""What is said of the cost and the value of plans beside the plan as stated: sentences, and a table."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

import numpy as np

from analysis.comparing.verdict import Verdict
from analysis.pricing.money_answer import usd
from analysis.report.parts import Cell, Row, Table
from analysis.report.plan_money import Array, PlanMoney, mean_or_unknown
from analysis.statistics import MeanEstimate, mean_interval
from sim.scenario.written import shortened

NOTE = (
    "Means, in brackets their 95 % confidence intervals. More: than the plan as stated, pair by pair "
    "under the same luck (paired-t); below zero it is less. Cheaper in, worth more in: replications. Value: cash of "
    "costs and production, discounted to the start."
)
CUT_SHORT = "A dash where the horizon cuts work of a plan short in some replications: what comes after is unknown."
NOT_COMPARED = (
    "Costs are not compared: the horizon cuts work short in some replications, and what comes after is unknown."
)
HEADINGS = ("plan", "cost", "costs more by", "cheaper in", "value at the start", "worth more by", "worth more in")
UNKNOWN = Cell("-")
RISK = 0.05  # of saying that some plan is ahead that is not, for all together (Bonferroni)


def cost_table(verdict: Verdict, money: Mapping[str, PlanMoney]) -> Table | None:
    """A row for each plan, in the order of the verdict; None where the plan as stated has no prices."""
    names = [name for name in verdict.in_order if name in money]
    base = verdict.names[0]
    if base not in money or len(names) < 2:
        return None
    rows = tuple(Row((Cell(name), *_cells(money[name], None if name == base else money[base]))) for name in names)
    missing = [f"Not priced under '{name}': {', '.join(each.missing)}." for name, each in money.items() if each.missing]
    short = [CUT_SHORT] if any(money[name].unfinished for name in names) else []
    return Table("Cost and value, thousand USD", HEADINGS, rows, " ".join([NOTE, *short, *missing]), texts=1)


def _cells(of: PlanMoney, base: PlanMoney | None) -> list[Cell]:
    worth = None if of.value is None else mean_or_unknown(of.value)
    cells = [_thousands(mean_or_unknown(of.cost)), UNKNOWN, UNKNOWN, UNKNOWN if worth is None else _thousands(worth)]
    if base is None or of.unfinished or base.unfinished:
        return [*cells, UNKNOWN, UNKNOWN]
    cells[1:3] = _thousands(of.dearer_than(base)), _count(of.cost < base.cost)
    more = of.worth_more_than(base)
    if more is None or of.value is None or base.value is None:
        return [*cells, UNKNOWN, UNKNOWN]
    return [*cells, _thousands(more), _count(of.value > base.value)]


def _thousands(found: MeanEstimate) -> Cell:
    if found.mean == inf:
        return UNKNOWN
    low, mean, high = (each / 1000 for each in (found.low, found.mean, found.high))
    return Cell(f"{mean:,.0f}", (f"[{low:,.0f}, {high:,.0f}]" if high < inf else "[?, ?]",))


def _count(wins: np.ndarray) -> Cell:
    return Cell(f"{int(wins.sum())} of {len(wins)}")


def money_sentences(verdict: Verdict, best: str, money: Mapping[str, PlanMoney]) -> Iterator[str]:
    """Whether the plan that is best by date is so by money too: by value, or where nothing is sold by cost."""
    base, names = verdict.names[0], [name for name in verdict.names if name in money]
    if base not in names or best not in names or len(names) < 2:
        return
    if any(money[name].unfinished for name in names):
        yield NOT_COMPARED
        return
    scores = {name: each for name in names if (each := _score(money[name], money[base])) is not None}
    leader = max(scores, key=lambda name: float(scores[name].mean()))
    lead = mean_interval(scores[leader] - scores[best], 1 - RISK / (len(scores) - 1)) if leader != best else None
    by = "worth most" if money[base].value is not None else "cheapest"
    if lead is None:
        yield f"It is {by} as well."
    elif lead.low > 0:
        yield f"But '{shortened(leader)}' is {by}, with 95 % confidence: it {_beside(money[leader], money[best])}."
    else:
        yield f"No plan is surely {'worth more' if by == 'worth most' else 'cheaper'}."
    if any(each.missing for each in money.values()):
        yield "All without what is not priced; see Money."
    if leader == best and best != base:
        yield f"It {_beside(money[best], money[base])}: that is beside the plan as stated."


def _score(of: PlanMoney, base: PlanMoney) -> Array | None:
    """What is better where it is more: the value, or where the plan as stated has none the cost that is saved."""
    return of.value if base.value is not None else -of.cost


def _beside(of: PlanMoney, other: PlanMoney) -> str:
    cost, worth = _said(of.dearer_than(other), "costs"), of.worth_more_than(other)
    return cost if worth is None else f"{cost} and {_said(worth, 'is worth')}"


def _said(found: MeanEstimate, verb: str) -> str:
    """A mean difference with its interval."""
    if found.low == found.high == 0:
        return f"{verb} the same"
    if found.low <= 0 <= found.high:
        bounds = f"95 %: from {usd(found.low)} to {usd(found.high)}" if found.high < inf else "too few replications"
        return f"{verb} about as much ({bounds})"
    low, high = sorted((abs(found.low), abs(found.high)))
    return f"{verb} {usd(abs(found.mean))} {'more' if found.mean > 0 else 'less'} [{usd(low)} to {usd(high)}]"
