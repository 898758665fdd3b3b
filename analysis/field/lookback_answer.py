"""Looking back on the terminal: how far dates can be trusted in a sentence, then plan against actual hours."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.field.calibration_answer import read_sentence, show_findings
from analysis.field.lookback import Hourly, Lookback
from analysis.field.milestones import Met, Milestone
from analysis.field.reading import FieldLog
from analysis.forecasting.summary import WELL_MILESTONES
from analysis.statistics import ShareEstimate
from analysis.wording import CONVENTION, date_text, tell
from sim.scenario.scenario import Scenario

NAMES = {column: name for name, column in WELL_MILESTONES.items()}
LISTED = 3  # milestones named in a sentence
LEAST_H = 1.0  # causes and activities of less are not listed
COUNTED = "Counted are milestones whose date is past when the log ends, reached or not."
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
        tell(
            console,
            f"{CONVENTION} Place: share of the replications in which it came earlier. * outside P10 to P90. "
            "Not yet: not reached when the log ends.",
        )
        console.print()
        console.print(_trust(found))
        tell(console, f"{COUNTED} {DEPENDENT}")
    show_findings(log, console)
    console.print()
    tell(console, SHORT, style="dim")


def answer(found: Lookback, scenario: Scenario) -> list[str]:
    """What matters most: how far the dates can be trusted, and where hours went otherwise than planned."""
    until = date_text(scenario, found.until_h)
    said = [f"{scenario.title}, looking back on {until}: {_trust_sentence(found)}"]
    return [*said, *_late_sentence(found), *_untold_sentence(found), _hours_sentence(found)]


def _trust_sentence(found: Lookback) -> str:
    covered, late = found.coverage, found.done_by(0.9)
    if late.share is None:
        return "no milestone's P90 is past yet, so nothing can be said of dates with that confidence."
    of = "of one milestone whose P90 is past" if late.n == 1 else f"of {late.n} milestones whose P90 is past"
    return (
        f"{of}, {covered.hits} fell from P10 to P90 ({_percents(covered)}; 80 % if the forecast is right), and "
        f"{late.hits} {'was' if late.hits == 1 else 'were'} reached by P90 ({_percents(late)}). {_verdict(late.share)}"
    )


def _late_sentence(found: Lookback) -> list[str]:
    """What should be there with 90 % confidence and is not."""
    late = [each for each in found.milestones if not each.reached and each.is_due(0.9)]
    if not late:
        return []
    named = [f"{_name(each)} (P90 {_days(found.until_h - each.p90_h)} ago)" for each in late[:LISTED]]
    return [f"Not reached although the P90 is past: {_listed(named, len(late))}."]


def _untold_sentence(found: Lookback) -> list[str]:
    if not found.untold:
        return []
    named = [_name(each) for each in found.untold[:LISTED]]
    return [
        f"The log does not tell of these, whose P90 is past; they are not counted: {_listed(named, len(found.untold))}."
    ]


def _name(milestone: Milestone) -> str:
    return f"{milestone.well}, {NAMES[milestone.milestone].lower()}"


def _days(hours: float) -> str:
    return f"{hours / 24:.1f} days"


def _listed(named: list[str], of: int) -> str:
    return "; ".join(named) + (f"; and {of - len(named)} more" if of > len(named) else "")


def _verdict(late: ShareEstimate) -> str:
    if late.high < 0.9:
        return "Dates called P90 were too early here: calibrate before trusting the next ones."
    if late.low > 0.9:
        return "Dates called P90 were safer than they say."
    return "As a share that is no sign against its P90 dates."


def _percents(met: Met) -> str:
    share = met.share
    if share is None:
        return "-"
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
    reached = sum(each.reached for each in found.milestones)
    late = len(found.milestones) - reached
    some = f", {late} past P10 and not reached" if late else ""
    title = f"Milestones: {reached} reached{some}; {found.still_to_come} to come, or not told by the log"
    table = _table(title)
    for heading in ("well", "milestone", "field", "P10", "P50", "P90", "later than P50", "place"):
        table.add_column(heading, overflow="fold")
    for each in found.milestones:
        table.add_row(*_milestone(each, found.until_h, scenario))
    return table


def _milestone(each: Milestone, until_h: float, scenario: Scenario) -> tuple[str, ...]:
    dates = [date_text(scenario, hours) for hours in (each.p10_h, each.p50_h, each.p90_h)]
    so_far_h = min(each.actual_h, until_h) - each.p50_h
    more = "" if each.reached else "> "
    return (
        ("* " if each.outside else "  ") + each.well,
        NAMES[each.milestone].lower(),
        date_text(scenario, each.actual_h) if each.reached else "not yet",
        *dates,
        f"{more}{so_far_h / 24:+.1f} day",
        f"{more}{100 * each.place:.0f} %",
    )


def _trust(found: Lookback) -> Table:
    table = _table("How far dates came true")
    for heading in ("date", "reached by it", "if the forecast is right"):
        table.add_column(heading)
    for met in map(found.done_by, (0.1, 0.5, 0.9)):
        table.add_row(f"P{100 * met.chance:.0f}", _counted(met), f"{100 * met.chance:.0f} %")
    table.add_row("P10 to P90", _counted(found.coverage), "80 %")
    return table


def _counted(met: Met) -> str:
    return f"{met.hits} of {met.n}: {_percents(met)}" if met.n else "-"


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
