"""A tank worked out the long way: after each event everything is computed anew, and the earliest of all that could
happen next is the next event. Written apart from the simulator, to be compared with it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

ALMOST = 1e-7  # hours or barrels


class Ask(NamedTuple):
    """Somebody who wants `volume` at `rate` from `at_h` on, and gives up at `deadline_h`."""

    at_h: float
    volume: float
    rate: float
    deadline_h: float = inf


Change = tuple[float, float]  # hour, new inflow
Shortage = Callable[[Ask, float, float, float], float]  # of ask, level, promised, inflow

SHORTAGES: dict[str, Shortage] = {
    "full stage on hand": lambda ask, level, promised, _inflow: ask.volume - (level - promised),
    "enough to finish": lambda ask, level, promised, inflow: (
        ask.volume - (level - promised) - inflow * (ask.volume / ask.rate)
    ),
    "as it comes": lambda _ask, _level, _promised, _inflow: 0.0,
}


@dataclass
class Fluid:
    """State of the tank and of all who draw from it, and what has become of them."""

    capacity: float
    level: float
    rule: str
    asks: Sequence[Ask]
    changes: Sequence[Change]
    now_h: float = 0.0
    inflow: float = 0.0
    waiting: list[int] = field(default_factory=list)
    active: dict[int, float] = field(default_factory=dict)  # ask -> volume left
    started_h: dict[int, float] = field(default_factory=dict)
    ended_h: dict[int, float] = field(default_factory=dict)
    drawn: dict[int, float] = field(default_factory=dict)
    levels: list[tuple[float, float]] = field(default_factory=list)

    def play(self, until_h: float) -> None:
        """Everything up to `until_h`."""
        while True:
            self._happen()
            self.levels.append((self.now_h, self.level))
            next_h = min(self._possible_h())
            if next_h > until_h:
                return
            self._flow(next_h - self.now_h)

    def _happen(self) -> None:
        for ask, left in list(self.active.items()):
            over = self.asks[ask].deadline_h <= self.now_h + ALMOST
            if left <= ALMOST or over:
                del self.active[ask]
                self.ended_h[ask], self.drawn[ask] = self.now_h, self.asks[ask].volume - left
        for at_h, inflow in self.changes:
            if abs(at_h - self.now_h) <= ALMOST:
                self.inflow = inflow
        known = {*self.waiting, *self.active, *self.ended_h}
        self.waiting += [k for k, ask in enumerate(self.asks) if ask.at_h <= self.now_h + ALMOST and k not in known]
        for k in list(self.waiting):
            if self._shortage(k) <= ALMOST:
                self.started_h[k], self.active[k] = self.now_h, self.asks[k].volume
                self.waiting.remove(k)
            elif self.asks[k].deadline_h <= self.now_h + ALMOST:
                self.ended_h[k], self.drawn[k] = self.now_h, 0.0
                self.waiting.remove(k)

    def _shortage(self, k: int) -> float:
        return SHORTAGES[self.rule](self.asks[k], self.level, sum(self.active.values()), self.inflow)

    def _wanted(self) -> float:
        return sum(self.asks[k].rate for k in self.active)

    def _share(self) -> float:
        return self.inflow / self._wanted() if self.level <= ALMOST and self._wanted() > self.inflow else 1.0

    def _net(self) -> float:
        net = self.inflow - self._wanted()
        held = self._share() < 1 or (self.level >= self.capacity - ALMOST and net > 0)  # empty, or full
        return 0.0 if held else net

    def _possible_h(self) -> Iterator[float]:
        yield inf
        yield from (at_h for at_h, _ in self.changes if at_h > self.now_h + ALMOST)
        yield from (ask.at_h for ask in self.asks if ask.at_h > self.now_h + ALMOST)
        yield from (self.asks[k].deadline_h for k in [*self.active, *self.waiting])
        net, outflow = self._net(), self._wanted() * self._share()
        if net:
            yield self.now_h + ((self.capacity if net > 0 else 0.0) - self.level) / net
        if self._share() > 0:
            yield from (self.now_h + left / (self.asks[k].rate * self._share()) for k, left in self.active.items())
        if outflow + net > 0:  # the pace at which level minus promised grows
            yield from (self.now_h + self._shortage(k) / (outflow + net) for k in self.waiting)

    def _flow(self, elapsed_h: float) -> None:
        net, share = self._net(), self._share()
        for k in self.active:
            self.active[k] -= self.asks[k].rate * share * elapsed_h
        self.level = min(self.capacity, max(0.0, self.level + net * elapsed_h))
        self.now_h += elapsed_h
