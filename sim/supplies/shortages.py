"""Who is kept waiting or slowed by which part of which supply, noted as time goes on."""

from __future__ import annotations

from collections.abc import Sequence

from sim.supplies.draw import Draw
from sim.supplies.flows import Flows
from sim.supplies.outlook import Room, better
from sim.supplies.waits import Lack, note


def note_lacks(flows: Flows, waiting: Sequence[Draw], rooms: Sequence[Room], to_h: float) -> None:
    """Note what each waiting draw lacks from now on, up to an hour until which flows stay as they are."""
    for draw in waiting:
        lacking = flows.missing(draw)
        for number, volume in lacking.items():
            until_h = min(to_h, flows.there_h(number, volume))
            if until_h > flows.at_h:
                note(draw.lacks, Lack(flows.at_h, until_h, _cause(flows, rooms, number)))
        if not lacking:  # one of higher priority keeps it waiting, by what that one lacks
            for number in held_in(flows, waiting, draw):
                note(draw.lacks, Lack(flows.at_h, to_h, _cause(flows, rooms, number)))


def note_lost(flows: Flows, rooms: Sequence[Room], to_h: float) -> None:
    """Note the hours that draws under way lose to whatever holds them back, up to an hour."""
    for draw, pace in zip(flows.draws, flows.paces, strict=True):
        if pace.share < 1:
            if not draw.lost_h:
                draw.slow_from_h = flows.at_h
            cause = _cause(flows, rooms, pace.held_by)
            draw.lost_h[cause] = draw.lost_h.get(cause, 0.0) + (1 - pace.share) * (to_h - flows.at_h)


def held_in(flows: Flows, waiting: Sequence[Draw], draw: Draw) -> list[int]:
    """Stores from which a draw may not take, for they lack something for one of higher priority."""
    lacking = (number for other in better(waiting, draw) for number in flows.missing(other))
    return [number for number in lacking if number in draw.wanted]


def _cause(flows: Flows, rooms: Sequence[Room], number: int) -> str:
    """The supply that is short, and the part of it that is the limit."""
    store = flows.stores[number]
    return f"{store.name}: {store.limit(any(room.store == number for room in rooms))}"
