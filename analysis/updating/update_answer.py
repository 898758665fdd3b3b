"""An update on the terminal: the new dates in a sentence, beside those before, and what moved them."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf, isinf
from typing import NamedTuple

from rich.console import Console
from rich.table import Table

from analysis.statistics import MeanEstimate, QuantileEstimate
from analysis.updating.update import ALL, FIRST, MEANING, Update, dates
from analysis.updating.update_history import Entry
from analysis.wording import CONVENTION, by_text, date_text, days_text, full_date, tell
from sim.scenario.scenario import Scenario

ADD_UP = (
    "Terms are differences of mean dates between forecasts that each change one thing more, in this order, under the "
    "same luck; they add up to the whole change exactly."
)
SHOWN = {FIRST: "First well", ALL: "Every well"}


class Compared(NamedTuple):
    """An update beside the plan and the last update; `played` are its replications and its seed."""

    found: Update
    plan: Scenario
    as_of_h: float
    last: Entry | None
    played: tuple[int, int]

    @property
    def moved_since(self) -> Mapping[str, float]:
        """Days by which each term has moved the mean date of the last well since the last update, where that holds."""
        if self.last is None or self.last.played != self.played or ALL not in self.last.terms:
            return {}
        now = {term.name: term.days.mean for term in self.found.terms[ALL]}
        names = dict.fromkeys([*now, *self.last.terms[ALL]]) if now else {}
        return {name: now.get(name, 0.0) - self.last.terms[ALL].get(name, 0.0) for name in names}


def show_answer(it: Compared, console: Console) -> None:
    """Print the new dates in a sentence, and what moved them most."""
    tell(console, _sentence(it))
    if it.found.terms[ALL]:
        tell(console, _mover(it))


def show_dates(it: Compared, console: Console) -> None:
    """Print the new dates beside the others, and what moved them."""
    console.print()
    console.print(_dates_table(it))
    tell(
        console,
        f"{CONVENTION} Brackets: 95 % confidence interval, in days from the start. {it.played[0]} replications.",
    )
    if any(it.found.terms.values()):
        console.print()
        console.print(_terms_table(it))
        tell(console, f"{ADD_UP} Brackets: 95 % confidence interval.{_why_no_change(it)}")


def _sentence(it: Compared) -> str:
    found, plan, last = it.found, it.plan, it.last
    _, middle, late = dates(found.now[:, found.milestones.index(ALL)])
    text = f"{plan.title}, as of {full_date(plan, it.as_of_h)}: every well on production "
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


def _mover(it: Compared) -> str:
    most = max(it.found.terms[ALL], key=lambda term: abs(term.days.mean))
    days = f"{_signed(most.days.mean)} days {_bracket(most.days)}"
    text = f"What moved it most from the original plan is {most.name} ({MEANING[most.name]}): {days}."
    if _signed(most.days.mean) == "0.0":
        text = "Nothing has moved it from the original plan."
    since = it.moved_since
    if since:
        name = max(since, key=lambda each: abs(since[each]))
        moved = _signed(since[name])
        text += " Nor since the last update." if moved == "0.0" == _signed(most.days.mean) else ""
        text += f" Since the last update it is {name}: {moved} days." if moved != "0.0" else ""
    return text


def _why_no_change(it: Compared) -> str:
    if it.last is None or it.moved_since:
        return ""
    n, seed = it.last.played
    if it.last.played != it.played and n:
        return f" The last update was played with {n} replications and seed {seed}: no terms since then."
    return ""


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


def _dates_table(it: Compared) -> Table:
    plan, last = it.plan, it.last
    table = _table("Dates", "on production", "P10", "P50", "P90", "last update, P50 (P90)", "original plan, P50 (P90)")
    for k, name in enumerate(it.found.milestones):
        said = "no earlier update"
        if last is not None:
            before = [inf if hours is None else hours for hours in last.milestones.get(name, [None] * 3)]
            said = _two(plan, before[1], before[2])
        original = dates(it.found.original[:, k])
        was = _two(plan, original[1].value, original[2].value)
        table.add_row(SHOWN.get(name, name), *(_cell(plan, each) for each in dates(it.found.now[:, k])), said, was)
    return table


def _two(plan: Scenario, middle_h: float, late_h: float) -> str:
    return f"{date_text(plan, middle_h)} ({date_text(plan, late_h)})"


def _cell(plan: Scenario, each: QuantileEstimate) -> str:
    low, high = (days_text(bound) if not isinf(bound) else "?" for bound in (each.low, each.high))
    return f"{date_text(plan, each.value)}\nday {days_text(each.value)} [{low}, {high}]"


def _terms_table(it: Compared) -> Table:
    found, since = it.found, it.moved_since
    headings = ("", "first well", "every well", *(("every well, since the last update",) if since else ()), "meaning")
    table = _table("What moved the mean date, in days", *headings)
    for number, term in enumerate(found.terms[ALL]):
        first = found.terms[FIRST][number].days if found.terms[FIRST] else None
        moved = (_signed(since[term.name]),) if since else ()
        table.add_row(term.name, _days(first), _days(term.days), *moved, MEANING[term.name])
    firsts = found.total[FIRST] if found.terms[FIRST] else None
    moved = (_signed(sum(since.values())),) if since else ()
    table.add_row("in all", _days(firsts), _days(found.total[ALL]), *moved, "from the original plan to now")
    return table


def _days(days: MeanEstimate | None) -> str:
    return "-" if days is None else f"{_signed(days.mean)} {_bracket(days)}"
