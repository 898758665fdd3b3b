"""When work may happen: start + hours of work -> finish, in closed form over sorted open windows.

No polling and no event per hour: a window is found by bisection, and the hours of work before each window are summed
once. Two manners: work that pauses at a closing window and resumes at the next, and work that must fit into one.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from functools import cached_property
from itertools import accumulate
from math import inf

Piece = tuple[float, float]


class Calendar:
    """Open windows of one unit, in hours from the start: sorted, apart, each of positive length."""

    def __init__(self, windows: Sequence[Piece]) -> None:
        self.windows = list(windows)
        self._opens = [a for a, _ in windows]
        self._closes = [b for _, b in windows]
        self.always_open = self.windows == [(0.0, inf)]

    @cached_property
    def _before(self) -> list[float]:
        """Open hours before each window: only needed for work that pauses."""
        return [0.0, *accumulate(b - a for a, b in self.windows)]

    def next_open(self, at_h: float) -> float:
        """First moment from `at_h` on at which work may happen; infinity after the last window."""
        i = bisect_right(self._closes, at_h)
        return max(at_h, self._opens[i]) if i < len(self._opens) else inf

    def next_window(self, at_h: float) -> Piece:
        """What is left, from `at_h` on, of the window that is open then, or else the next; at infinity if none."""
        i = bisect_right(self._closes, at_h)
        return (max(at_h, self._opens[i]), self._closes[i]) if i < len(self._opens) else (inf, inf)

    def closes(self, at_h: float) -> float:
        """End of the window that is open at `at_h`."""
        return self._closes[bisect_right(self._closes, at_h)]

    def finish(self, start_h: float, hours: float) -> float:
        """When `hours` of work are done that pause outside the windows."""
        if hours <= 0:
            return start_h
        i = bisect_right(self._closes, start_h)
        if i == len(self._opens):
            return inf
        start_h = max(start_h, self._opens[i])
        if start_h + hours <= self._closes[i]:
            return start_h + hours
        done = self._before[i] + (start_h - self._opens[i]) + hours
        j = bisect_left(self._before, done, lo=i + 1) - 1
        return self._opens[j] + (done - self._before[j]) if j < len(self._opens) else inf

    def pieces(self, start_h: float, hours: float) -> list[Piece]:
        """The stretches of open time that `hours` of pausing work take; the last may end at infinity."""
        i = bisect_right(self._closes, start_h)
        if i < len(self._opens) and self._opens[i] <= start_h and start_h + hours <= self._closes[i]:
            return [(start_h, start_h + hours)]  # as nearly always: no need to look further
        end_h = self.finish(start_h, hours)
        j = bisect_left(self._opens, end_h)
        inside = zip(self._opens[i:j], self._closes[i:j], strict=True)
        found = [(max(a, start_h), min(b, end_h)) for a, b in inside]
        return found if end_h < inf else [*found, (inf, inf)]

    def fitting(self, start_h: float, hours: float) -> list[Piece]:
        """The first stretch within one window that holds all of `hours`; none if no window does."""
        i = bisect_right(self._closes, start_h)
        for a, b in zip(self._opens[i:], self._closes[i:], strict=True):
            begin = max(a, start_h)
            if begin + hours <= b:
                return [(begin, begin + hours)]
        return []


AROUND_THE_CLOCK = Calendar([(0.0, inf)])


def daily(opens_at: float, closes_at: float, first_hour: float, until_h: float) -> Calendar:
    """Windows from `opens_at` to `closes_at` every day, hours of the day; past midnight where they are reversed.

    `first_hour` is the hour of the day at hour zero.
    """
    length = (closes_at - opens_at) % 24 or 24.0
    if length == 24.0:
        return AROUND_THE_CLOCK
    first = opens_at - first_hour - 24.0
    days = range(int((until_h - first) // 24) + 2)
    windows = [(first + 24.0 * day, first + 24.0 * day + length) for day in days]
    return Calendar([(max(a, 0.0), b) for a, b in windows if b > 0])
