"""Haulage of proppant: trucks go round between a loading point and the storage on the pad."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Generator
from math import inf
from typing import Any, Protocol

import simpy

from sim.calendars import Calendar
from sim.chance.sampling import sample
from sim.chance.streams import own_generator
from sim.chance.windows import Window
from sim.scenario.proppant import Trucks
from sim.scenario.shapes import Shape
from sim.supplies.driving import Driver, Loaders

Trip = Generator[simpy.Event, Any, None]

AT_A_TIME = 32  # trips drawn at once: a draw of many costs little more than a draw of one
TRUCKS = "trucks"  # the part that is the limit where no other is
LEAST_UNLOAD_H = 1e-3  # a load that came in no time would be an infinite flow


class Silo(Protocol):
    """What haulage asks of the storage that it fills."""

    def room(self, volume: float) -> simpy.Event | None:
        """Set room for a load aside: None if there is enough now, else what fires once there is."""

    def deliver(self, volume: float, hours: float) -> object:
        """Let a load, for which there is room, flow in evenly over so many hours from now on."""


class UnloadSpots:
    """Where trucks unload on the pad, in order of coming. `queues` are the stretches in which any truck waited."""

    def __init__(self, env: simpy.Environment, count: int) -> None:
        self._env, self._free = env, count
        self._queue: deque[simpy.Event] = deque()
        self.queues: list[Window] = []

    def take(self) -> simpy.Event | None:
        """Take a spot: None if one is free, else what fires once it is this truck's turn."""
        if self._free:
            self._free -= 1
            return None
        if not self._queue:
            self.queues.append((self._env.now, inf))
        self._queue.append(self._env.event())
        return self._queue[-1]

    def leave(self) -> None:
        """Make way for the next."""
        if self._queue:
            self._queue.popleft().succeed()
            if not self._queue:
                self.queues[-1] = (self.queues[-1][0], self._env.now)
        else:
            self._free += 1


class Haulage:
    """What the trucks share: the loading point, the road, the spots on the pad and the storage.

    `unloaded_h` are the hours at which trucks had unloaded.
    """

    def __init__(
        self, env: simpy.Environment, stated: Trucks, road: Calendar, silo: Silo, spots: UnloadSpots | None = None
    ) -> None:
        self.env, self.stated, self.road, self.silo = env, stated, road, silo
        self.loaders = Loaders(stated.loaders)
        self.spots = UnloadSpots(env, stated.unload_spots) if spots is None else spots
        self.unloaded_h: list[float] = []

    def start(self, seed: int, replication: int) -> None:
        """Send all trucks on their way, each with luck of its own."""
        for number in range(1, self.stated.count + 1):
            self.env.process(go_round(self, Truck(self.stated, seed, replication, number)))


class Truck:
    """One truck with its driver, and how long each part of each of its trips takes, in hours."""

    def __init__(self, stated: Trucks, seed: int, replication: int, number: int) -> None:
        def times(purpose: str, duration: float | Shape) -> Callable[[], float]:
            if isinstance(duration, float):
                return lambda: duration
            return _drawn(duration, seed, replication, f"Truck {number}", purpose)

        self.driver = Driver(stated.hours_of_service)
        self.load_h = times("load", stated.load)
        self.loaded_h = times("drive loaded", stated.drive)
        self.unload_h = times("unload", stated.unload)
        self.empty_h = times("drive empty", stated.drive)


def _drawn(shape: Shape, seed: int, replication: int, entity: str, purpose: str) -> Callable[[], float]:
    """Draws one after the other from a stream that nobody else draws from."""
    generator, left = own_generator(seed, replication, entity, purpose), list[float]()

    def draw() -> float:
        if not left:
            left.extend(reversed(sample(shape, generator, AT_A_TIME).tolist()))
        return left.pop()

    return draw


def go_round(haulage: Haulage, truck: Truck) -> Trip:
    """Load, drive, unload and drive back for as long as there is a road."""
    while True:
        arrives_h = _comes_loaded_h(haulage, truck)
        if arrives_h == inf:
            return
        yield haulage.env.timeout(arrives_h - haulage.env.now)
        yield from unload(haulage, truck)
        back_h = truck.driver.arrives_h(haulage.road, haulage.env.now, truck.empty_h())
        if back_h == inf:
            return
        yield haulage.env.timeout(back_h - haulage.env.now)


def _comes_loaded_h(haulage: Haulage, truck: Truck) -> float:
    """When a truck that is at the loading point now reaches the pad with its load."""
    now, load_h = haulage.env.now, truck.load_h()
    begins_h = haulage.loaders.begin_h(now, load_h)
    truck.driver.work(begins_h, begins_h + load_h)
    return truck.driver.arrives_h(haulage.road, begins_h + load_h, truck.loaded_h())


def unload(haulage: Haulage, truck: Truck) -> Trip:
    """Wait for a spot, in it for room in the storage, then let the load flow in."""
    env = haulage.env
    turn = haulage.spots.take()
    if turn is not None:
        yield turn
    room = haulage.silo.room(haulage.stated.payload)
    if room is not None:
        yield room
    hours = max(truck.unload_h(), LEAST_UNLOAD_H)
    truck.driver.work(env.now, env.now + hours)
    haulage.silo.deliver(haulage.stated.payload, hours)
    yield env.timeout(hours)
    haulage.unloaded_h.append(env.now)
    haulage.spots.leave()
