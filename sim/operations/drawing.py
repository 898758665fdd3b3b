"""Work that uses up a supply evenly while it lasts: pumping a stage, pumping wireline tools down."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from sim.activities import OUTSIDE_HOURS, WATER
from sim.operations.unit import Place, Process, Unit
from sim.supplies.stock import ROUNDING, Stock


def work_drawing(
    unit: Unit,
    activity: str,
    hours: float,
    places: Sequence[Place],
    stock: Stock | None,
    volume: float,
    planned_h: float | None = None,
) -> Process:
    """Work `hours` while drawing `volume` from `stock`: waits for it, pauses at shift ends, slows when it runs dry.

    Without a stock it is never short. Several `places` are worked on at once and get a row each. `planned_h` is what
    the crew believes it to take. Returns the last row of the first place; those of the others follow it.
    """
    if stock is None or volume <= 0 or hours <= 0:
        return (yield from unit.perform(activity, hours, places, planned_h=planned_h))
    rate, left, deadline_h = volume / hours, volume, inf
    pauses = not unit.is_free_for(activity)
    window = unit.first_window(activity, hours if planned_h is None else planned_h) if pauses else (0.0, inf)
    while left > ROUNDING * volume:
        if pauses:
            begin_h, deadline_h = window
            if begin_h > unit.env.now:
                yield from _stand_by(unit, begin_h, activity, places)
        draw = stock.draw(left, rate, deadline_h)
        unit.drawing = (activity, places, draw)
        unit.waiting_for = WATER
        if not draw.started:
            yield draw.granted
        if draw.started:
            yield draw.done
        unit.drawing = None
        unit.log_draw(unit.env.now, activity, places, draw)
        left = draw.volume - draw.drawn
        window = unit.next_window(activity) if pauses else window
    return unit.after


def _stand_by(unit: Unit, until_h: float, activity: str, places: Sequence[Place]) -> Process:
    """Wait until the unit is on shift and the weather lets it work."""
    unit.drawing, unit.waiting_for = (activity, places, None), OUTSIDE_HOURS
    yield unit.env.timeout(until_h - unit.env.now)
    unit.stand_still(unit.env.now, activity, places)
