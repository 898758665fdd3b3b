"""The page: sections in their order, and one HTML text of them all."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from analysis.cautions import PLANS_TIME
from analysis.forecasting.answer import answer
from analysis.pricing.money_answer import money_answer
from analysis.report import palette
from analysis.report.basis import again, assumptions, cautions, reading
from analysis.report.content import Content
from analysis.report.curves import chance_figure, curve_keys
from analysis.report.dates import pad_dates, unit_dates, well_dates
from analysis.report.days import where_days_go
from analysis.report.gantt import gantts
from analysis.report.gantt_key import unit_keys, well_keys
from analysis.report.headline import tiles
from analysis.report.interactive import embedded, library
from analysis.report.money import all_sums, money
from analysis.report.parts import Part, Picture, Said, Section, Swatch
from analysis.report.printed import pictures_of
from analysis.report.strategies import strategies
from analysis.report.supplies import supplies
from analysis.report.units import by_cause, units
from analysis.wording import CONVENTION, full_date, held_together

if TYPE_CHECKING:
    from jinja2 import Environment

UNITS, WELLS, CURVES = "figure-units", "figure-wells", "figure-curves"
MEDIAN = "of the median replication, the one in the middle by the date of its last well"
SAYS = {
    UNITS: f"Every unit {MEDIAN}, which is one way it may go and not the plan's promise. Hatched is waiting.",
    WELLS: f"The same by well, {MEDIAN}: from rig release to on production, the diamond. Hatched, nobody works on it.",
    CURVES: "The chance that it is done by a date: the steeper a curve, the surer the date. Shaded is the 95 % "
    "confidence of the curve, dashed the date that a plan of averages promises.",
}
MOST_ROWS = 50_000  # of the log that a page can hold so that a browser still opens it with ease
TOO_LARGE = (
    "The log of this plan has {rows:,} rows, more than a page can hold to zoom into: pictures stand here instead, "
    "as many as are worth leafing through. The tables of the run have every hour."
)
ZOOM = "Zoom into dates by dragging across it or by the buttons above it; the arrow that turns back undoes that."


def html_of(content: Content) -> str:
    """The whole report; equal content gives equal text."""
    figures = _figures(content)
    document, roots = embedded(figures)
    page = _environment().get_template("report.html.j2")
    return page.render(
        title=content.scenario.title,
        subtitle=_subtitle(content),
        lacks=content.run.lacks,
        tiles=tiles(content),
        answer=[*answer(content.summary), *money_answer(content.ledger)],
        convention=CONVENTION,
        zoom=ZOOM,
        caution=f"{PLANS_TIME}see Cautions.",
        sections=sections(content, pictures_of(content)),
        light=palette.variables(palette.LIGHT),
        dark=palette.variables(palette.DARK),
        paper=palette.variables(palette.PAPER),
        library=library(),
        document=document,
        roots=roots,
    )


def sections(content: Content, pictures: Mapping[str, str]) -> list[Section]:
    """All of them, in the order in which a reader asks."""
    return [
        Section("gantt", "Who is where and when", tuple(_gantt_parts(content, pictures))),
        Section("chances", "By when, with what chance", tuple(_chance_parts(content, pictures))),
        strategies(content, pictures),
        where_days_go(content, pictures),
        supplies(content, pictures),
        units(content),
        money(content, pictures),
        assumptions(content),
        cautions(),
        again(content),
        reading(),
        Section("all", "The rest, with its intervals", tuple(_everything(content))),
    ]


def _figures(content: Content) -> dict[str, Any]:
    curves = {CURVES: chance_figure(content.summary)}
    if not _can_zoom(content):
        return curves
    wells = content.summary.forecast.wells
    own = wells[wells["replication"] == content.log.replication]
    by_unit, by_well = gantts(content.log, own, content.scenario.start)
    return {UNITS: by_unit, WELLS: by_well} | curves


def _can_zoom(content: Content) -> bool:
    return len(content.log.intervals) <= MOST_ROWS


def _gantt_parts(content: Content, pictures: Mapping[str, str]) -> list[Part]:
    said: list[Part] = []
    if not _can_zoom(content):
        said.append(Said((TOO_LARGE.format(rows=len(content.log.intervals)),)))
    return [
        *said,
        _gantt(content, pictures, "gantt_by_unit", "Units against dates", UNITS, unit_keys(content.log)),
        _gantt(content, pictures, "gantt_by_well", "Wells against dates", WELLS, well_keys(content.log)),
    ]


def _gantt(
    content: Content, pictures: Mapping[str, str], name: str, alt: str, element: str, keys: tuple[Swatch, ...]
) -> Picture:
    """The bars to zoom into, on paper all sheets of them."""
    sheets = tuple(image for each, image in pictures.items() if each.startswith(f"{name}_"))
    return Picture(SAYS[element], pictures[name], alt, element if _can_zoom(content) else "", keys, sheets)


def _chance_parts(content: Content, pictures: Mapping[str, str]) -> list[Part]:
    keys = tuple(Swatch(colour, name) for colour, name in curve_keys(content.summary))
    picture = Picture(SAYS[CURVES], pictures["chance_done_by"], "Chance done by a date", CURVES, keys)
    return [picture, pad_dates(content), well_dates(content)]


def _everything(content: Content) -> list[Part]:
    parts: list[Part] = [Said(("For whoever wants to check: what the sections above show only in part.",))]
    return [*parts, unit_dates(content), by_cause(content), *all_sums(content)]


def _subtitle(content: Content) -> str:
    played = content.run.forecast
    start = full_date(content.scenario, 0.0)
    return f"Forecast from {played.replications} replications; the plan starts {start}, local time."


def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("analysis.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["held"] = held_together
    return environment
