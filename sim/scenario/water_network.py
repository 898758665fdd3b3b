"""Where the water comes from as stated: sources, ponds and the lines between them, each with one way on to the pad."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario.durations import Duration
from sim.scenario.equipment import AROUND_THE_CLOCK, Priority, WorkingHours
from sim.scenario.part import Name, OneOrSeveral, Part, default, unstated
from sim.scenario.quantities import (
    Barrels,
    BarrelsPerHour,
    PositiveBarrels,
    PositiveBarrelsPerHour,
    PositiveHours,
    ShareAboveNone,
)
from sim.scenario.wells import Moment

PAD = "the transfer line to the pad"


class Stretch(Part):
    """A stretch of the calendar, in local time."""

    begins: Moment = Field(alias="from", description="local date and time")
    until: Moment = Field(description="local date and time")

    @model_validator(mode="after")
    def _forwards(self) -> Stretch:
        if self.until <= self.begins:
            raise PydanticCustomError("stretch", "over before it begins; expected a later `until`")
        return self


Stretches = Annotated[tuple[Stretch, ...], Field(min_length=1, max_length=400), OneOrSeveral()]


class Outages(Part):
    """Running and standing still by turns, each for a random (exponential) time that nobody foresees."""

    up: PositiveHours = Field(description="mean time between outages, such as 20 day")
    down: PositiveHours = Field(description="mean length of an outage, such as 10 h")


class Source(Part):
    """One source of water. Several that share a way deliver in proportion to what each could, unless by priority."""

    name: Name
    rate: BarrelsPerHour
    daily_limit: PositiveBarrels | None = unstated(
        "none", "assumption", "permit: most that may be taken from midnight to midnight"
    )
    hours: WorkingHours = default("around the clock", "assumption", "hours of the day in which it may be taken")
    open: Stretches | None = unstated("always", "assumption", "seasons in which it may be taken")
    outages: Outages | None = unstated("none", "assumption", "mean times up and down")
    stopped: Stretches | None = unstated("never", "assumption", "outages known beforehand, with dates")
    to: Name | None = unstated(PAD, "assumption", "the pond or line that it feeds")
    priority: Priority = default(1, "assumption", "lower is taken first")

    @property
    def is_steady(self) -> bool:
        """Whether it delivers the same at any time, straight to the pad."""
        varying = (self.daily_limit, self.open, self.outages, self.stopped, self.to)
        return all(each is None for each in varying) and self.hours == AROUND_THE_CLOCK


class Pond(Part):
    """A pond or tank between sources and the pad, which takes in water from hour zero."""

    name: Name
    capacity: PositiveBarrels
    on_hand: Barrels = default("0 bbl", "assumption", "level at the start")
    outlet: PositiveBarrelsPerHour = Field(description="most that can leave it, such as 60 kbbl/day")
    losses: BarrelsPerHour = default("0 bbl/day", "assumption", "evaporation and seepage while it holds water")
    working_minimum: Barrels = default("0 bbl", "assumption", "level below which nothing is drawn")
    blend_limit: ShareAboveNone = default("100 %", "assumption", "most of what flows to the pad that may come from it")
    to: Name | None = unstated(PAD, "assumption", "the pond or line that it feeds")
    priority: Priority = default(1, "assumption", "lower is taken first")


class Line(Part):
    """A line on the way to the pad; where several ways meet in one it holds nothing."""

    name: Name
    limit: PositiveBarrelsPerHour
    lay: Duration = default({"triangular": ["12 h", "24 h", "36 h"]}, "assumption")
    to: Name | None = unstated(PAD, "assumption", "the pond or line that it feeds")
    priority: Priority = default(1, "assumption", "lower is taken first")
