"""The facility: a well is turned in line once the wells before it have declined enough to leave room for it."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

import simpy

from sim.activities import FACILITY
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.production import Curve, rate_bbl_per_day

HOURS = 24.0
CENTURIES_H = 1e7  # beyond any horizon: the well is left waiting, which is no standstill
CLOSE_H = 0.01  # how exactly the moment is found at which there is room
Flowing = tuple[float, Curve]  # a well in line: since when, and how it flows


class Facility:
    """What flows already, and who comes next: wells are turned in line in the order in which they are ready.

    Room for a well's peak is reserved when it begins to be turned in line, and until it declines from that.
    """

    def __init__(self, env: simpy.Environment, limit_bbl_per_h: float | None) -> None:
        self._env, self._limit = env, inf if limit_bbl_per_h is None else limit_bbl_per_h
        self._flowing: list[Flowing] = []
        self._next = simpy.Resource(env)

    def keeps_waiting(self, well: Well) -> bool:
        """Whether there is no room for a well now, or others wait before it."""
        production = well.stated.production
        if self._limit == inf or production is None:
            return False
        now = self._env.now
        return bool(self._next.count) or room_from_h(self._flowing, self._limit - production.peak, now) > now

    def make_room(self, spread: Unit, well: Well) -> Process:
        """Wait until the well fits in; the spread stands by meanwhile."""
        production = well.stated.production
        if self._limit == inf or production is None:
            return
        with self._next.request() as turn:
            spread.waiting_for = FACILITY
            yield turn
            at_h = room_from_h(self._flowing, self._limit - production.peak, self._env.now)
            if at_h > self._env.now:
                yield self._env.timeout(at_h - self._env.now)
        spread.wait_until(self._env.now, FACILITY)
        self._flowing.append((self._env.now, production.curve))

    def has_taken(self, well: Well, since_h: float) -> None:
        """The well has been flowing into the facility for some time."""
        if well.stated.production is not None:
            self._flowing.append((since_h, well.stated.production.curve))


def room_from_h(flowing: Sequence[Flowing], most_bbl_per_h: float, from_h: float) -> float:
    """First moment from an hour on at which the wells in line need no more than this; what they need only declines."""
    low_h, step_h = from_h, HOURS
    if _reserved(flowing, low_h) <= most_bbl_per_h:
        return low_h
    while _reserved(flowing, low_h + step_h) > most_bbl_per_h:
        step_h *= 2
        if step_h > CENTURIES_H:
            return low_h + step_h
    high_h = low_h + step_h
    while high_h - low_h > CLOSE_H:
        middle_h = (low_h + high_h) / 2
        low_h, high_h = (middle_h, high_h) if _reserved(flowing, middle_h) > most_bbl_per_h else (low_h, middle_h)
    return high_h


def _reserved(flowing: Sequence[Flowing], at_h: float) -> float:
    """Room for all wells in line, bbl/h: the most that each may flow from an hour on."""
    ages = [(max((at_h - since_h) / HOURS, curve.declines_from_days), curve) for since_h, curve in flowing]
    return sum(float(rate_bbl_per_day(curve, days)) for days, curve in ages) / HOURS
