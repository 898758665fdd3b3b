"""How the pad is fractured, as data: sequential, zipper and simultaneous are settings, not code paths."""

from __future__ import annotations

from math import ceil
from typing import Annotated, Literal

from pydantic import Field

from sim.scenario.durations import Duration
from sim.scenario.part import Count, Name, OneOrSeveral, Part, default, unstated
from sim.scenario.quantities import PositiveFeet
from sim.scenario.wells import COMMON

NextWell = Literal["alternate", "first ready", "least advanced", "as listed"]
SwapWhen = Literal["as soon as the fleet is free", "once the next well is ready"]


GroupSizes = Annotated[tuple[Count, ...], Field(min_length=1, max_length=1000), OneOrSeveral()]


class Swap(Part):
    """Moving the fleet from one well to the next at the valves."""

    time: Duration = default({"triangular": ["20 min", "30 min", "45 min"]}, COMMON)
    when: SwapWhen = default("as soon as the fleet is free", "assumption")


class Strategy(Part):
    """Rotation, order and policies.

    `wells_in_rotation` 1 is sequential, 2 or more a zipper; `pumped_together` 2 is simultaneous fracturing.
    """

    wells_in_rotation: GroupSizes = default(
        2, "assumption", "wells that share the fleet at a time; a list: group by group, the last repeats"
    )
    pumped_together: Count = default(1, "assumption", "wells that one fleet pumps at the same time")
    pairs: Literal["as listed", "any that are ready"] = default("as listed", "assumption")
    next_well: NextWell = default("alternate", "assumption")
    swap: Swap = Field(default_factory=Swap)
    between_groups: Duration = default({"triangular": ["4 h", "6 h", "12 h"]}, "assumption")
    drill_out: Literal["after the group", "after the pad"] = default("after the group", "assumption")
    keep_clear: Annotated[int, Field(ge=0, le=1000)] = default(
        0, "assumption", "wells, as listed on the pad, between fracturing and drill-out, flowback or production"
    )
    keep_clear_distance: PositiveFeet | None = unstated(
        "no distance", "assumption", "the same as a distance along the row of wellheads; the stricter counts"
    )
    well_spacing: PositiveFeet = default("20 ft", COMMON, "between neighbouring wellheads")
    order: Annotated[tuple[Name, ...], Field(min_length=1, max_length=1000)] | None = unstated(
        "as listed", "assumption", "wells in the order in which they enter the rotation"
    )

    @property
    def wells_between(self) -> int:
        """Wells that must lie between fracturing and other work, by number or by distance."""
        if self.keep_clear_distance is None:
            return self.keep_clear
        return max(self.keep_clear, ceil(self.keep_clear_distance / self.well_spacing - 1e-9) - 1)
