"""Water, proppant and what else is drawn: what was offered and used, how low stores got, and who waited for it."""

from __future__ import annotations

from collections.abc import Mapping

from analysis.checking.estimates import AMOUNTS, Estimate
from analysis.forecasting.supply_summary import FIGURES, SupplySummary
from analysis.forecasting.supply_table import SAID, supply_table
from analysis.report.content import Content
from analysis.report.parts import BRACKETS, Part, Picture, Said, Section, Table, estimate_table, from_terminal

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
SCALES = {"peak_rate": (24 / 1000, "thousand a day"), "starved_h": (1.0, "hours")}


def supplies(content: Content, pictures: Mapping[str, str]) -> Section:
    """Who waited, pictures, the table."""
    found = content.summary.supplies
    if not found:
        return Section("supplies", TITLE, (Said((UNSTATED,)),))
    parts: list[Part] = [Said(tuple(_said(each) for each in found if each.kind == "store"))]
    parts += [Picture(says, pictures[name], "Levels over time") for name, says in SHOWS.items() if name in pictures]
    note = SAID.replace("supplies.csv, with --out", "the last section")
    return Section("supplies", TITLE, (*parts, from_terminal(supply_table(found), note)))


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


def supply_figures(content: Content) -> Table:
    """Every figure of every supply with its intervals."""
    found: dict[str, Estimate] = {}
    for each in content.summary.supplies:
        for name in FIGURES:
            scale, unit = SCALES.get(name, (1 / 1000, "thousand"))
            label = f"{each.supply}: {name.replace('_h', '').replace('_', ' ')}, {unit}"
            found[label] = _scaled(Estimate(each.figures[name], each.means[name]), scale)
    note = f"Barrels, of proppant pounds. {AMOUNTS} {BRACKETS}"
    return estimate_table("Supplies", "figure", found, note=note)


def _scaled(found: Estimate, scale: float) -> Estimate:
    quantiles = tuple(
        each._replace(value=each.value * scale, low=each.low * scale, high=each.high * scale)
        for each in found.quantiles
    )
    mean = found.mean
    return Estimate(quantiles, mean._replace(mean=mean.mean * scale, low=mean.low * scale, high=mean.high * scale))
