"""The facility: a well is turned in line once the wells before it have declined enough to leave room for it."""

from __future__ import annotations

from math import inf

import simpy

from sim.activities import FACILITY
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.decline import Decline, nominal_decline, rate_bbl_per_day
from sim.scenario.wells import Production

DAYS_A_MONTH = 30.4  # as in US EIA decline curves (published)
HOURS = 24.0
CENTURIES_H = 1e7  # beyond any horizon: the well is left waiting, which is no standstill
CLOSE_H = 0.01  # how exactly the moment is found at which there is room


class Facility:
    """What flows already, and who comes next: wells are turned in line in the order in which they are ready.

    Room is reserved when a well begins to be turned in line, at its first day's rate; from then on it declines.
    """

    def __init__(self, env: simpy.Environment, limit_bbl_per_h: float | None) -> None:
        self._env, self._limit = env, inf if limit_bbl_per_h is None else limit_bbl_per_h
        self._flowing: list[tuple[float, Decline]] = []
        self._next = simpy.Resource(env)

    def make_room(self, spread: Unit, well: Well) -> Process:
        """Wait until the well fits in; the spread stands by meanwhile."""
        production = well.stated.production
        if self._limit == inf or production is None:
            return
        with self._next.request() as turn:
            spread.waiting_for = FACILITY
            yield turn
            at_h = self._room_from_h(self._limit - production.peak)
            if at_h > self._env.now:
                yield self._env.timeout(at_h - self._env.now)
        spread.wait_until(self._env.now, FACILITY)
        self._flowing.append((self._env.now, decline_of(production)))

    def has_taken(self, well: Well, since_h: float) -> None:
        """The well has been flowing into the facility for some time."""
        if well.stated.production is not None:
            self._flowing.append((since_h, decline_of(well.stated.production)))

    def _room_from_h(self, most_bbl_per_h: float) -> float:
        """First moment from now on at which the wells in line flow no more than this; their sum only declines."""
        low_h, step_h = self._env.now, HOURS
        if self._flow(low_h) <= most_bbl_per_h:
            return low_h
        while self._flow(low_h + step_h) > most_bbl_per_h:
            step_h *= 2
            if step_h > CENTURIES_H:
                return low_h + step_h
        high_h = low_h + step_h
        while high_h - low_h > CLOSE_H:
            middle_h = (low_h + high_h) / 2
            low_h, high_h = (middle_h, high_h) if self._flow(middle_h) > most_bbl_per_h else (low_h, middle_h)
        return high_h

    def _flow(self, at_h: float) -> float:
        """All wells in line together, bbl/h."""
        ages = [((at_h - since_h) / HOURS, curve) for since_h, curve in self._flowing]
        return sum(float(rate_bbl_per_day(curve, days)) for days, curve in ages) / HOURS


def decline_of(production: Production) -> Decline:
    """The decline curve that a scenario states by the share of rate lost in the first month."""
    per_month = float(nominal_decline(production.decline, production.b))
    return Decline(production.peak * HOURS, per_month / DAYS_A_MONTH, production.b)
