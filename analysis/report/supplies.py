"""Water, proppant and what else is drawn: what was offered and used, how low stores got, and who waited for it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import inf

from analysis.checking.estimates import AMOUNTS, Estimate
from analysis.forecasting.supply_summary import FIGURES, SupplySummary
from analysis.report.content import Content
from analysis.report.parts import BRACKETS, Cell, Part, Picture, Row, Said, Section, Table, spread_of

TITLE = "Water and supplies"
SHOWS = {
    "tank_level": "The water in storage in the median replication: how near to empty it comes, and when somebody waits "
    "for it.",
    "supply_levels": "All that is held in the median replication, with the hours in which a source delivers less than "
    "its rate.",
}
UNSTATED = (
    "The plan states neither water nor proppant: nobody waits for them here, and dates are early if they are short."
)
NOTE = (
    "Thousand barrels, of proppant thousand pounds, from the start to the end of the last stage. P50; below it its "
    "interval, P10, P90 and the mean; below the hours starved their mean by the part that was short."
)
SCALES = {"peak_rate": 24 / 1000, "starved_h": 1.0}
LEAST_H = 0.05  # to be named


def supplies(content: Content, pictures: Mapping[str, str]) -> Section:
    """Who waited, pictures, the table."""
    found = content.summary.supplies
    if not found:
        return Section("supplies", TITLE, (Said((UNSTATED,)),))
    parts: list[Part] = [Said(tuple(_said(each) for each in found if each.kind == "store"))]
    parts += [Picture(says, pictures[name], "Levels over time") for name, says in SHOWS.items() if name in pictures]
    return Section("supplies", TITLE, (*parts, supply_figures(found)))


def _said(each: SupplySummary) -> str:
    """How long anybody waits for a store, in a sentence."""
    mean, late = each.means["starved_h"], each.figures["starved_h"][2].value
    if mean.mean == 0:
        return f"{_capital(each.supply)}: nobody ever waits for it."
    spread = f" ± {mean.high - mean.mean:.1f}" if mean.high < float("inf") else ""
    by = ", ".join(part for part, hours in each.parts.items() if part and hours.mean > 0)
    short = f", for want of: {by}" if by else ""
    hours = f"{mean.mean:.1f}{spread} hours for it in the mean (P90: {late:.1f})"
    return f"{_capital(each.supply)}: units wait {hours}{short}."


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def supply_figures(found: Sequence[SupplySummary]) -> Table:
    """A row for each store, pond and source, every figure with its intervals."""
    headings = (
        "supply",
        "offered",
        "used",
        "turned away or lost",
        "highest rate a day",
        "lowest level",
        "hours starved",
    )
    rows = tuple(
        Row((Cell(each.supply if each.kind == "store" else f"  {each.supply}"), *_cells(each))) for each in found
    )
    return Table("The supplies", headings, rows, f"{NOTE} {AMOUNTS} {BRACKETS}", texts=1)


def _cells(each: SupplySummary) -> Iterator[Cell]:
    """A source holds nothing; only a store on the pad makes anybody wait."""
    for name in FIGURES:
        if (name == "lowest_level" and each.kind == "source") or (name == "starved_h" and each.kind != "store"):
            yield Cell("")
            continue
        scale, mean = SCALES.get(name, 1 / 1000), each.means[name]
        digits = 0 if mean.mean * scale >= 100 else 1
        cell = spread_of(Estimate(each.figures[name], mean), 1 / scale, digits)
        yield cell._replace(small=(*cell.small, *_parts(each))) if name == "starved_h" else cell


def _parts(each: SupplySummary) -> Iterator[str]:
    """Mean hours by part of the supply."""
    for part, hours in each.parts.items():
        if hours.mean >= LEAST_H:
            spread = f" ± {hours.high - hours.mean:.1f}" if hours.high < inf else ""
            yield f"{part or each.supply} {hours.mean:.1f}{spread}"
