"""Arithmetic of windows against counting hour by hour."""

from __future__ import annotations

from itertools import pairwise
from math import inf
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.chance.windows import Window, union, within, without

HOURS = 40  # whole hours that a brute-force check looks at; infinity is anything beyond
FOR_EVER = 1000

fixed = settings(derandomize=True, deadline=None, max_examples=400)


def windows_of(edges: list[int], endless: bool) -> list[Window]:
    """Sorted windows, apart, between successive edges."""
    ends = [float(edge) for edge in sorted(edges)]
    ends = ends[: len(ends) // 2 * 2]
    windows = list(zip(ends[::2], ends[1::2], strict=True))
    return [*windows[:-1], (windows[-1][0], inf)] if windows and endless else windows


some_windows = st.builds(windows_of, st.lists(st.integers(0, HOURS), unique=True, max_size=16), st.booleans())


def covered(windows: list[Window]) -> set[int]:
    """Whole hours that lie in the windows."""
    return {hour for hour in [*range(HOURS + 1), FOR_EVER] if any(a <= hour < b for a, b in windows)}


def assert_in_order(windows: list[Window]) -> None:
    """Sorted, apart, each of positive length."""
    assert all(a < b for a, b in windows)
    assert all(end < begin for (_, end), (begin, _) in pairwise(windows))


@fixed
@given(some_windows, some_windows)
def test_taking_out_leaves_what_was_in_the_one_and_not_in_the_other(
    windows: list[Window], stopped: list[Window]
) -> None:
    """Hour by hour, with and without an infinite last window on either side."""
    left = without(windows, stopped)
    assert_in_order(left)
    assert covered(left) == covered(windows) - covered(stopped)


@fixed
@given(st.lists(some_windows, max_size=4))
def test_union_holds_what_is_in_any(several: list[list[Window]]) -> None:
    """Hour by hour; windows that touch become one."""
    joined = union(*several)
    assert_in_order(joined)
    assert covered(joined) == set().union(*(covered(each) for each in several))


@fixed
@given(some_windows, st.integers(0, HOURS))
def test_within_keeps_what_lies_before_the_horizon(windows: list[Window], until: int) -> None:
    """Nothing before hour zero, nothing beyond the horizon, nothing of no length."""
    shifted = [(a - 5, b - 5) for a, b in windows]
    kept = within(shifted, float(until))
    assert_in_order(kept)
    assert covered(kept) == covered(shifted) & set(range(until))


def test_all_of_time_but_the_stoppages() -> None:
    """Work around the clock goes on for ever after the last stoppage."""
    assert without([(0.0, inf)], [(0.0, 3.5), (10.0, 12.0)]) == [(3.5, 10.0), (12.0, inf)]
    assert without([(0.0, inf)], []) == [(0.0, inf)]
    assert without([(0.0, inf)], [(4.0, inf)]) == [(0.0, 4.0)]


def test_one_stoppage_over_many_shifts() -> None:
    """A stoppage that outlasts a shift reaches into the following ones."""
    shifts = [(24.0 * day, 24.0 * day + 12.0) for day in range(5)]
    assert without(shifts, [(6.0, 80.0)]) == [(0.0, 6.0), (80.0, 84.0), (96.0, 108.0)]


class Counted(list[Window]):
    """A list that counts how often it is looked into."""

    looks = 0

    def __getitem__(self, index: Any) -> Any:
        self.looks += 1
        return super().__getitem__(index)


@pytest.mark.parametrize("stretch", [0.5, 3.0, 1000.0])
def test_taking_out_takes_one_pass(stretch: float) -> None:
    """Looks grow with the number of windows, not with its square, however the two lists lie to each other."""
    n = 400
    shifts = [(24.0 * day, 24.0 * day + 12.0) for day in range(n)]
    stopped = Counted((stretch * 2 * k, stretch * (2 * k + 1)) for k in range(n))
    without(shifts, stopped)
    assert stopped.looks <= 6 * (n + n)
