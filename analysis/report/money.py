"""What it costs and is worth, as far as prices are stated, and what is missing where they are not."""

from __future__ import annotations

from collections.abc import Mapping

from analysis.checking.estimates import AMOUNTS, Estimate, estimate
from analysis.pricing.money import Money
from analysis.pricing.money_answer import money_answer
from analysis.pricing.money_exports import Named, fuel_named, production_named
from analysis.pricing.money_terminal import INTERVAL, costs_title, spans
from analysis.report.content import Content
from analysis.report.parts import (
    BRACKETS,
    Cell,
    Part,
    Picture,
    Row,
    Said,
    Section,
    Table,
    estimate_cells,
    estimate_table,
    spread_of,
)

TITLE = "Money"
UNPRICED = (
    "The plan states no prices, so nothing is said of costs, cash or value. What is missing: the section `prices`, "
    "with day rates of the units, and prices of what they use. `padtempo price DIR --prices FILE` prices this run "
    "without playing it again."
)
UNSOLD = "The plan states no production, so there is nothing to sell and no value."
SHOWS = {
    "costs": "What the work costs, by what is paid for and by unit: the mean, and from P10 to P90 in the whisker.",
    "cash": "Month by month what is paid and what comes in, and what is left so far, with its band from P10 to P90.",
}


def money(content: Content, pictures: Mapping[str, str]) -> Section:
    """Sentences, pictures, and tables of all sums."""
    ledger = content.ledger
    said = list(money_answer(ledger))
    if ledger.money is None:
        said.append(UNPRICED)
    if ledger.produced is None:
        said.append(UNSOLD)
    parts: list[Part] = [Said(tuple(said))]
    parts += [Picture(says, pictures[name], says) for name, says in SHOWS.items() if name in pictures]
    if ledger.money is not None and ledger.money.has_costs:
        parts += _tables(ledger.money)
    return Section("money", TITLE, tuple(parts))


def _tables(found: Money) -> list[Part]:
    costs = dict(found.categories) | {"all": found.spent}
    short = (f"{found.cut_short}.",) if found.unfinished else ()
    note = " ".join((*short, AMOUNTS, BRACKETS, *found.notes))
    tables: list[Part] = [estimate_table(costs_title(found), "for", costs, 1000, note=note)]
    if found.waiting:
        tables.append(
            estimate_table("Cost of waiting, thousand USD", "waiting for", found.waiting, 1000, note=BRACKETS)
        )
    worth = {
        "cost per stage": found.per_stage,
        "value at the start": found.value,
        "lost when all wells come a day later": found.later_day,
    }
    stated = {name: each for name, each in worth.items() if each is not None}
    if stated:
        tables.append(estimate_table("A stage, the plan, a day: thousand USD", "of", stated, 1000, note=BRACKETS))
    return [*tables, _cash(found)]


def _cash(found: Money) -> Table:
    """Months while there is something to pay, then longer spans: all with their intervals."""
    rows = []
    for label, first, end in spans(found):
        paid, earned = (each[:, first:end].sum(axis=1) for each in (found.cash.paid, found.cash.earned))
        so_far = found.cash.net[:, :end].sum(axis=1)
        rows.append(
            Row((Cell(label), *(spread_of(estimate(each), 1000, 0) for each in (paid, earned, earned - paid, so_far))))
        )
    note = f"P50 of each month or span; below it its interval, P10, P90 and the mean. {BRACKETS} {CASH}"
    note = f"{found.cut_short}. {note}" if found.unfinished else note
    return Table("Cash, thousand USD", ("month", "paid", "earned", "net", "left so far"), tuple(rows), note, texts=1)


CASH = "Every month is in cash.csv."


def all_sums(content: Content) -> list[Table]:
    """Costs by unit, production and fuel with their intervals, as far as they are known."""
    ledger, found = content.ledger, []
    if ledger.money is not None and ledger.money.units:
        found.append(_units(ledger.money.units))
    if ledger.produced is not None:
        found.append(_named("Production", list(production_named(ledger.produced))))
    if ledger.fuel is not None and ledger.fuel.fuels:
        found.append(_named("Fuel, and carbon dioxide by the factors of 40 CFR 98", list(fuel_named(ledger.fuel))))
    return found


def _units(units: Mapping[str, Estimate]) -> Table:
    return estimate_table("Costs by unit, thousand USD", "unit", units, 1000, note=f"{INTERVAL} {BRACKETS}")


def _named(caption: str, named: list[Named]) -> Table:
    rows = tuple(
        Row((Cell(of), Cell(name), Cell(unit), *estimate_cells(each, 1.0, 0 if each.mean.mean >= 100 else 1)))
        for of, name, unit, each in named
    )
    headings = ("of", "what", "unit", "P10", "P50", "P90", "mean")
    return Table(caption, headings, rows, f"{AMOUNTS} {BRACKETS}", texts=3)
