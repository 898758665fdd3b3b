"""When a truck arrives: its road, which opens and closes, and the hours of service of whoever drives it.

All in closed form over the open windows of the road: a trip needs no event on the way.
"""

from __future__ import annotations

from math import inf

from sim.calendars import Calendar
from sim.chance.windows import Window
from sim.scenario.proppant import HoursOfService

BRIEF_H = 1e-9  # nobody sets out for less


class Driver:
    """Hours at the wheel and on duty since the last rest. Standing still for as long as a rest is one, anywhere."""

    __slots__ = ("_active_until_h", "_driven_h", "_limits", "_on_duty_from_h")

    def __init__(self, limits: HoursOfService | None) -> None:
        self._limits = limits
        self._active_until_h, self._driven_h, self._on_duty_from_h = -inf, 0.0, 0.0

    def work(self, from_h: float, to_h: float) -> None:
        """Be on duty, but not at the wheel: load or unload."""
        if self._limits is not None:
            self._begin(from_h, self._limits.rest)
            self._active_until_h = to_h

    def arrives_h(self, road: Calendar, start_h: float, hours: float) -> float:
        """When `hours` of driving are done that stop while the road is closed, and for rests; infinity if never."""
        limits, at_h = self._limits, start_h
        if limits is None:
            return road.finish(start_h, hours)
        while hours > BRIEF_H:
            opens_h, closes_h = road.next_window(at_h)
            if opens_h == inf:
                return inf
            self._begin(opens_h, limits.rest)
            allowed_h = min(limits.driving - self._driven_h, self._on_duty_from_h + limits.duty - opens_h)
            if allowed_h <= BRIEF_H:
                at_h = self._active_until_h + limits.rest
                continue
            stretch_h = min(hours, closes_h - opens_h, allowed_h)
            self._driven_h += stretch_h
            hours -= stretch_h
            at_h = self._active_until_h = opens_h + stretch_h
        return at_h

    def _begin(self, at_h: float, rest_h: float) -> None:
        if at_h - self._active_until_h >= rest_h - BRIEF_H:
            self._driven_h, self._on_duty_from_h = 0.0, at_h


class Loaders:
    """Loaders that take trucks in order of coming. Whoever comes is told at once when it will be loaded.

    That is certain, for those who come later wait behind: so the queue needs no event. `queues` are the stretches in
    which any truck waits.
    """

    def __init__(self, count: int) -> None:
        self._free_h = [0.0] * count
        self.queues: list[Window] = []

    def begin_h(self, comes_h: float, hours: float) -> float:
        """When loading of the truck that comes now begins; it takes `hours`."""
        first = min(range(len(self._free_h)), key=self._free_h.__getitem__)
        begins_h = max(comes_h, self._free_h[first])
        self._free_h[first] = begins_h + hours
        if begins_h > comes_h:
            joins = bool(self.queues) and self.queues[-1][1] >= comes_h
            since_h = self.queues.pop()[0] if joins else comes_h
            self.queues.append((since_h, begins_h))
        return begins_h
