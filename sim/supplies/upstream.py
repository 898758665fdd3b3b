"""What feeds a store, seen from the store: how much it can deliver now, and until when that holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple, Protocol

Flow = tuple[str, float, float, float, float]  # name, level, inflow, outflow, turned away


class Upstream(Protocol):
    """Whatever feeds a store. Its flows are constant from one `settle` until `until_h`, unless the store changes.

    `able` is what it could deliver now; `until_h` when that or any flow behind it changes by itself. Nothing comes
    before it is `laid`, but for loads.
    """

    able: float
    until_h: float
    laid: bool

    def look(self, at_h: float) -> None:
        """Work out `able` at a moment up to which it has flowed."""

    def settle(self, at_h: float, accepted: float) -> float:
        """Settle the flows from now on, where the store takes at most so much. Returns what it takes."""

    def flow(self, hours: float, to_h: float) -> None:
        """Let the settled flows go on for so long, up to `to_h`."""

    def limit(self) -> str:
        """The part that keeps `able` from being more."""

    def rows(self) -> Iterator[Flow]:
        """The state of each part that is logged beside the store."""

    def copy(self) -> Upstream:
        """The same state again, to be played forward."""


class Teller(Protocol):
    """Who knows better which part of a supply was the limit, and from when to when."""

    def parts(self, from_h: float, to_h: float) -> Sequence[tuple[float, str]]:
        """The part in each stretch between two hours, as ends and parts in order of time."""


class Load(NamedTuple):
    """Something that flows in evenly until an hour."""

    end_h: float
    rate: float


class Steady:
    """A steady rate, and loads that are unloaded beside it.

    `part` is what a wait is put down to while too little flows in, unless `teller` knows better.
    """

    __slots__ = ("_loads", "able", "laid", "part", "rate", "teller", "until_h")

    def __init__(self, part: str, rate: float = 0.0, *, laid: bool = True) -> None:
        self.part, self.rate, self.laid = part, rate, laid
        self.teller: Teller | None = None
        self._loads: list[Load] = []
        self.able, self.until_h = 0.0, inf

    def unload(self, volume: float, from_h: float, hours: float) -> None:
        """Let a volume flow in evenly over so many hours."""
        self._loads.append(Load(from_h + hours, volume / hours))

    @property
    def on_its_way(self) -> float:
        """What is flowing in from loads, as a rate."""
        return sum(load.rate for load in self._loads)

    def still_to_come(self, at_h: float) -> float:
        """What is not yet unloaded of the loads."""
        return sum(load.rate * (load.end_h - at_h) for load in self._loads)

    def look(self, at_h: float) -> None:
        """See `Upstream`."""
        if not self._loads:
            self.able, self.until_h = self.rate if self.laid else 0.0, inf
            return
        self._loads = [load for load in self._loads if load.end_h > at_h]
        self.able = self.on_its_way + (self.rate if self.laid else 0.0)
        self.until_h = min((load.end_h for load in self._loads), default=inf)

    def settle(self, at_h: float, accepted: float) -> float:
        """See `Upstream`."""
        return min(self.able, accepted)

    def flow(self, hours: float, to_h: float) -> None:
        """See `Upstream`."""

    def limit(self) -> str:
        """See `Upstream`."""
        return self.part

    def rows(self) -> Iterator[Flow]:
        """See `Upstream`."""
        return iter(())

    def copy(self) -> Steady:
        """See `Upstream`."""
        other = Steady(self.part, self.rate, laid=self.laid)
        other._loads, other.able, other.until_h = list(self._loads), self.able, self.until_h
        return other
