"""Arithmetic of windows: stretches of time, in hours, sorted, apart, each of positive length.

Only the last may end at infinity. Every operation takes one pass over its windows.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from heapq import merge

Window = tuple[float, float]


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
    """What is left of the windows when the stopped ones are taken out."""
    left: list[Window] = []
    i = 0
    for a, b in windows:
        at = a
        while i < len(stopped) and stopped[i][0] < b:
            if stopped[i][0] > at:
                left.append((at, stopped[i][0]))
            at = max(at, stopped[i][1])
            if stopped[i][1] > b:  # it reaches beyond this window, perhaps into the next
                break
            i += 1
        if at < b:
            left.append((at, b))
    return left


def within(windows: Iterable[Window], until_h: float) -> list[Window]:
    """What of the windows lies between hour zero and `until_h`."""
    return [(max(a, 0.0), min(b, until_h)) for a, b in windows if max(a, 0.0) < min(b, until_h)]
