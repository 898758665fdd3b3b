"""All supplies of the pad in one hand: draws that take from several stores at once, loads that want room.

Nothing happens by itself. Levels are brought up to date when somebody asks; the one event that is planned is the next
moment for which somebody waits, found by playing a copy of all flows forward through their breakpoints.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

import simpy

from sim.log import Level, Log, make_row
from sim.supplies.draw import Draw
from sim.supplies.flows import Flows
from sim.supplies.network import Network
from sim.supplies.outlook import Room, next_moment
from sim.supplies.shortages import held_in, note_lacks, note_lost
from sim.supplies.source import Step
from sim.supplies.store import ROUNDING, Store
from sim.supplies.upstream import Flow, Steady, Teller


class Stores:
    """The stores of the pad, by name, and everyone who takes from them or brings to them.

    A draw starts when every store that it takes from lets it, by its own rule. One that must wait does not hold up
    others, but those of lower priority (a higher number) may not take from a store that lacks something for it.
    """

    def __init__(self, env: simpy.Environment, log: Log, stores: Sequence[Store]) -> None:
        self._env, self._log = env, log
        self._number = {store.name: number for number, store in enumerate(stores)}
        self._flows = Flows(stores, env.now)
        self._waiting: list[Draw] = []
        self._rooms: list[Room] = []
        self._logged: dict[str, tuple[float, float, float]] = {}
        self._planned: set[float] = set()
        self._next_h = inf
        self._settle()

    # --- drawing
    def take(
        self,
        wanted: Mapping[str, float],
        hours: float,
        stop_h: float = inf,
        priority: int = 1,
        *,
        start_by_h: float = inf,
        asked_h: float | None = None,
        begun: bool = False,
    ) -> Draw:
        """See `Supplies`; what is no store here is never short."""
        self._flow_until(self._env.now)
        by_number = {self._number[name]: volume for name, volume in wanted.items() if name in self._number}
        draw = Draw(by_number, hours, stop_h, priority, start_by_h=start_by_h, asked_h=asked_h)
        if begun:
            self._start(draw)
        else:
            self._waiting.append(draw)
        self._settle()
        if not draw.started:
            draw.granted = self._env.event()
            if draw not in self._waiting:
                draw.granted.succeed()
        return draw

    # --- bringing

    def room(self, supply: str) -> float:
        """What the store of a supply could still take: its capacity less its level and all that is promised to it."""
        self._flow_until(self._env.now)
        return self._store(supply).room(self._env.now)

    def room_for(self, supply: str, volume: float) -> simpy.Event:
        """Fires when there is room for a volume, first come first served; the room is then kept until `deliver`.

        Where there is room now, nothing changes for anybody but that it is kept: no flow has to be settled.
        """
        self._flow_until(self._env.now)
        number, store, event = self._number[supply], self._store(supply), self._env.event()
        nobody_waits = all(room.store != number for room in self._rooms)
        if nobody_waits and store.room(self._env.now) >= volume - store.rounding:
            store.kept += volume
            return event.succeed()
        self._rooms.append(Room(number, volume, event))
        self._settle()
        return event

    def deliver(self, supply: str, volume: float, hours: float) -> None:
        """Let a volume flow in evenly over so many hours, into room that was kept for it by `room_for`."""
        self._flow_until(self._env.now)
        store = self._store(supply)
        store.kept = max(0.0, store.kept - volume)
        if hours > 0:
            assert isinstance(store.upstream, Steady)
            store.upstream.unload(volume, self._env.now, hours)
        else:
            store.level = min(store.level + volume, store.capacity)
        self._settle()

    def let_tell(self, supply: str, teller: Teller) -> None:
        """Let somebody say which part of a supply is short, who knows better than the store that it comes to."""
        upstream = self._store(supply).upstream
        assert isinstance(upstream, Steady)
        upstream.teller = teller

    def set_rate(self, supply: str, rate: float) -> None:
        """Change the steady rate at which a supply flows in."""
        self._flow_until(self._env.now)
        upstream = self._store(supply).upstream
        assert isinstance(upstream, Steady)
        upstream.rate = rate
        self._settle()

    def lay(self, supply: str) -> None:
        """Let a supply flow in from now on."""
        self._flow_until(self._env.now)
        self._store(supply).upstream.laid = True
        self._settle()

    def give_back(self, steps: Sequence[Step]) -> None:
        """Let the water of a well's flowback come in, wherever the network takes it."""
        self._flow_until(self._env.now)
        for store in self._flows.stores:
            if isinstance(store.upstream, Network):
                store.upstream.give_back(steps)
        self._settle()

    def level(self, supply: str) -> float:
        """What is in the store of a supply now."""
        self._flow_until(self._env.now)
        return self._store(supply).level

    # --- time

    def catch_up(self) -> None:
        """Bring what has been drawn so far up to now, for whoever asks in between."""
        self._flow_until(self._env.now)

    def hours_to_reach(self, supply: str, level: float) -> float:
        """How long a store takes to fill to a level if nobody comes or goes; infinite if it never does."""
        self._flow_until(self._env.now)
        ahead, number = self._flows.copy(), self._number[supply]
        store = ahead.stores[number]
        while level - store.level > store.rounding:
            net = store.inflow - store.outflow
            reached_h = ahead.at_h + (level - store.level) / net if net > 0 else inf
            if min(ahead.until_h, reached_h) == inf:
                return inf
            if reached_h <= ahead.until_h:
                return reached_h - self._env.now
            ahead.flow_until(ahead.until_h)
            ahead.settle()
        return ahead.at_h - self._env.now

    def _store(self, supply: str) -> Store:
        return self._flows.stores[self._number[supply]]

    def _flow_until(self, time_h: float) -> None:
        """Bring everything up to a time, breakpoint by breakpoint, and note who was kept waiting by what."""
        flows = self._flows
        while flows.at_h < time_h:
            to_h = min(time_h, flows.until_h)
            note_lacks(flows, self._waiting, self._rooms, to_h)
            note_lost(flows, self._rooms, to_h)
            flows.flow_until(to_h)
            if to_h == flows.until_h:
                flows.settle()
                self._log_rows()
        for draw, left_h in zip(flows.draws, flows.left_h, strict=True):
            draw.left_h = left_h

    # --- what happens

    def _settle(self) -> None:
        """Start what may start, let in what has room, settle the flows, plan the next moment somebody waits for."""
        self._flows.look()
        self._grant()
        self._make_room()
        self._flows.settle()
        self._log_rows()
        self._plan()

    def _grant(self) -> None:
        flows = self._flows
        for draw in sorted(self._waiting, key=lambda draw: draw.demand.priority):
            if not flows.missing(draw) and not held_in(flows, self._waiting, draw):
                self._start(draw)
            elif draw.deadline_h > flows.at_h:
                continue  # even a hair before: whoever asks is still on shift, and would ask again for ever
            self._waiting.remove(draw)
            if hasattr(draw, "granted"):
                draw.granted.succeed()

    def _start(self, draw: Draw) -> None:
        draw.started, draw.start_h, draw.done = True, self._flows.at_h, self._env.event()
        draw.deadline_h = draw.stop_h
        self._flows.draws.append(draw)
        self._flows.left_h.append(draw.left_h)

    def _make_room(self) -> None:
        full: set[int] = set()  # stores in which somebody still waits for room: nobody overtakes
        for room in list(self._rooms):
            store = self._flows.stores[room.store]
            if room.store not in full and store.room(self._flows.at_h) >= room.volume - store.rounding:
                store.kept += room.volume
                self._rooms.remove(room)
                room.event.succeed()
            else:
                full.add(room.store)

    def _end_draws(self) -> None:
        """Let go of the draws that have all they want, or reached their deadline."""
        flows = self._flows
        for number in range(len(flows.draws) - 1, -1, -1):
            draw = flows.draws[number]
            if draw.left_h <= ROUNDING or draw.deadline_h <= flows.at_h:
                draw.left_h = 0.0 if draw.left_h <= ROUNDING else draw.left_h
                del flows.draws[number], flows.left_h[number], flows.paces[number]
                draw.done.succeed()

    # --- logging and planning

    def _log_rows(self) -> None:
        for store in self._flows.stores:
            away = store.turned_away
            self._log_row((store.name, store.level, store.inflow + away, store.outflow, away))
            for row in store.upstream.rows():
                self._log_row(row)

    def _log_row(self, row: Flow) -> None:
        """Add a row where a flow has changed; between rows flows are constant and levels linear."""
        name, level, *flows = row
        changed = tuple(flows)
        if self._logged.get(name) != changed:
            self._logged[name] = changed  # type: ignore[assignment] # a row has three flows
            self._log.levels.append(make_row(Level, (self._flows.at_h, name, level, *flows)))

    def _plan(self) -> None:
        self._next_h = next_moment(self._flows, self._waiting, self._rooms, self._log.horizon_h)
        if self._next_h < inf and self._next_h not in self._planned:
            self._planned.add(self._next_h)
            event = self._env.timeout(max(0.0, self._next_h - self._env.now), value=self._next_h)
            event.callbacks.append(self._on_moment)

    def _on_moment(self, event: simpy.Event) -> None:
        planned_h = float(event.value or 0.0)
        self._planned.discard(planned_h)
        if planned_h != self._next_h:
            return  # something changed since, and what is next has an event of its own
        self._flow_until(self._env.now)
        self._end_draws()
        self._settle()
