"""Production, costs, cash and fuel on the terminal: tables of P10, P50, P90 and means."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import inf

import numpy as np
from rich.console import Console
from rich.table import Table

from analysis.checking.estimates import AMOUNTS, UNKNOWN, Estimate, estimate, figure
from analysis.pricing.fuel_use import FuelUse
from analysis.pricing.ledger import Ledger
from analysis.pricing.money import Money
from analysis.pricing.production import Produced
from analysis.pricing.well_flow import DAYS
from analysis.wording import percent, tell

INTERVAL = "±: 95 % confidence interval of the mean."
ELSEWHERE = "By unit, by cause of waiting and by month: costs.csv and cash.csv, with --out."
QUANTILES = ("P10", "P50", "P90", "mean")


def show_ledger(ledger: Ledger, console: Console, *, full: bool = False) -> None:
    """Print what is known; with `full` also costs by unit, waiting by cause, and cash by month."""
    if ledger.produced is not None and ledger.produced.wells:
        _show(console, production_table(ledger.produced), "P50, below it P10 to P90. " + AMOUNTS)
    if ledger.money is not None and ledger.money.has_costs:
        _show_money(ledger.money, console, full)
    if ledger.fuel is not None and not ledger.fuel.fuels:
        console.print()
        tell(console, f"No fuel can be counted: {'; '.join(ledger.fuel.unknown)}.")
    elif ledger.fuel is not None:
        _show(console, fuel_table(ledger.fuel), _carbon(ledger.fuel))


def _show(console: Console, table: Table, *remarks: str) -> None:
    console.print()
    console.print(table)
    tell(console, " ".join(remark for remark in remarks if remark))


def _show_money(money: Money, console: Console, full: bool) -> None:
    costs = cost_table(costs_title(money), "for", money.categories, money.spent)
    short = f"{money.cut_short}." if money.unfinished else ""
    _show(console, costs, short, AMOUNTS, INTERVAL, "" if full else ELSEWHERE, *money.notes)
    worth = _worth(money)
    if worth:
        _show(console, cost_table("A stage, the plan, a day: thousand USD", "of", worth), INTERVAL)
    if full:
        _show(console, cost_table("Costs by unit, thousand USD", "unit", money.units), INTERVAL)
    if full and money.waiting:
        _show(console, cost_table("Cost of waiting, thousand USD", "waiting for", money.waiting), INTERVAL)
    if full:
        _show(console, cash_table(money), short, "P50 of each month or span; net and its sum are means.")


def costs_title(money: Money) -> str:
    """What the table of costs is of."""
    return f"Costs{' to the horizon' if money.unfinished else ''}, thousand USD"


def _worth(money: Money) -> dict[str, Estimate]:
    """Cost of a stage, value of the plan, and of a day."""
    found = {
        "cost per stage": money.per_stage,
        "value at the start": money.value,
        "lost when all wells come a day later": money.later_day,
    }
    return {name: each for name, each in found.items() if each is not None}


def _table(title: str, headings: Iterable[str]) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    first, *others = headings
    table.add_column(first, overflow="fold")
    for heading in others:
        table.add_column(heading, justify="right")
    return table


def production_table(found: Produced) -> Table:
    """Oil of each well after some days on production, and by the horizon."""
    table = _table("Oil, thousand bbl", ("well", *(f"after {days} days" for days in DAYS), "by the horizon"))
    for well, estimates in found.wells.items():
        table.add_row(well, *(_span(each) for each in estimates.values()))
    table.add_row("the pad", *("" for _ in DAYS), _span(found.oil))
    return table


def _span(found: Estimate) -> str:
    low, middle, high = (figure(quantile.value, 1000) for quantile in found.quantiles)
    return middle if low == middle == high == UNKNOWN else f"{middle}\n{low} - {high}"


def cost_table(title: str, heading: str, costs: Mapping[str, Estimate], total: Estimate | None = None) -> Table:
    """One line for each cost, the largest first; with a total also shares of it."""
    table = _table(title, (heading, *QUANTILES, *(("share",) if total else ())))
    for name, cost in costs.items():
        table.add_row(name, *_thousands(cost), *((percent(_share(cost, total)),) if total else ()))
    if total is not None:
        table.add_row("all", *_thousands(total), "100 %", style="bold")
    return table


def _share(cost: Estimate, total: Estimate) -> float:
    return cost.mean.mean / total.mean.mean if total.mean.mean else 0.0


def _thousands(found: Estimate) -> list[str]:
    half_width = found.mean.high - found.mean.mean if found.mean.mean < inf else inf
    interval = f" ± {half_width / 1000:,.1f}" if half_width < inf else ""
    return [
        *(figure(quantile.value, 1000) for quantile in found.quantiles),
        f"{figure(found.mean.mean, 1000)}{interval}",
    ]


def cash_table(money: Money) -> Table:
    """Months while there is something to pay, then the rest of that year, then year by year, then all the rest."""
    table = _table("Cash, thousand USD", ("month", "paid", "earned", "net", "sum of net"))
    so_far = 0.0
    for label, first, end in spans(money):
        paid, earned = money.cash.paid[:, first:end].sum(axis=1), money.cash.earned[:, first:end].sum(axis=1)
        net = float(np.mean(earned - paid))
        so_far += net
        cells = [estimate(paid).middle, estimate(earned).middle, net, so_far]
        table.add_row(label, *(f"{cell / 1000:,.0f}" for cell in cells))
    return table


def spans(money: Money) -> list[tuple[str, int, int]]:
    """What the lines of the table cover: label, first month and the one after the last."""
    months, paid = money.cash.months, np.flatnonzero(money.cash.paid.any(axis=0))
    last = int(paid[-1]) + 1 if len(paid) else 0
    found = [(month, place, place + 1) for place, month in enumerate(months[:last])]
    years = sorted({month[:4] for month in months[last:]})
    for year in years[:3]:
        places = [place for place in range(last, len(months)) if months[place][:4] == year]
        rest = "rest of " if any(month[:4] == year for month in months[:last]) else ""
        found.append((f"{rest}{year}", places[0], places[-1] + 1))
    if len(years) > 3:
        first = next(place for place in range(last, len(months)) if months[place][:4] == years[3])
        found.append((f"{years[3]} to {years[-1]}", first, len(months)))
    return found


def fuel_table(found: FuelUse) -> Table:
    """Fuel of each unit."""
    table = _table("Fuel and power", ("for", "of", *QUANTILES))
    for (subject, fuel), use in found.by_subject.items():
        table.add_row(subject, fuel, *_whole(use))
    for fuel, use in found.fuels.items():
        table.add_row("all", fuel, *_whole(use), style="bold")
    return table


def _whole(found: Estimate) -> list[str]:
    return [f"{value:,.0f}" for value in (*(quantile.value for quantile in found.quantiles), found.mean.mean)]


def _carbon(found: FuelUse) -> str:
    low, middle, high = (f"{quantile.value:,.0f}" for quantile in found.carbon_t.quantiles)
    said = f"Carbon dioxide from it: {middle} t (P50; P10 to P90 {low} to {high}). Factors: 40 CFR 98, table C-1."
    return said + (f" Not counted: {'; '.join(found.unknown)}." if found.unknown else "")
