"""How dates, chances and plans are put into words: one wording for terminal, files and pictures."""

from __future__ import annotations

from datetime import datetime
from math import inf, isinf

from sim.scenario.scenario import Scenario

CONVENTION = "P10, P50, P90: 10, 50, 90 % chance done by."
BEYOND = "beyond the horizon"
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def in_words(number: int) -> str:
    """Small counts as words."""
    return _WORDS[number] if number < len(_WORDS) else str(number)


def date_text(scenario: Scenario, hours: float) -> str:
    """A calendar date, with its year where it is not that of the start."""
    if isinf(hours):
        return BEYOND if hours > 0 else "unknown"
    moment = scenario.moment_at(hours)
    return _date(moment) if moment.year == scenario.start.year else f"{_date(moment)} {moment.year}"


def _date(moment: datetime) -> str:
    return f"{moment.day} {MONTHS[moment.month - 1]}"


def full_date(scenario: Scenario, hours: float) -> str:
    """Date and time of day as ISO 8601, empty where it is not reached."""
    return "" if isinf(hours) else scenario.moment_at(hours).isoformat(sep=" ", timespec="minutes")


def days_text(hours: float) -> str:
    """Days since the start."""
    return {inf: "-", -inf: "-"}.get(hours) or f"{hours / 24:.1f}"


def percent(share: float) -> str:
    """A share as a whole percentage; what is small but not nothing does not read 0."""
    return "<1 %" if 0 < share < 0.005 else f"{100 * share:.0f} %"


def strategy_text(scenario: Scenario) -> str:
    """The strategy in the trade's words."""
    strategy = scenario.strategy
    size = max(len(group) for group in scenario.groups)
    if strategy.pumped_together > 1:
        return f"simultaneous, {in_words(strategy.pumped_together)} wells pumped at once, {in_words(size)} in rotation"
    return "one well at a time" if size == 1 else f"zipper of {in_words(size)}"
