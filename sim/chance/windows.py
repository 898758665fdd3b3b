"""Arithmetic of windows: stretches of time, in hours, sorted, apart, each of positive length.

Only the last may end at infinity. Every operation takes one pass over its windows.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from heapq import merge
from math import inf
from operator import itemgetter

Window = tuple[float, float]

_begin, _end = itemgetter(0), itemgetter(1)


def union(*several: Iterable[Window]) -> list[Window]:
    """What lies in any of the lists of windows; those that touch become one."""
    joined: list[Window] = []
    for a, b in merge(*several):
        if joined and a <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(b, joined[-1][1]))
        else:
            joined.append((a, b))
    return joined


def without(windows: Sequence[Window], stopped: Sequence[Window]) -> list[Window]:
    """What is left of the windows when the stopped ones are taken out; what those do not touch is copied as it is."""
    left: list[Window] = []
    i = 0
    for begins, ends in _between(stopped):
        i = bisect_right(windows, begins, lo=i, key=_end)
        inside = list(windows[i : bisect_left(windows, ends, lo=i, key=_begin)])
        if inside:
            inside[0] = (max(inside[0][0], begins), inside[0][1])
            inside[-1] = (inside[-1][0], min(inside[-1][1], ends))
        left += inside
    return left


def _between(windows: Iterable[Window]) -> Iterator[Window]:
    """What no window covers, from for ever to for ever."""
    at = -inf
    for a, b in windows:
        yield at, a
        at = b
    yield at, inf


def within(windows: Iterable[Window], until_h: float) -> list[Window]:
    """What of the windows lies between hour zero and `until_h`."""
    return [(max(a, 0.0), min(b, until_h)) for a, b in windows if max(a, 0.0) < min(b, until_h)]
