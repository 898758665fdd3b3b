"""Haulage by itself: a silo of the test's own, and spots that note who comes, begins and leaves."""

from __future__ import annotations

from collections import deque
from typing import Any

import numpy as np
import simpy

from sim.calendars import AROUND_THE_CLOCK, Calendar
from sim.operations.haulage import Haulage, UnloadSpots
from sim.scenario.proppant import Trucks

NOW = "0 min"


class OpenSilo:
    """Room for everything; notes when each load comes and how long it takes."""

    def __init__(self, env: simpy.Environment) -> None:
        self._env = env
        self.loads: list[tuple[float, float]] = []

    def room(self, volume: float) -> None:
        """There is always room."""

    def deliver(self, volume: float, hours: float) -> None:
        """Note the load."""
        self.loads.append((self._env.now, hours))


class SmallSilo(OpenSilo):
    """Room for so many loads; `take` makes room for one, of the first who waits."""

    def __init__(self, env: simpy.Environment, loads: int) -> None:
        super().__init__(env)
        self._room, self._waiting = loads, deque[simpy.Event]()

    def room(self, volume: float) -> simpy.Event | None:  # type: ignore[override] # there is not always room
        """Set room aside, or wait for it."""
        if self._room:
            self._room -= 1
            return None
        self._waiting.append(self._env.event())
        return self._waiting[-1]

    def take(self) -> None:
        """Use up one load."""
        if self._waiting:
            self._waiting.popleft().succeed()
        else:
            self._room += 1


class WatchedSpots(UnloadSpots):
    """Spots that note how many trucks are there, from when on, and how many of those who came had to wait."""

    def __init__(self, env: simpy.Environment, count: int) -> None:
        super().__init__(env, count)
        self._count, self.there, self.came, self.waited = count, 0, 0, 0
        self.changes: list[tuple[float, int]] = [(0.0, 0)]

    def take(self) -> simpy.Event | None:
        """Note who comes."""
        self.came += 1
        self.waited += self.there >= self._count
        self._note(1)
        return super().take()

    def leave(self) -> None:
        """Note who leaves."""
        self._note(-1)
        super().leave()

    def _note(self, change: int) -> None:
        self.there += change
        self.changes.append((self._env.now, self.there))

    def shares(self, from_h: float, to_h: float) -> np.ndarray:
        """Share of the time with 0, 1, 2 ... trucks there, on average between two hours."""
        times, there = np.array([*self.changes, (to_h, 0)]).T
        spans = np.diff(np.clip(times, from_h, to_h))
        return np.bincount(there[:-1].astype(int), weights=spans) / (to_h - from_h)


def trucks(**stated: Any) -> Trucks:
    """Trucks that load at once, all together, on a road that takes no time, unless stated otherwise."""
    at_once = {"load": NOW, "loaders": 500, "drive": NOW, "unload_spots": 1, "unload": "30 min"}
    return Trucks.model_validate(at_once | {"count": 1, "payload": "46 klb"} | stated)


def haul(
    stated: Trucks, hours: float, silo: Any = None, road: Calendar = AROUND_THE_CLOCK, replication: int = 0
) -> tuple[WatchedSpots, Any]:
    """Haul for so many hours into a silo, an open one unless given (a class that takes the environment)."""
    env = simpy.Environment()
    spots = WatchedSpots(env, stated.unload_spots)
    filled = (silo or OpenSilo)(env)
    Haulage(env, stated, road, filled, spots).start(3, replication)
    env.run(hours)
    return spots, filled
