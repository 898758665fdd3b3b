"""The arithmetic of trucks, as a dispatcher would do it by hand: means, nobody queueing, no weather, no closures."""

from __future__ import annotations

from math import ceil
from typing import NamedTuple

from sim.chance.sampling import mean
from sim.scenario.proppant import Proppant, Trucks

DAY_H = 24.0


class RoundTrip(NamedTuple):
    """Mean hours of each part of a round, and how long a truck can be on it in a day."""

    load_h: float
    drive_h: float
    unload_h: float
    at_work_h: float

    @property
    def hours(self) -> float:
        """Load, drive, unload and drive back."""
        return self.load_h + 2 * self.drive_h + self.unload_h

    @property
    def a_day(self) -> float:
        """Rounds of one truck in a day."""
        return self.at_work_h / self.hours


class Brought(NamedTuple):
    """What can be brought in a day, in lb, by each of what it takes; the least of them counts.

    Where the road closes at night all trucks come in the same hours, and loaders and spots are idle in the others.
    """

    trucks: float
    loaders: float
    unload_spots: float

    @property
    def least(self) -> tuple[float, str]:
        """What is brought, and what it is bound by."""
        found, part = min(zip(self, self._fields, strict=True))
        return found, part.replace("_", " ")


def round_trip(trucks: Trucks) -> RoundTrip:
    """The mean round of a truck."""
    load_h, drive_h, unload_h = (mean(each) for each in (trucks.load, trucks.drive, trucks.unload))
    return RoundTrip(load_h, drive_h, unload_h, _at_work_h(trucks, load_h + 2 * drive_h + unload_h, 2 * drive_h))


def _at_work_h(trucks: Trucks, round_h: float, driving_h: float) -> float:
    """Hours of a day in which a truck goes round: while the road is open, and within its hours of service.

    A night that is long enough is the rest; otherwise rests follow upon hours of duty, whatever the time of day.
    """
    open_h = _open_h(trucks)
    limits = trucks.hours_of_service
    if limits is None:
        return open_h
    duty_h = min(limits.duty, limits.driving * round_h / driving_h) if driving_h else limits.duty
    if DAY_H - open_h >= limits.rest:
        return min(open_h, duty_h)
    return min(open_h, DAY_H * duty_h / (duty_h + limits.rest))


def _open_h(trucks: Trucks) -> float:
    opens, closes = trucks.hours
    return (closes - opens) % DAY_H or DAY_H


def brought(trucks: Trucks) -> Brought:
    """What trucks, loaders and unload spots could each bring in a day, in lb."""
    each, load = round_trip(trucks), trucks.payload
    used_h = DAY_H if _open_h(trucks) == DAY_H else each.at_work_h
    busy_h = {"loaders": each.load_h / trucks.loaders, "unload_spots": each.unload_h / trucks.unload_spots}
    by_part = {part: load * used_h / hours if hours else float("inf") for part, hours in busy_h.items()}
    return Brought(trucks.count * load * each.a_day, **by_part)


def per_day_lb(proppant: Proppant) -> float:
    """What is delivered in a day on average, with nobody queueing."""
    if proppant.trucks is None:
        return DAY_H * (proppant.rate or 0.0)
    return brought(proppant.trucks).least[0]


def trucks_needed(trucks: Trucks, lb_per_day: float) -> int:
    """Trucks that bring so much in a day: round x demand / payload, rounded up."""
    return ceil(lb_per_day / (trucks.payload * round_trip(trucks).a_day) - 1e-9)
