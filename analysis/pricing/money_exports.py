"""Production, costs, cash and fuel for other programs: CSV files, and plain data for summary.json."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from typing import Any

from analysis.checking.estimates import AMOUNTS, HEADINGS, Estimate, cells, estimate, known, plain
from analysis.pricing.fuel_use import FuelUse
from analysis.pricing.ledger import Ledger
from analysis.pricing.money import Money
from analysis.pricing.money_answer import money_answer
from analysis.pricing.production import Produced

MEAN = ("mean", "mean low", "mean high")
NUMBERS = (*HEADINGS, *MEAN)
Named = tuple[str, str, str, Estimate]  # of what, name, unit of measure, estimate


def files_of(ledger: Ledger, representative: int) -> dict[str, str]:
    """Every CSV file that the ledger has something for; the lines are those of one replication."""
    found: dict[str, str] = {}
    if ledger.produced is not None:
        found["production.csv"] = table_csv(("of", "name", "unit", *NUMBERS), _rows(production_named(ledger.produced)))
    if ledger.money is not None:
        found["costs.csv"] = table_csv(("of", "name", "unit", *NUMBERS), _rows(money_named(ledger.money)))
        found["cash.csv"] = cash_csv(ledger.money)
        lines = ledger.money.lines_of(representative)
        found["cost_lines.csv"] = lines.to_csv(index=False, lineterminator="\n")
    if ledger.fuel is not None:
        found["fuel.csv"] = table_csv(("of", "name", "unit", *NUMBERS), _rows(fuel_named(ledger.fuel)))
    return found


def table_csv(headings: Iterable[str], rows: Iterable[Iterable[Any]]) -> str:
    """A table as CSV, its headings first."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(headings)
    writer.writerows(rows)
    return text.getvalue()


def _rows(named: Iterable[Named]) -> Iterator[list[Any]]:
    for of, name, unit, found in named:
        mean = found.mean
        yield [of, name, unit, *cells(found), *(known(each) for each in (mean.mean, mean.low, mean.high))]


def production_named(found: Produced) -> Iterator[Named]:
    """Everything that is said of production, named and with its unit."""
    for well, estimates in found.wells.items():
        for after, oil in estimates.items():
            yield well, f"oil after {after} days" if after.isdigit() else "oil by the horizon", "bbl", oil
    yield "pad", "oil by the horizon", "bbl", found.oil
    yield "pad", "gas by the horizon", "mcf", found.gas
    yield "pad", "water by the horizon", "bbl", found.water
    yield "pad", "shut in for fracturing beside", "well days", found.shut_in_days
    yield "pad", "oil lost to that by the horizon", "bbl", found.lost_to_shut_ins
    yield "pad", "oil held back by the facility's limit, by the horizon", "bbl", found.held_back


def fuel_named(found: FuelUse) -> Iterator[Named]:
    """Everything that is said of fuel, named and with its unit."""
    for (subject, fuel), use in found.by_subject.items():
        name, _, unit = fuel.rpartition(" ")
        yield subject, name, unit, use
    for fuel, use in found.fuels.items():
        name, _, unit = fuel.rpartition(" ")
        yield "all", name, unit, use
    yield "all", "carbon dioxide", "t", found.carbon_t


def money_named(money: Money) -> Iterator[Named]:
    """Everything that is said of money, named and with its unit."""
    yield "all", "cost", "USD", money.total
    if money.per_stage is not None:
        yield "all", "cost per stage", "USD", money.per_stage
    if money.unfinished:
        yield "all", "cost by the horizon", "USD", money.spent
    to = ", to the horizon" if money.unfinished else ""
    for of, costs in (("category", money.categories), ("unit", money.units), ("waiting for", money.waiting)):
        for name, cost in costs.items():
            yield f"{of}{to}", name, "USD", cost
    if money.value is not None and money.later_day is not None:
        yield "all", "present value", "USD", money.value
        yield "all", "present value lost by a day later", "USD", money.later_day
    yield "all", "a day of standing still in fracturing", "USD", estimate([money.standby_day])


def cash_csv(money: Money) -> str:
    """One line for each month: what is paid, earned and left."""
    headings = [f"{what} {which}" for what in ("paid", "earned", "net") for which in NUMBERS]
    rows = []
    for place, month in enumerate(money.cash.months):
        found = [estimate(each[:, place]) for each in (money.cash.paid, money.cash.earned, money.cash.net)]
        numbers = [cell for each in found for cell in (*cells(each), each.mean.mean, each.mean.low, each.mean.high)]
        rows.append([month, "USD", *numbers])
    return table_csv(("month", "unit", *headings), rows)


def ledger_of(ledger: Ledger) -> dict[str, Any]:
    """The ledger as plain data; what is not stated is left out."""
    found: dict[str, Any] = {}
    if ledger.is_empty:
        return found
    found["of_amounts"] = AMOUNTS
    found["money_answer"] = money_answer(ledger)
    if ledger.produced is not None:
        found["production"] = [_plain(each) for each in production_named(ledger.produced)]
    if ledger.money is not None:
        costs = [_plain(each) for each in money_named(ledger.money)]
        unfinished = {"unfinished": ledger.money.unfinished}
        found["money"] = unfinished | {
            "costs": costs,
            "missing": list(ledger.money.missing),
            "notes": list(ledger.money.notes),
        }
    if ledger.fuel is not None:
        fuels = {name: plain(use) for name, use in ledger.fuel.fuels.items()}
        found["fuel"] = {"used": fuels, "carbon_dioxide_t": plain(ledger.fuel.carbon_t)}
        found["fuel"]["not_counted"] = list(ledger.fuel.unknown)
    return found


def _plain(named: Named) -> dict[str, Any]:
    of, name, unit, found = named
    return {"of": of, "name": name, "unit": unit} | plain(found)
