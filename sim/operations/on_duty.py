"""Units without a job, on shift and off: nobody takes on work at night that another crew could begin sooner."""

from __future__ import annotations

import simpy

from sim.activities import OUTSIDE_HOURS
from sim.operations.unit import Process, Unit


def is_on_duty(unit: Unit) -> bool:
    """Whether the crew of a unit is on shift now; one that changes is."""
    on_duty = unit.shifts.on_duty
    return on_duty.always_open or on_duty.next_open(unit.env.now) == unit.env.now


def covers(unit: Unit, other: Unit) -> bool:
    """Whether a unit is on shift whenever another is."""
    return unit.shifts.on_duty.always_open or unit.shifts.on_duty is other.shifts.on_duty


def come_on_duty(unit: Unit) -> Process:
    """Wait for the next shift, unless the unit is on shift; whoever meets it then logs the wait."""
    if not is_on_duty(unit):
        unit.waiting_for = OUTSIDE_HOURS
        yield unit.env.timeout(unit.shifts.on_duty.next_open(unit.env.now) - unit.env.now)


def while_on_duty(unit: Unit, event: simpy.Event) -> simpy.Event:
    """Fires with an event, or at the end of the shift if that comes first."""
    on_duty, now = unit.shifts.on_duty, unit.env.now
    return event if on_duty.always_open else event | unit.env.timeout(on_duty.closes(now) - now)
