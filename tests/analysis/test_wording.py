"""Dates, chances and plans in words, and lines that never break where a reader would stumble."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis import wording
from sim.scenario.scenario import Scenario
from tests.pads import pad, well


def scenario(wells: int = 1, **strategy: object) -> Scenario:
    """A pad that starts at midnight, 1 March 2027."""
    return pad([well(f"W{k}", 1, "1 h", "1 h", toe=True) for k in range(wells)], strategy)


def test_dates_carry_their_year_only_where_it_changes() -> None:
    """Day and month; the year when it is not that of the start."""
    assert wording.date_text(scenario(), 0.0) == "1 Mar"
    assert wording.date_text(scenario(), 24.0 * 31) == "1 Apr"
    assert wording.date_text(scenario(), 24.0 * 306) == "1 Jan 2028"


def test_dates_that_no_run_reached_are_said_in_words() -> None:
    """Infinity is beyond the horizon, in the answer as in the files; what no calendar holds is said too."""
    for say in (wording.date_text, wording.full_date):
        assert say(scenario(), inf) == "beyond the horizon"
        assert say(scenario(), -inf) == "unknown"
        assert say(scenario(), 1e9) == "after the year 9999"


def test_full_dates_are_iso_8601() -> None:
    """Date and local time to the minute, as spreadsheets read it."""
    assert wording.full_date(scenario(), 30.5) == "2027-03-02 06:30"


@pytest.mark.parametrize(
    ("share", "text"), [(0.0, "0 %"), (0.004, "<1 %"), (0.005, "<1 %"), (0.0051, "1 %"), (1.0, "100 %")]
)
def test_small_shares_do_not_read_as_nothing(share: float, text: str) -> None:
    """Whole percentages, but what is below half a percent is told from nothing at all."""
    assert wording.percent(share) == text


def test_days_and_counts() -> None:
    """Days with one decimal; small counts as words."""
    assert (wording.days_text(36.0), wording.days_text(inf)) == ("1.5", "-")
    assert (wording.in_words(6), wording.in_words(40)) == ("six", "40")


@pytest.mark.parametrize(
    ("wells", "strategy", "text"),
    [
        (1, {}, "one well at a time"),
        (4, {"wells_in_rotation": 1}, "one well at a time"),
        (4, {"wells_in_rotation": 3}, "zipper of three"),
        (4, {"wells_in_rotation": 4, "pumped_together": 2}, "simultaneous, two wells pumped at once, four in rotation"),
    ],
)
def test_strategies_by_their_trade_names(wells: int, strategy: dict[str, int], text: str) -> None:
    """Sequential, zipper and simultaneous are told by the settings that make them."""
    assert wording.strategy_text(scenario(wells, **strategy)) == text


def test_convention_is_spelled_out() -> None:
    """The sentence that stands wherever percentiles do."""
    assert wording.CONVENTION.startswith("P90: 90 % chance done by")


SENTENCE = "Pad: first by 16 Mar (P50), day 15.8 ± 0.3, later by 1 Apr 2028 in 97 % of all, 5.0 ± 0.1 % of the time."
WHOLE = ("16 Mar", "day 15.8 ± 0.3", "1 Apr 2028", "97 %", "5.0 ± 0.1 %")


@given(st.integers(20, 140))
def test_lines_break_between_things(width: int) -> None:
    """Nothing is lost or longer than asked for, and dates, percentages and intervals stay on one line."""
    broken = wording.lines(SENTENCE, width, hanging="  ")
    assert " ".join(line.strip() for line in broken) == SENTENCE
    assert all(len(line) <= width for line in broken)
    for whole in WHOLE:
        assert any(whole in line for line in broken), (whole, broken)
    assert all(line.startswith("  ") for line in broken[1:])
