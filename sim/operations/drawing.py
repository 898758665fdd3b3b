"""Work that uses up supplies evenly while it lasts: pumping a stage, pumping wireline tools down, milling plugs."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from sim.operations.unit import Place, Process, Unit
from sim.supplies.store import ROUNDING
from sim.supplies.supplies import Supplies, Wanted


def work_drawing(
    unit: Unit,
    activity: str,
    hours: float,
    places: Sequence[Place],
    supplies: Supplies | None,
    wanted: Wanted,
    planned_h: float | None = None,
    *,
    attempt_h: float | None = None,
    begun: bool = False,
) -> Process:
    """Work `hours` while drawing what is wanted: waits for it, pauses at shift ends, slows when a supply runs dry.

    Where nothing is wanted or no supply is stated it is never short. Several `places` are worked on at once and get a
    row each. `planned_h` is what the crew believes it to take, and `attempt_h` what of the attempt is still to come if
    nothing goes wrong: there must be enough for that. What has `begun` asks no more whether it may start. Returns the
    last row of the first place; those of the others follow it.
    """
    if supplies is None or hours <= 0 or not any(wanted.values()):
        return (yield from unit.perform(activity, hours, places, planned_h=planned_h))
    left_h, still_wanted, stop_h, start_by_h = hours, wanted, inf, inf
    planned_h = hours if planned_h is None else planned_h
    pauses = not unit.is_free_for(activity)
    window = unit.first_window(activity, planned_h) if pauses else (0.0, inf)
    while left_h > ROUNDING * hours:
        if pauses:
            begin_h, stop_h = window
            start_by_h = inf if left_h < hours else unit.start_by_h
            if begin_h > unit.env.now:
                begun = False
                yield from unit.stand_by(begin_h, activity, places)
                if begin_h > start_by_h:  # the weather let nobody begin while there was time
                    window = unit.first_window(activity, planned_h)
                    continue
        asked_h = None if attempt_h is None else attempt_h - hours + left_h
        draw = supplies.take(
            still_wanted, left_h, stop_h, unit.priority, start_by_h=start_by_h, asked_h=asked_h, begun=begun
        )
        begun = False
        unit.drawing = (activity, places, draw)
        if not draw.started:
            yield draw.granted
        if draw.started:
            yield draw.done
        unit.drawing = None
        unit.log_draw(unit.env.now, activity, places, draw)
        left_h = draw.left_h
        if left_h > 0:
            still_wanted = {supply: volume * left_h / hours for supply, volume in wanted.items()}
            if pauses:
                too_late = not draw.started and start_by_h < inf
                window = (
                    unit.first_window(activity, planned_h, next_shift=True) if too_late else unit.next_window(activity)
                )
    return unit.after
