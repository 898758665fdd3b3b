"""Where the pad stands, on the terminal: a table of wells and one of units with the work under way."""

from __future__ import annotations

from collections.abc import Mapping
from math import isinf

from rich.console import Console
from rich.table import Table

from analysis.statistics import quantile
from analysis.updating.pad_state import UnitState, WellState
from analysis.updating.update import Hours, Update
from analysis.wording import date_text, full_date, tell
from sim.scenario.scenario import Scenario
from sim.standing import Job

NOT_YET = "-"
HOW = (
    "Left: hours until the job is over, with whatever stops it, given that it has taken so long and is not over: P50, "
    "and P90 in brackets (90 % chance done by then)."
)


def show_state(
    wells: list[WellState], units: list[UnitState], found: Update, levels: Mapping[str, float], plan: Scenario,
    as_of_h: float, console: Console,
) -> None:  # fmt: skip
    """Print where the pad stands."""
    console.print()
    console.print(_wells_table(wells, plan))
    console.print()
    left = {_key(job): found.ends[:, k] - as_of_h for k, job in enumerate(found.under_way)}
    console.print(_units_table(units, left, plan, as_of_h))
    if left:
        tell(console, HOW)
    if levels:
        tell(console, "Told: " + ", ".join(f"{name} holds {level:,.0f}" for name, level in levels.items()) + ".")


def _key(job: Job) -> tuple[str, str, str, int]:
    return job.unit, job.activity, job.well, job.stage


def _table(title: str, *headings: str) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table


def _wells_table(wells: list[WellState], plan: Scenario) -> Table:
    headings = ("well", "prepared", "stages pumped", "fractured", "plugs milled", "drilled out", "flowback since")
    table = _table("Where the wells stand", *headings, "on production")
    for each in wells:
        reached = each.reached
        table.add_row(
            each.well,
            _day(reached.prepared_h, plan),
            f"{each.stages} of {each.of_stages}",
            _day(reached.fracturing_end_h, plan),
            f"{each.plugs_milled} of {each.of_plugs}",
            _day(reached.drilled_out_h, plan),
            _day(reached.flowback_start_h, plan),
            _day(reached.on_production_h, plan),
        )
    return table


def _day(hours: float, plan: Scenario) -> str:
    return NOT_YET if isinf(hours) else date_text(plan, hours)


def _units_table(
    units: list[UnitState], left: Mapping[tuple[str, str, str, int], Hours], plan: Scenario, as_of_h: float
) -> Table:
    table = _table("What the units are at", "unit", "where", "at", "since", "worked, h", "lost, h", "left, h")
    for each in units:
        name = each.unit or "(no unit)"
        for job in each.at:
            table.add_row(name, each.place, _what(job), *_elapsed(job, plan), _left(left.get(_key(job))))
        if not each.at:
            table.add_row(name, each.place, *[NOT_YET] * 5)
    return table


def _what(job: Job) -> str:
    place = f" of {job.well}" if job.well else ""
    text = f"{job.activity}{f' {job.stage}' if job.stage else ''}{place}"
    if job.in_trouble:
        return f"{text}, in {job.in_trouble}"
    return f"{text}, stopped by {job.lost[-1][0]}" if job.is_waiting and job.lost else text


def _elapsed(job: Job, plan: Scenario) -> tuple[str, str, str]:
    return full_date(plan, job.start_h), f"{job.worked_h:.1f}", f"{sum(hours for _, hours in job.lost):.1f}"


def _left(hours: Hours | None) -> str:
    if hours is None or not len(hours):
        return NOT_YET
    middle, late = quantile(hours, 0.5), quantile(hours, 0.9)
    return f"{_hours(middle)} ({_hours(late)})"


def _hours(hours: float) -> str:
    return "beyond the horizon" if isinf(hours) else f"{max(hours, 0.0):.1f}"
