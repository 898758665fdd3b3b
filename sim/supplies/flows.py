"""All stores of the pad and the draws under way, as pure flow: levels linear, flows constant between breakpoints.

The same state is played for real, up to now, and as a copy into the future, to see when something will happen that
somebody waits for.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from sim.supplies.draw import Draw
from sim.supplies.sharing import FULL, Pace, paces
from sim.supplies.store import ROUNDING, Store


class Flows:
    """Stores and draws at the hour `at_h`. After `settle`, nothing changes by itself before `until_h`."""

    def __init__(self, stores: Sequence[Store], at_h: float) -> None:
        self.stores, self.at_h, self.until_h = list(stores), at_h, inf
        self.draws: list[Draw] = []
        self.left_h: list[float] = []  # of each draw, at full pace
        self.paces: list[Pace] = []

    def copy(self) -> Flows:
        """The same state again, to be played forward."""
        other = Flows([store.copy() for store in self.stores], self.at_h)
        other.draws, other.left_h, other.paces = list(self.draws), list(self.left_h), list(self.paces)
        other.until_h = self.until_h
        return other

    def look(self) -> None:
        """See what every upstream can deliver now."""
        for store in self.stores:
            store.upstream.look(self.at_h)

    def settle(self) -> None:
        """Settle the flows from now on: short stores are shared, full ones take only what leaves them."""
        self.look()
        short = {number: store.to_be_drawn for number, store in enumerate(self.stores) if store.is_dry}
        demands = [draw.demand for draw in self.draws]
        self.paces = paces(demands, short) if short else [FULL] * len(demands)
        outflow = [0.0] * len(self.stores)
        for demand, pace in zip(demands, self.paces, strict=True):
            for number, rate in demand.rates.items():
                outflow[number] += rate * pace.share
        for store, out in zip(self.stores, outflow, strict=True):
            store.settle(self.at_h, out)
        self.until_h = min([store.until_h(self.at_h) for store in self.stores], default=inf)

    def flow_until(self, to_h: float) -> None:
        """Let the settled flows go on, at most until they change by themselves."""
        hours = to_h - self.at_h
        for store in self.stores:
            store.flow(hours, to_h)
        for number, pace in enumerate(self.paces):
            self.left_h[number] -= pace.share * hours
        self.at_h = to_h

    def first_end_h(self) -> float:
        """When the first draw ends at the present pace, or reaches its deadline."""
        found = inf
        for draw, left_h, pace in zip(self.draws, self.left_h, self.paces, strict=True):
            end_h = self.at_h + left_h / pace.share if pace.share > 0 else inf
            found = min(found, end_h, draw.deadline_h)
        return found

    @property
    def may_slow(self) -> bool:
        """Whether any draw takes from a store that may run dry, so that its end is not certain."""
        return any(not self.stores[number].rule.never_runs_dry for draw in self.draws for number in draw.wanted)

    def missing(self, draw: Draw) -> dict[int, float]:
        """What each store lacks for a waiting draw to start, by the number of the store; empty where none does."""
        found = {}
        for number, volume in draw.wanted.items():
            store = self.stores[number]
            volume_left = volume * draw.asked_h / draw.hours
            lacking = store.missing(volume_left, draw.demand.rates[number], self.promised(number))
            if lacking > max(store.rounding, store.upstream.able * ROUNDING):
                found[number] = lacking
        return found

    def promised(self, number: int) -> float:
        """What the draws under way still need from a store."""
        rates = (
            (draw.demand.rates.get(number, 0.0), left_h) for draw, left_h in zip(self.draws, self.left_h, strict=True)
        )
        return sum(rate * left_h for rate, left_h in rates)

    def there_h(self, number: int, lacking: float) -> float:
        """When a store has what it lacks for a draw, as flows are now: the lack falls as fast as the store takes in."""
        inflow = self.stores[number].inflow
        return self.at_h + lacking / inflow if inflow > 0 else inf

    def may_start_h(self, draw: Draw) -> float:
        """When nothing is lacking for a waiting draw any more, as flows are now."""
        return max((self.there_h(*lack) for lack in self.missing(draw).items()), default=self.at_h)
