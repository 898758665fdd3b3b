"""When things are done: every date of the report with its interval."""

from __future__ import annotations

from math import inf

from analysis.forecasting.summary import Milestone, not_needed_text
from analysis.forecasting.terminal import INTERVALS, TOO_FEW, pad_table
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
    """Milestones of every well, each with its intervals."""
    summary, scenario = content.summary, content.scenario
    headings = ("well", *(each.name.lower() for each in next(iter(summary.wells.values()))))
    rows = tuple(
        Row((Cell(well), *(spread_cell(scenario, each) for each in own))) for well, own in summary.wells.items()
    )
    note = f"Date: P50. Below it days from the start: P50, P10, P90 and the mean. {CONVENTION} {INTERVALS} {TOO_FEW}"
    return Table("The wells", headings, rows, note)


def spread_cell(scenario: Scenario, found: Milestone) -> Cell:
    """The P50 as a date, below it all days with their intervals."""
    low, middle, high = found.quantiles
    mean = f"{found.unfinished} of {found.replications} unfinished" if found.mean.mean == inf else _mean_days(found)
    small = (_day("P50", middle), _day("P10", low), _day("P90", high), mean)
    return Cell(BEYOND if middle.value == inf else date_text(scenario, middle.value), small)


def _day(label: str, found: QuantileEstimate) -> str:
    value = "beyond" if found.value == inf else days_text(found.value)
    return f"{label} {value} {_bounds(found)}"


def _bounds(found: QuantileEstimate) -> str:
    low, high = (
        "?" if rank is None else "beyond" if bound == inf else days_text(bound)
        for rank, bound in ((found.low_rank, found.low), (found.high_rank, found.high))
    )
    return f"[{low}, {high}]"


def _mean_days(found: Milestone) -> str:
    spread = f"± {(found.mean.high - found.mean.mean) / 24:.1f}" if found.mean.high < inf else "± ?"
    return f"mean {days_text(found.mean.mean)} {spread}"


def unit_dates(content: Content) -> Table:
    """When every unit comes and leaves, with its intervals."""
    summary, scenario = content.summary, content.scenario
    rows = tuple(_row(scenario, unit, each) for unit, visits in summary.visits.items() for each in visits)
    note = f"{CONVENTION} {INTERVALS} {TOO_FEW} {not_needed_text(summary)}".rstrip()
    return Table("Units on location", ("of", "milestone", "P10", "P50", "P90", "mean"), rows, note)


def _row(scenario: Scenario, name: str, found: Milestone) -> Row:
    cells = [date_cell(scenario, each) for each in found.quantiles]
    return Row((Cell(name), Cell(found.name.lower()), *cells, _mean(scenario, found)))


def date_cell(scenario: Scenario, found: QuantileEstimate) -> Cell:
    """A date, below it the day with its interval."""
    if found.value == inf:
        return Cell(BEYOND, (_bounds(found),))
    return Cell(date_text(scenario, found.value), (_day("day", found),))


def date_bounds(scenario: Scenario, found: QuantileEstimate) -> str:
    """The interval of a date, as dates."""
    low = "?" if found.low_rank is None else date_text(scenario, found.low)
    high = "?" if found.high_rank is None else date_text(scenario, found.high)
    return low if low == high else f"{low} to {high}"


def _mean(scenario: Scenario, found: Milestone) -> Cell:
    if found.mean.mean == inf:
        return Cell("none", (f"{found.unfinished} of {found.replications} unfinished",))
    return Cell(date_text(scenario, found.mean.mean), (_mean_days(found).replace("mean", "day"),))
