"""How dates, chances and plans are put into words: one wording for terminal, files and pictures."""

from __future__ import annotations

import re
from datetime import datetime
from math import inf, isinf
from textwrap import wrap
from typing import TYPE_CHECKING

from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    from rich.console import Console

CONVENTION = "P90: 90 % chance done by that date; P10 and P50 likewise."
BEYOND = "beyond the horizon"
NEVER = "after the year 9999"
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_MONTH = "|".join(MONTHS)
_INSIDE = re.compile(rf"(?<=\d) (?=%|±|(?:{_MONTH})\b)|(?<={_MONTH}) (?=\d{{4}}\b)|(?<=±) |(?<=day) (?=\d)")
"""Spaces inside a date, a percentage or an interval."""


def in_words(number: int) -> str:
    """Small counts as words."""
    return _WORDS[number] if number < len(_WORDS) else str(number)


def date_text(scenario: Scenario, hours: float) -> str:
    """A calendar date, with its year where it is not that of the start."""
    if isinf(hours):
        return BEYOND if hours > 0 else "unknown"
    moment = _moment(scenario, hours)
    if moment is None:
        return NEVER
    return _date(moment) if moment.year == scenario.start.year else f"{_date(moment)} {moment.year}"


def _moment(scenario: Scenario, hours: float) -> datetime | None:
    """The moment, unless it is one that no calendar reaches: a slip in a rate can make a stage last ages."""
    try:
        return scenario.moment_at(hours)
    except OverflowError:
        return None


def _date(moment: datetime) -> str:
    return f"{moment.day} {MONTHS[moment.month - 1]}"


def full_date(scenario: Scenario, hours: float) -> str:
    """Date and time of day as ISO 8601, or in words where the run did not get there."""
    if isinf(hours):
        return BEYOND if hours > 0 else "unknown"
    moment = _moment(scenario, hours)
    return NEVER if moment is None else moment.isoformat(sep=" ", timespec="minutes")


def by_text(scenario: Scenario, middle_h: float, late_h: float) -> str:
    """By when something is done, from its P50 and P90, said so that the horizon reads as no date."""
    if isinf(middle_h):
        return f"more likely than not {BEYOND}"
    likely = f"by {date_text(scenario, middle_h)} (P50)"
    if isinf(late_h):
        return f"{likely}, with 90 % confidence only {BEYOND}"
    return f"{likely}, by {date_text(scenario, late_h)} with 90 % confidence (P90)"


def days_text(hours: float) -> str:
    """Days since the start."""
    return {inf: "-", -inf: "-"}.get(hours) or f"{hours / 24:.1f}"


def percent(share: float) -> str:
    """A share as a whole percentage; what is small but not nothing does not read 0."""
    return "<1 %" if 0 < share <= 0.005 else f"{100 * share:.0f} %"


def strategy_text(scenario: Scenario) -> str:
    """The strategy in the trade's words."""
    strategy = scenario.strategy
    size = max(len(group) for group in scenario.groups)
    if strategy.pumped_together > 1:
        return f"simultaneous, {in_words(strategy.pumped_together)} wells pumped at once, {in_words(size)} in rotation"
    return "one well at a time" if size == 1 else f"zipper of {in_words(size)}"


def held_together(text: str) -> str:
    """Text in which no line can end inside a date, a percentage or an interval."""
    return _INSIDE.sub("\N{NO-BREAK SPACE}", text)


def lines(text: str, width: int, hanging: str = "") -> list[str]:
    """Text broken into lines, but never inside a date or an interval; `hanging` indents all lines but the first."""
    broken = wrap(held_together(text), max(width, 20), subsequent_indent=hanging, break_on_hyphens=False)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in broken]


def in_two_lines(path: str) -> str:
    """A long path broken after a dot, near its middle."""
    dots = [place for place, letter in enumerate(path) if letter == "."]
    if len(path) < 24 or not dots:
        return path
    at = min(dots, key=lambda place: abs(place - len(path) / 2)) + 1
    return f"{path[:at]}\n{path[at:]}"


def tell(console: Console, text: str, hanging: str = "", style: str | None = None) -> None:
    """Print a sentence or two, broken into lines that fit."""
    for line in lines(text, console.width, hanging):
        console.print(line, style=style)
