"""Which part of the haulage kept proppant short, looked back on: unload spots, the road and why, loaders or trucks."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import inf

from sim.chance.windows import Window
from sim.operations.haulage import TRUCKS, Haulage

UNLOAD_SPOTS, LOADERS = "unload spots", "loaders"
Closures = Sequence[tuple[str, Sequence[Window]]]  # why, and when; what is foreseen comes first


class HaulageLimits:
    """What a wait for trucks is put down to, from the pad outwards.

    The unload spots, where a truck waits for one. Else the road, while it is closed, and after that until the first
    truck has come. Else the loaders, where a truck waits for one; else there are too few trucks.
    """

    def __init__(self, haulage: Haulage, closures: Closures) -> None:
        self._haulage = haulage
        self._closures = [(why, windows) for why, windows in closures if windows]

    def parts(self, from_h: float, to_h: float) -> list[tuple[float, str]]:
        """The part that was the limit in each stretch between two hours, as ends and parts in order of time."""
        found: list[tuple[float, str]] = []
        for begins_h, ends_h in pairwise(sorted({from_h, to_h, *self._edges(from_h, to_h)})):
            part = self._part((begins_h + ends_h) / 2)
            if found and found[-1][1] == part:
                found.pop()
            found.append((ends_h, part))
        return found

    def _edges(self, from_h: float, to_h: float) -> list[float]:
        """Hours between two at which another part may become the limit."""
        lists = [self._haulage.spots.queues, self._haulage.loaders.queues, *(each for _, each in self._closures)]
        edges = [hour for windows in lists for window in _overlapping(windows, from_h, to_h) for hour in window]
        unloaded = self._haulage.unloaded_h
        edges += unloaded[bisect_right(unloaded, from_h) : bisect_left(unloaded, to_h)]
        return [hour for hour in edges if from_h < hour < to_h]

    def _part(self, at_h: float) -> str:
        if _at(self._haulage.spots.queues, at_h):
            return UNLOAD_SPOTS
        road = next((why for why, windows in self._closures if _at(windows, at_h)), "") or self._not_yet(at_h)
        return road or (LOADERS if _at(self._haulage.loaders.queues, at_h) else TRUCKS)

    def _not_yet(self, at_h: float) -> str:
        """Why the road was closed last, if no truck has unloaded since it opened; empty otherwise."""
        opened_h, why = max(((_ended(windows, at_h), why) for why, windows in self._closures), default=(-inf, ""))
        unloaded = self._haulage.unloaded_h
        place = bisect_right(unloaded, at_h)
        return why if opened_h > (unloaded[place - 1] if place else -inf) else ""


def _overlapping(windows: Sequence[Window], from_h: float, to_h: float) -> Sequence[Window]:
    """Windows that lie partly between two hours."""
    first = bisect_right(windows, from_h, key=lambda window: window[1])
    return windows[first : bisect_left(windows, to_h, key=lambda window: window[0])]


def _at(windows: Sequence[Window], at_h: float) -> bool:
    place = bisect_right(windows, at_h, key=lambda window: window[0])
    return place > 0 and windows[place - 1][1] > at_h


def _ended(windows: Sequence[Window], at_h: float) -> float:
    """When the last window before an hour ended; minus infinity if none has."""
    place = bisect_right(windows, at_h, key=lambda window: window[1])
    return windows[place - 1][1] if place else -inf
