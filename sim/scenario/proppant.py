"""Proppant as stated: storage on the pad, and how it is filled: at a plain rate, or by trucks one by one."""

from __future__ import annotations

from pydantic import Field

from sim.scenario.durations import Duration
from sim.scenario.equipment import WorkingHours
from sim.scenario.part import Count, Part, default, unstated
from sim.scenario.quantities import PositiveHours, PositivePounds, PositivePoundsPerHour, Pounds
from sim.scenario.supplies import StartRule
from sim.scenario.water_network import Stretches
from sim.scenario.wells import COMMON, Moment

US_DRIVERS = "US rules for drivers, 49 CFR 395.3, from memory"


class ProppantStorage(Part):
    """Silos or boxes on the pad."""

    capacity: PositivePounds
    fill_to: Pounds | None = unstated("full", "assumption", "what must be there before the first stage")
    on_hand: Pounds = default("0 lb", "empty when set up", "at the start of deliveries")


class HoursOfService(Part):
    """How long one driver may drive and be on duty before a rest; a pause as long as a rest counts as one."""

    driving: PositiveHours = default("11 h", US_DRIVERS, "most hours at the wheel between two rests")
    duty: PositiveHours = default("14 h", US_DRIVERS, "after a rest, hours on duty beyond which nobody drives")
    rest: PositiveHours = default("10 h", US_DRIVERS, "hours off duty")


class Trucks(Part):
    """Trucks that go round: load, drive, unload into the storage once there is room for the load, drive back."""

    count: Count = Field(description="trucks that go round")
    payload: PositivePounds = default("46 klb", COMMON)
    load: Duration = default({"triangular": ["10 min", "20 min", "40 min"]}, "assumption", "of one truck by a loader")
    loaders: Count = default(2, "assumption", "trucks that can be loaded at once")
    drive: Duration = Field(description="one way, such as {lognormal: {mean: 75 min, cv: 0.2}}")
    unload_spots: Count = default(2, "assumption", "trucks that can unload at once")
    unload: Duration = default({"triangular": ["20 min", "35 min", "60 min"]}, "assumption", "of one truck")
    hours: WorkingHours = default("around the clock", "assumption", "hours of the day in which the road may be used")
    hours_of_service: HoursOfService | None = unstated(
        "drivers take turns, and no truck rests", "assumption", "driving and duty hours of a truck; {} for the usual"
    )
    closed: Stretches | None = unstated(
        "never", "assumption", "when the road is closed, such as {from: 2027-04-02, until: 2027-04-04 06:00}"
    )


class Proppant(Part):
    """Where the proppant comes from and how much must be there before a stage starts."""

    start_rule: StartRule = default("full stage on hand", COMMON)
    storage: ProppantStorage
    rate: PositivePoundsPerHour | None = Field(
        default=None, description="delivered steadily, such as 4 million lb/day; or state trucks"
    )
    trucks: Trucks | None = Field(default=None, description="delivered load by load; or state a rate")
    starts: Moment | None = unstated("at the start", "assumption", "when deliveries begin")

    @property
    def part(self) -> str:
        """What a wait for proppant is put down to while too little comes."""
        return "delivery" if self.trucks is None else "trucks"

    @property
    def reachable_lb(self) -> float:
        """What must be there before the first stage, as far as whole loads can fill the storage."""
        storage, load = self.storage, self.trucks.payload if self.trucks else 0.0
        wanted = storage.capacity if storage.fill_to is None else storage.fill_to
        if not load:
            return wanted
        return min(wanted, storage.on_hand + load * ((storage.capacity - storage.on_hand) // load))
