"""An update on the terminal: the new dates in a sentence, beside those before, and what moved them."""

from __future__ import annotations

from math import inf, isinf

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.statistics import MeanEstimate, QuantileEstimate
from analysis.updating.update import ALL, FIRST, MEANING, Update, dates
from analysis.updating.update_history import Entry
from analysis.wording import CONVENTION, by_text, date_text, days_text, full_date, tell
from sim.scenario.scenario import Scenario

ADD_UP = (
    "Terms are differences of mean dates between forecasts that each change one thing more, in this order, under the "
    "same luck; they add up to the whole change exactly."
)


def show(
    found: Update, plan: Scenario, as_of_h: float, last: Entry | None, told: list[str], n: int, console: Console
) -> None:
    """Print the whole answer."""
    tell(console, _sentence(found, plan, as_of_h, last))
    if found.terms[ALL]:
        tell(console, _mover(found))
    for text in told:
        tell(console, f"Said by the log: {text}." if text.startswith("line") else f"Note: {text}.", hanging="  ")
    console.print()
    console.print(_dates_table(found, plan, last))
    tell(console, f"{CONVENTION} Brackets: 95 % confidence interval, in days from the start. {n} replications.")
    if any(found.terms.values()):
        console.print()
        console.print(_terms_table(found))
        tell(console, f"{ADD_UP} Brackets: 95 % confidence interval.")
    console.print()
    tell(console, SHORT, style="dim")


def _sentence(found: Update, plan: Scenario, as_of_h: float, last: Entry | None) -> str:
    k = found.milestones.index(ALL)
    _, middle, late = dates(found.now[:, k])
    text = f"{plan.title}, as of {full_date(plan, as_of_h)}: every well on production "
    text += by_text(plan, middle.value, late.value) + "."
    change = found.total[ALL]
    if not isinf(change.mean):
        text += f" That is {_later(change.mean)} than the original plan in the mean {_bracket(change)}."
    before_h = None if last is None else last.milestones.get(ALL, [None] * 3)[1]
    if last is not None and before_h is not None and not isinf(middle.value):
        moved = (middle.value - before_h) / 24
        text += f" The update of {date_text(plan, last.as_of_h)} had it by {date_text(plan, before_h)} (P50)"
        text += f": {_later(moved)} now." if abs(moved) >= 0.05 else ", the same."
    return text


def _mover(found: Update) -> str:
    most = max(found.terms[ALL], key=lambda term: abs(term.days.mean))
    days = f"{_signed(most.days.mean)} days {_bracket(most.days)}"
    return f"What moved it most is {most.name} ({MEANING[most.name]}): {days}."


def _later(days: float) -> str:
    if abs(days) < 0.05:
        return "no earlier and no later"
    return f"{abs(days):.1f} days {'later' if days > 0 else 'earlier'}"


def _signed(days: float) -> str:
    text = f"{days:+.1f}"
    return "0.0" if text in {"+0.0", "-0.0"} else text


def _bracket(days: MeanEstimate) -> str:
    if isinf(days.low):
        return "[?]"
    return f"[{_signed(days.low)}, {_signed(days.high)}]"


def _table(title: str, *headings: str) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table


def _dates_table(found: Update, plan: Scenario, last: Entry | None) -> Table:
    table = _table("Dates", "on production", "P10", "P50", "P90", "last update, P50", "original plan, P50 (P90)")
    for k, name in enumerate(found.milestones):
        said = "no earlier update"
        if last is not None:
            before_h = last.milestones.get(name, [None] * 3)[1]
            said = date_text(plan, inf if before_h is None else before_h)
        original = dates(found.original[:, k]) if k < found.original.shape[1] else None
        was = (
            "-" if original is None else f"{date_text(plan, original[1].value)} ({date_text(plan, original[2].value)})"
        )
        shown = name if name not in {FIRST, ALL} else {FIRST: "First well", ALL: "Every well"}[name]
        table.add_row(shown, *(_cell(plan, each) for each in dates(found.now[:, k])), said, was)
    return table


def _cell(plan: Scenario, each: QuantileEstimate) -> str:
    low, high = (days_text(bound) if not isinf(bound) else "?" for bound in (each.low, each.high))
    return f"{date_text(plan, each.value)}\nday {days_text(each.value)} [{low}, {high}]"


def _terms_table(found: Update) -> Table:
    table = _table("What moved the mean date, in days", "", "first well", "every well", "meaning")
    for number, term in enumerate(found.terms[ALL]):
        first = found.terms[FIRST][number].days if found.terms[FIRST] else None
        table.add_row(term.name, _days(first), _days(term.days), MEANING[term.name])
    firsts = found.total[FIRST] if found.terms[FIRST] else None
    table.add_row("in all", _days(firsts), _days(found.total[ALL]), "from the original plan to now")
    return table


def _days(days: MeanEstimate | None) -> str:
    return "-" if days is None else f"{_signed(days.mean)} {_bracket(days)}"
