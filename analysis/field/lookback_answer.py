"""Looking back on the terminal: how far dates can be trusted in a sentence, then plan against actual hours."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.field.calibration_answer import read_sentence, show_findings
from analysis.field.lookback import Hourly, Lookback, Reached
from analysis.field.reading import FieldLog
from analysis.forecasting.summary import WELL_MILESTONES
from analysis.statistics import ShareEstimate
from analysis.wording import CONVENTION, date_text, tell
from sim.scenario.scenario import Scenario

NAMES = {column: name for name, column in WELL_MILESTONES.items()}
LEAST_H = 1.0  # causes and activities of less are not listed
DEPENDENT = (
    "Intervals are exact for independent milestones; those of one pad share its luck, so they say less than that."
)


def show(found: Lookback, log: FieldLog, scenario: Scenario, console: Console) -> None:
    """Print all of it."""
    for sentence in answer(found, scenario):
        tell(console, sentence)
    tell(console, read_sentence(log))
    console.print()
    console.print(_hours("Hours worked on what is done", "activity", found.activities, counted=True))
    console.print()
    console.print(_hours("Hours worked so far", "unit", found.units))
    console.print()
    console.print(_hours("Hours lost so far, of all units", "to", found.causes))
    tell(console, "Plan: mean of the replications, in brackets P10 and P90 of them. * the field lies outside these.")
    if found.milestones:
        console.print()
        console.print(_milestones(found, scenario))
        tell(console, f"{CONVENTION} Place: share of the replications in which it came earlier. * outside P10 to P90.")
        console.print()
        console.print(_trust(found))
        tell(console, DEPENDENT)
    show_findings(log, console)
    console.print()
    tell(console, SHORT, style="dim")


def answer(found: Lookback, scenario: Scenario) -> list[str]:
    """What matters most: how far the dates can be trusted, and where hours went otherwise than planned."""
    until = date_text(scenario, found.until_h)
    return [f"{scenario.title}, looking back on {until}: {_trust_sentence(found)}", _hours_sentence(found)]


def _trust_sentence(found: Lookback) -> str:
    covered, late = found.coverage, found.done_by(0.9)
    n = len(found.milestones)
    if covered is None or late is None:
        return "no milestone is reached yet, so nothing can be said of the forecast's dates."
    inside, by_p90 = (sum(each.inside for each in found.milestones), round(late.share * n))
    return (
        f"{inside} of {n} milestones fell from P10 to P90 ({_percents(covered)}; 80 % if the forecast is right), and "
        f"{by_p90} of {n} were reached by their P90 ({_percents(late)}). {_verdict(late)}"
    )


def _verdict(late: ShareEstimate) -> str:
    if late.high < 0.9:
        return "Dates called P90 were too early here: calibrate before trusting the next ones."
    if late.low > 0.9:
        return "Dates called P90 were safer than they say."
    return "That is no sign against its P90 dates."


def _percents(share: ShareEstimate) -> str:
    return f"{100 * share.share:.0f} % [{100 * share.low:.0f}, {100 * share.high:.0f}]"


def _hours_sentence(found: Lookback) -> str:
    """The activity and the cause that are furthest from the plan."""
    worked = [each for each in found.activities if each.outside and each.plan_h > 0]
    lost = [each for each in found.causes if each.outside and each.actual_h > each.plan_h]
    said = []
    if worked:
        most = max(worked, key=lambda each: abs(each.actual_h - each.plan_h))
        change = 100 * (most.actual_h / most.plan_h - 1)
        said.append(
            f"{most.name} took {most.actual_h:.0f} h where the plan has {most.plan_h:.0f} h, "
            f"{abs(change):.0f} % {'more' if change > 0 else 'less'}"
        )
    if lost:
        most = max(lost, key=lambda each: each.actual_h - each.plan_h)
        said.append(f"beyond the plan units lost most to {most.name}, {most.actual_h - most.plan_h:.0f} h")
    text = "; ".join(said)
    return text[0].upper() + text[1:] + "." if text else "Hours worked and lost lie within what the plan has."


def _hours(title: str, what: str, rows: tuple[Hourly, ...], *, counted: bool = False) -> Table:
    table = _table(title)
    headings = (what, *(("jobs",) if counted else ()), "plan, h", "field, h", "field over plan")
    for heading in headings:
        table.add_column(heading, overflow="fold")
    for each in rows:
        if max(each.plan_h, each.actual_h) >= LEAST_H:
            mark = "* " if each.outside else "  "
            plan = f"{each.plan_h:.0f} [{each.low_h:.0f}, {each.high_h:.0f}]"
            ratio = f"{each.actual_h / each.plan_h:.2f}" if each.plan_h >= LEAST_H else "-"
            jobs = (str(each.n),) if counted else ()
            table.add_row(mark + each.name, *jobs, plan, f"{each.actual_h:.0f}", ratio)
    return table


def _milestones(found: Lookback, scenario: Scenario) -> Table:
    title = (
        f"Milestones reached, {len(found.milestones)}; {found.still_to_come} to come, or not to be told from the log"
    )
    table = _table(title)
    for heading in ("well", "milestone", "field", "P10", "P50", "P90", "later than P50", "place"):
        table.add_column(heading, overflow="fold")
    for each in found.milestones:
        table.add_row(*_milestone(each, scenario))
    return table


def _milestone(each: Reached, scenario: Scenario) -> tuple[str, ...]:
    dates = [date_text(scenario, hours) for hours in (each.actual_h, each.p10_h, each.p50_h, each.p90_h)]
    late = f"{(each.actual_h - each.p50_h) / 24:+.1f} day"
    mark = "  " if each.inside else "* "
    return (mark + each.well, NAMES[each.milestone].lower(), *dates, late, f"{100 * each.place:.0f} %")


def _trust(found: Lookback) -> Table:
    table = _table("How far dates came true")
    for heading in ("date", "reached by it", "if the forecast is right"):
        table.add_column(heading)
    for chance in (0.1, 0.5, 0.9):
        share = found.done_by(chance)
        if share is not None:
            table.add_row(f"P{100 * chance:.0f}", _percents(share), f"{100 * chance:.0f} %")
    covered = found.coverage
    if covered is not None:
        table.add_row("P10 to P90", _percents(covered), "80 %")
    return table


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
