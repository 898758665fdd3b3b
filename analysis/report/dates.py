"""When things are done: every date of the report with its interval."""

from __future__ import annotations

from math import inf

from analysis.forecasting.summary import Milestone
from analysis.forecasting.terminal import INTERVALS, TOO_FEW, pad_table, well_table
from analysis.report.content import Content
from analysis.report.parts import Cell, Row, Table, from_terminal
from analysis.statistics import QuantileEstimate
from analysis.wording import BEYOND, CONVENTION, date_text, days_text
from sim.scenario.scenario import Scenario

AVERAGES = (
    "A plan of averages adds up mean durations and sees no waiting; the last column says how often it is too early."
)


def pad_dates(content: Content) -> Table:
    """Milestones of the pad."""
    return from_terminal(pad_table(content.summary, narrow=True), f"{CONVENTION} {INTERVALS} {TOO_FEW} {AVERAGES}")


def well_dates(content: Content) -> Table:
    """Milestones of every well: P50, and below it P10 to P90."""
    note = f"P50, below it P10 to P90. {CONVENTION} Their intervals stand in the last section."
    return from_terminal(well_table(content.summary), note)


def all_dates(content: Content) -> Table:
    """Every date of every well and unit, with its intervals."""
    summary, scenario = content.summary, content.scenario
    milestones = [(well, each) for well, own in summary.wells.items() for each in own]
    milestones += [(unit, each) for unit, visits in summary.visits.items() for each in visits]
    rows = tuple(_row(scenario, name, each) for name, each in milestones)
    note = f"{CONVENTION} {INTERVALS} {TOO_FEW}"
    return Table("Dates of wells and units", ("of", "milestone", "P10", "P50", "P90", "mean"), rows, note)


def _row(scenario: Scenario, name: str, found: Milestone) -> Row:
    cells = [date_cell(scenario, each) for each in found.quantiles]
    return Row((Cell(name), Cell(found.name.lower()), *cells, _mean(scenario, found)))


def date_cell(scenario: Scenario, found: QuantileEstimate) -> Cell:
    """A date, below it the day with its interval."""
    low, high = (
        "?" if rank is None else "beyond" if bound == inf else days_text(bound)
        for rank, bound in ((found.low_rank, found.low), (found.high_rank, found.high))
    )
    if found.value == inf:
        return Cell(BEYOND, (f"[{low}, {high}]",))
    return Cell(date_text(scenario, found.value), (f"day {days_text(found.value)} [{low}, {high}]",))


def date_bounds(scenario: Scenario, found: QuantileEstimate) -> str:
    """The interval of a date, as dates."""
    low = "?" if found.low_rank is None else date_text(scenario, found.low)
    high = "?" if found.high_rank is None else date_text(scenario, found.high)
    return low if low == high else f"{low} to {high}"


def _mean(scenario: Scenario, found: Milestone) -> Cell:
    if found.mean.mean == inf:
        return Cell("none", (f"{found.unfinished} of {found.replications} unfinished",))
    spread = f"± {(found.mean.high - found.mean.mean) / 24:.1f}" if found.mean.high < inf else "± ?"
    return Cell(date_text(scenario, found.mean.mean), (f"day {days_text(found.mean.mean)} {spread}",))
