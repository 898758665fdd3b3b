"""Who is kept waiting or slowed by which part of which supply, noted as time goes on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sim.supplies.draw import Draw
from sim.supplies.flows import Flows
from sim.supplies.outlook import Room, better
from sim.supplies.store import STORAGE
from sim.supplies.upstream import Steady
from sim.supplies.waits import Lack, note


def note_lacks(flows: Flows, waiting: Sequence[Draw], rooms: Sequence[Room], to_h: float) -> None:
    """Note what each waiting draw lacks from now on, up to an hour until which flows stay as they are."""
    for draw in waiting:
        lacking = flows.missing(draw)
        for number, volume in lacking.items():
            until_h = min(to_h, flows.there_h(number, volume))
            if until_h > flows.at_h:
                _note(draw, flows, rooms, number, until_h)
        if not lacking:  # one of higher priority keeps it waiting, by what that one lacks
            for number in held_in(flows, waiting, draw):
                _note(draw, flows, rooms, number, to_h)


def note_lost(flows: Flows, rooms: Sequence[Room], to_h: float) -> None:
    """Note the hours that draws under way lose to whatever holds them back, up to an hour."""
    for draw, pace in zip(flows.draws, flows.paces, strict=True):
        if pace.share < 1:
            if not draw.lost_h:
                draw.slow_from_h = flows.at_h
            for from_h, until_h, cause in _causes(flows, rooms, pace.held_by, to_h):
                draw.lost_h[cause] = draw.lost_h.get(cause, 0.0) + (1 - pace.share) * (until_h - from_h)


def held_in(flows: Flows, waiting: Sequence[Draw], draw: Draw) -> list[int]:
    """Stores from which a draw may not take, for they lack something for one of higher priority."""
    lacking = (number for other in better(waiting, draw) for number in flows.missing(other))
    return [number for number in lacking if number in draw.wanted]


def _note(draw: Draw, flows: Flows, rooms: Sequence[Room], number: int, until_h: float) -> None:
    for from_h, to_h, cause in _causes(flows, rooms, number, until_h):
        note(draw.lacks, Lack(from_h, to_h, cause))


def _causes(flows: Flows, rooms: Sequence[Room], number: int, to_h: float) -> Iterator[tuple[float, float, str]]:
    """Stretches from now to an hour, with the supply that is short in them and the part of it that is the limit."""
    store, from_h = flows.stores[number], flows.at_h
    part = store.limit(any(room.store == number for room in rooms))
    teller = store.upstream.teller if isinstance(store.upstream, Steady) else None
    told = [(to_h, part)] if teller is None or part == STORAGE else teller.parts(from_h, to_h)
    for until_h, each in told:
        yield from_h, until_h, f"{store.name}: {each}"
        from_h = until_h
