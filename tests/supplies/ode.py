"""A network of ponds worked out by scipy's solve_ivp: levels as states, events where a pond fills or empties.

Written apart from the simulator, to be compared with it: what flows where is stated here in its own way, as the fixed
point of every place passing on as much as it can.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from math import inf

import numpy as np
from scipy.integrate import solve_ivp

CLOSE = 1e-7


@dataclass
class Place:
    """A source (with `rate` and windows), a pond (with `capacity`) or a line (with neither), and where it leads."""

    name: str
    to: str | None = None
    rate: float = 0.0
    windows: tuple[tuple[float, float], ...] = ((0.0, inf),)
    capacity: float = 0.0
    level: float = 0.0
    minimum: float = 0.0
    losses: float = 0.0
    most: float = inf
    priority: int = 1

    @property
    def is_pond(self) -> bool:
        return self.capacity > 0


@dataclass
class Levels:
    """Everything that flows, over time. The pad's storage is the pond called `pad`, drained at a rate by stretches."""

    places: dict[str, Place]
    demand: Callable[[float], float]
    edges: list[float]
    levels: dict[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.levels = {name: place.level for name, place in self.places.items() if place.is_pond}

    def feeders(self, name: str) -> list[Place]:
        return [place for place in self.places.values() if place.to == name]

    def able(self, place: Place, at_h: float) -> float:
        """What a place could pass on."""
        if place.rate > 0:
            return place.rate if any(a <= at_h < b for a, b in place.windows) else 0.0
        gathered = sum(self.able(feeder, at_h) for feeder in self.feeders(place.name))
        if not place.is_pond:
            return min(place.most, gathered)
        level = self.levels[place.name]
        if level > place.minimum:
            return place.most
        kept = place.losses if level > 0 else 0.0
        return min(place.most, max(0.0, gathered - kept)) if level == place.minimum else 0.0

    def counts_for(self, place: Place, at_h: float) -> float:
        if place.is_pond:
            return place.most
        if place.rate > 0:
            return self.able(place, at_h)
        return min(place.most, sum(self.counts_for(feeder, at_h) for feeder in self.feeders(place.name)))

    def delivered(self, place: Place, wanted: float, at_h: float, rates: dict[str, float]) -> float:
        """Let a place pass on what is wanted of it; notes how fast its pond rises, and of all behind it."""
        if place.rate > 0:
            return wanted
        level = self.levels.get(place.name, 0.0)
        lost = place.losses if level > 0 else 0.0
        asked = inf if place.is_pond and level < place.capacity else wanted + lost
        inflow = self.shared(place.name, asked, at_h, rates)
        if place.is_pond:
            rise = inflow - wanted - lost
            rates[place.name] = max(0.0, rise - place.losses) if level == 0 else rise
        return wanted

    def shared(self, name: str, asked: float, at_h: float, rates: dict[str, float]) -> float:
        """Let the feeders of a place deliver what it asks for, or all they can."""
        feeders = self.feeders(name)
        left = min(asked, sum(self.able(feeder, at_h) for feeder in feeders))
        total = left
        for priority in sorted({feeder.priority for feeder in feeders}):
            those = [feeder for feeder in feeders if feeder.priority == priority]
            level = self.water_mark(those, left, at_h)
            for feeder in those:
                part = min(self.able(feeder, at_h), level * self.counts_for(feeder, at_h))
                self.delivered(feeder, part, at_h, rates)
                left -= part
        return total

    def water_mark(self, feeders: list[Place], total: float, at_h: float) -> float:
        """The share of what each counts for at which they deliver a total together, by bisection."""
        low, high = 0.0, 1e6
        for _ in range(90):
            middle = (low + high) / 2
            parts = (min(self.able(each, at_h), middle * self.counts_for(each, at_h)) for each in feeders)
            low, high = (low, middle) if sum(parts) >= total else (middle, high)
        return high

    def rises(self, at_h: float) -> dict[str, float]:
        """How fast each level rises, bbl/h."""
        rates: dict[str, float] = {}
        pad = self.places["pad"]
        wanted = self.demand(at_h)
        inflow_able = min(pad.most, sum(self.able(feeder, at_h) for feeder in self.feeders("pad")))
        if self.levels["pad"] <= 0:
            wanted = min(wanted, inflow_able)
        asked = min(pad.most, inf if self.levels["pad"] < pad.capacity else wanted)
        rates["pad"] = self.shared("pad", asked, at_h, rates) - wanted
        return rates

    def play(self, until_h: float) -> None:
        """Integrate from edge to edge, and within from event to event."""
        at_h = 0.0
        names = list(self.levels)
        for edge in [*sorted(edge for edge in self.edges if 0 < edge < until_h), until_h]:
            while at_h < edge - 1e-12:
                rates = np.array([self.rises(at_h)[name] for name in names])
                marks = [
                    (k, mark)
                    for k, name in enumerate(names)
                    for mark in {0.0, self.places[name].minimum, self.places[name].capacity}
                    if (mark - self.levels[name]) * rates[k] > 0
                ]
                events = [_reaches(k, mark) for k, mark in marks]
                start = np.array([self.levels[name] for name in names])
                solved = solve_ivp(
                    lambda _t, _y, rates=rates: rates, (at_h, edge), start, events=events, rtol=1e-10, atol=1e-8
                )
                at_h = float(solved.t[-1])
                self.levels = dict(zip(names, solved.y[:, -1].tolist(), strict=True))
                self.snap(marks, names, rates)

    def snap(self, marks: list[tuple[int, float]], names: list[str], rates: np.ndarray) -> None:
        for k, mark in marks:
            if abs(self.levels[names[k]] - mark) <= CLOSE * max(1.0, abs(rates[k])):
                self.levels[names[k]] = mark


def _reaches(k: int, mark: float) -> Callable[[float, np.ndarray], float]:
    def event(_t: float, y: np.ndarray) -> float:
        return float(y[k] - mark)

    event.terminal = True  # type: ignore[attr-defined]
    return event
