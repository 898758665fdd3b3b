"""The pictures of money: costs by what for and by unit, and cash by month; none without prices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from analysis.checking.estimates import Estimate
from analysis.pricing.ledger import Ledger
from analysis.pricing.money import Money
from analysis.pricing.tariff import WAITING

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from analysis.figures.cash_flow import Spread
    from analysis.figures.cost_bars import Cost

MOST_MONTHS = 24
MOST_BARS = 14
CONVENTION = "P90: 90 % chance of no more than that; P10 and P50 likewise."
OF_COSTS = (
    f"Bars: means, ±: their 95 % confidence interval; whiskers and brackets: P10 to P90. {CONVENTION}\n"
    "Rose: standby, which is paid for waiting. Units: without water, proppant, crews and overheads."
)


def draw_money(ledger: Ledger, folder: Path) -> None:
    """Draw them into `folder`."""
    from analysis.figures import theme

    for name, axes in money_pictures(ledger):
        folder.mkdir(parents=True, exist_ok=True)
        theme.save(theme.settle(axes), folder / name)


def money_pictures(ledger: Ledger) -> Iterator[tuple[str, Axes]]:
    """As far as there is something to show, named as their files."""
    money = ledger.money
    if money is None:
        return
    if money.has_costs and money.spent.mean.mean > 0:
        yield "costs", _costs(ledger.scenario.title, money)
    if money.cash.paid.any() or money.cash.earned.any():
        yield "cash", _cash(ledger.scenario.title, money)


def _costs(title: str, money: Money) -> Axes:
    from analysis.figures.cost_bars import cost_bars

    panels = {"what for": _listed(money.categories), "unit": _listed(money.units)}
    to, short = (" by the horizon", f"\n{money.cut_short}.") if money.unfinished else ("", "")
    return cost_bars(panels, f"{title}: what the work costs{to}", OF_COSTS + short)


def _listed(costs: Mapping[str, Estimate]) -> list[Cost]:
    from analysis.figures.cost_bars import Cost

    return [
        Cost(
            name,
            each.mean.mean,
            each.mean.low,
            each.mean.high,
            each.quantiles[0].value,
            each.quantiles[2].value,
            name == WAITING,
        )
        for name, each in list(costs.items())[:MOST_BARS]
    ]


def _cash(title: str, money: Money) -> Axes:
    from analysis.figures.cash_flow import cash_flow

    cash = money.cash
    count = min(MOST_MONTHS, len(cash.months))
    net = np.cumsum(cash.net, axis=1)[:, :count]
    n = len(cash.paid)
    more = f" {len(cash.months) - count} later months are in cash.csv." if count < len(cash.months) else ""
    footnote = (
        f"Bars and line: P50 of {n} replications. Whiskers and band: P10 to P90. {CONVENTION}{more}\n"
        "Earned: after royalty, tax and running costs; nothing is discounted here."
    )
    footnote += f"\n{money.cut_short}." if money.unfinished else ""
    paid, earned, so_far = (_spread(each) for each in (cash.paid[:, :count], cash.earned[:, :count], net))
    return cash_flow(cash.months[:count], paid, earned, so_far, f"{title}: cash by month", footnote)


def _spread(amounts: np.ndarray) -> Spread:
    from analysis.checking.estimates import estimate
    from analysis.figures.cash_flow import Spread

    found = [estimate(month).quantiles for month in amounts.T]
    return Spread(*(np.array([each[place].value for each in found]) for place in range(3)))
