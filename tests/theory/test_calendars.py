"""Working hours in closed form against counting minute by minute."""

from __future__ import annotations

from itertools import pairwise
from math import inf

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sim.calendars import AROUND_THE_CLOCK, Calendar, daily

fixed = settings(derandomize=True, deadline=None, max_examples=500)
LAST = 400


@st.composite
def windows(draw: st.DrawFn) -> list[tuple[int, int]]:
    """Windows between whole minutes, apart from one another."""
    edges = sorted(draw(st.sets(st.integers(0, LAST), min_size=2, max_size=16)))
    return [(edges[k], edges[k + 1]) for k in range(0, len(edges) - 1, 2)]


def calendar(stated: list[tuple[int, int]]) -> Calendar:
    return Calendar([(float(a), float(b)) for a, b in stated])


def is_open(stated: list[tuple[int, int]], minute: int) -> bool:
    """Whether the minute that begins then is worked."""
    return any(a <= minute < b for a, b in stated)


def worked_minutes(stated: list[tuple[int, int]], start: int) -> list[int]:
    return [minute for minute in range(start, LAST) if is_open(stated, minute)]


starts, lengths = st.integers(0, LAST), st.integers(1, 200)


@fixed
@given(windows(), starts, lengths)
def test_pausing_work_ends_with_its_last_minute(stated: list[tuple[int, int]], start: int, length: int) -> None:
    """The end is that of the last minute worked, never the next opening; infinity if the windows do not suffice."""
    minutes = worked_minutes(stated, start)
    expected = minutes[length - 1] + 1 if len(minutes) >= length else inf
    assert calendar(stated).finish(start, length) == expected


@fixed
@given(windows(), starts, lengths)
def test_pieces_are_the_minutes_worked(stated: list[tuple[int, int]], start: int, length: int) -> None:
    """Pieces cover exactly the open minutes that the work takes: none outside a window, none twice."""
    minutes = worked_minutes(stated, start)
    pieces = calendar(stated).pieces(start, length)
    assert (pieces[-1] == (inf, inf)) == (len(minutes) < length)
    found = [minute for a, b in pieces if a < inf for minute in range(int(a), int(b))]
    assert found == minutes[:length]
    assert all(a < b for a, b in pieces if a < inf)
    assert all(before[1] < after[0] for before, after in pairwise(pieces))


@fixed
@given(windows(), starts, lengths)
def test_fitting_work_takes_the_first_stretch_that_holds_it(
    stated: list[tuple[int, int]], start: int, length: int
) -> None:
    """All of its minutes are open, and no earlier start has that; no stretch at all if no window is long enough."""
    begins = (b for b in range(start, LAST) if all(is_open(stated, m) for m in range(b, b + length)))
    begin = next(begins, None)
    expected = [] if begin is None else [(begin, begin + length)]
    assert calendar(stated).fitting(start, length) == expected


@fixed
@given(windows(), starts)
def test_next_opening(stated: list[tuple[int, int]], start: int) -> None:
    """The first minute from then on that is worked; and an open window closes where its minutes end."""
    minutes = worked_minutes(stated, start)
    assert calendar(stated).next_open(start) == (minutes[0] if minutes else inf)
    if minutes and minutes[0] == start:
        assert calendar(stated).closes(start) == next(m for m in range(start, LAST + 1) if not is_open(stated, m))


@fixed
@given(windows(), starts, lengths, lengths)
def test_work_in_two_goes_ends_when_work_in_one_does(
    stated: list[tuple[int, int]], start: int, first: int, second: int
) -> None:
    """finish(finish(s, a), b) = finish(s, a + b)."""
    hours = calendar(stated)
    assert hours.finish(hours.finish(start, first), second) == hours.finish(start, first + second)
    assert hours.finish(start, 0) == start


@fixed
@given(windows(), st.floats(0, LAST), st.floats(0.001, 100))
def test_no_piece_lies_outside_a_window(stated: list[tuple[int, int]], start: float, length: float) -> None:
    """Also between whole minutes; and the pieces add up to the work."""
    hours = calendar(stated)
    pieces = hours.pieces(start, length)
    assume(pieces[-1][1] < inf)
    assert sum(b - a for a, b in pieces) == pytest.approx(length, rel=1e-9, abs=1e-9)
    assert pieces[-1][1] == hours.finish(start, length)
    for a, b in pieces:
        assert any(opens <= a <= b <= closes for opens, closes in stated)


@fixed
@given(st.integers(0, 23), st.integers(0, 24), st.integers(0, 23), st.integers(0, 200))
def test_daily_windows_follow_the_clock(opens: int, closes: int, first_hour: int, until: int) -> None:
    """Every hour up to the horizon is worked exactly when the clock stands inside the window, also past midnight."""
    assume(opens != closes)
    hours = daily(opens, closes, first_hour, until)
    for hour in range(until + 1):
        clock = (first_hour + hour) % 24
        inside = opens <= clock < closes if opens < closes else clock >= opens or clock < closes
        assert (hours.next_open(hour) == hour) == inside


def test_day_shift_by_hand() -> None:
    """From 20:00 on, ten hours of work at 06:00-18:00 end at 16:00 the next day, fifteen at 09:00 the day after."""
    day = daily(6, 18, first_hour=20, until_h=100)
    assert day.finish(0, 10) == 20
    assert day.finish(0, 15) == 37
    assert day.pieces(0, 15) == [(10, 22), (34, 37)]
    assert day.fitting(21, 2) == [(34, 36)]


def test_around_the_clock_nothing_pauses() -> None:
    """Work around the clock ends when it would without a calendar."""
    assert daily(0, 24, 6, 1000) is AROUND_THE_CLOCK
    assert AROUND_THE_CLOCK.finish(12.5, 30) == 42.5
    assert AROUND_THE_CLOCK.pieces(12.5, 30) == AROUND_THE_CLOCK.fitting(12.5, 30) == [(12.5, 42.5)]
