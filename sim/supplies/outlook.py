"""What will happen next to the supplies if nobody comes or goes: found by playing a copy of all flows forward."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

import simpy

from sim.supplies.draw import Draw
from sim.supplies.flows import Flows


class Room(NamedTuple):
    """Room that somebody waits for, in the store of this number."""

    store: int
    volume: float
    event: simpy.Event


def next_moment(flows: Flows, waiting: Sequence[Draw], rooms: Sequence[Room], horizon_h: float) -> float:
    """The next moment at which a draw ends or may start, or room is there; or the first known to be none beyond."""
    if not waiting and not rooms and not flows.may_slow:
        return flows.first_end_h()
    deadline_h = min((draw.deadline_h for draw in waiting), default=inf)
    hopeful = [draw for draw in waiting if not _in_vain(flows, draw)]
    opening = [room for room in _first_of_each(rooms) if _may_open(flows, room)]
    if not flows.draws and not hopeful and not opening:
        return deadline_h  # until somebody comes or goes, nothing will happen that anybody waits for
    ahead = flows.copy()
    while True:
        sure_h = min(ahead.first_end_h(), deadline_h)
        starts = (_may_start_h(ahead, waiting, draw) for draw in hopeful)
        found_h = min([sure_h, *starts, *(_room_h(ahead, room) for room in opening)])
        if found_h <= ahead.until_h or ahead.until_h >= horizon_h:
            return min(found_h, ahead.until_h)
        ahead.flow_until(ahead.until_h)
        ahead.settle()


def better(waiting: Sequence[Draw], draw: Draw) -> list[Draw]:
    """Draws that wait and go before this one."""
    return [other for other in waiting if other.demand.priority < draw.demand.priority]


def _in_vain(flows: Flows, draw: Draw) -> bool:
    """Whether a draw waits for what can only be brought: all that is on its way does not make up for the lack."""
    return any(lack > flows.stores[number].may_come(flows.at_h) for number, lack in flows.missing(draw).items())


def _may_open(flows: Flows, room: Room) -> bool:
    """Whether anybody under way takes from the store: room opens by nothing else."""
    return any(room.store in draw.wanted for draw in flows.draws)


def _may_start_h(ahead: Flows, waiting: Sequence[Draw], draw: Draw) -> float:
    """When nothing is lacking for it, nor for those of higher priority in the stores that it takes from."""
    found = ahead.may_start_h(draw)
    for other in better(waiting, draw):
        for number, volume in ahead.missing(other).items():
            if number in draw.wanted:
                found = max(found, ahead.there_h(number, volume))
    return found


def _first_of_each(rooms: Sequence[Room]) -> list[Room]:
    """Who waits first for room in each store: nobody overtakes."""
    return list({room.store: room for room in reversed(rooms)}.values())


def _room_h(ahead: Flows, room: Room) -> float:
    store = ahead.stores[room.store]
    lacking = room.volume - store.room(ahead.at_h)
    opens = store.room_opens
    return ahead.at_h if lacking <= store.rounding else ahead.at_h + lacking / opens if opens > 0 else inf
