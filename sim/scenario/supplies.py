"""The water system as stated: sources, the transfer line, storage on the pad."""

from __future__ import annotations

from math import inf
from typing import Annotated, Literal

from pydantic import Field

from sim.scenario.durations import Duration
from sim.scenario.part import Name, Part, default, unstated
from sim.scenario.quantities import Barrels, BarrelsPerHour, PositiveBarrels, PositiveBarrelsPerHour
from sim.scenario.water_network import Line, Pond, Source
from sim.scenario.wells import COMMON

StartRule = Literal["full stage on hand", "enough to finish", "as it comes"]


class Transfer(Part):
    """The line between the sources and the pad."""

    limit: PositiveBarrelsPerHour
    lay: Duration = default({"triangular": ["24 h", "36 h", "60 h"]}, "assumption")


class Storage(Part):
    """Tanks on the pad, erected and filled before the first stage."""

    capacity: PositiveBarrels
    erect: Duration = default({"triangular": ["8 h", "24 h", "36 h"]}, COMMON)
    fill_to: Barrels | None = unstated("full", "assumption", "level before the first stage")
    on_hand: Barrels = default("0 bbl", "empty when erected")
    working_minimum: Barrels = default("0 bbl", "assumption", "level below which nothing is drawn")

    @property
    def filled_to(self) -> float:
        """Level before the first stage."""
        return self.capacity if self.fill_to is None else self.fill_to


class Water(Part):
    """Where the water comes from and how much must be there before a stage starts."""

    start_rule: StartRule = default("full stage on hand", COMMON)
    sources: Annotated[tuple[Source, ...], Field(min_length=1, max_length=50)]
    ponds: Annotated[tuple[Pond, ...], Field(max_length=50)] = Field(
        default=(), description="ponds or tanks between the sources and the pad"
    )
    lines: Annotated[tuple[Line, ...], Field(max_length=50)] = Field(
        default=(), description="lines on the way, besides the transfer line to the pad"
    )
    transfer: Transfer | None = unstated(
        "no limit and nothing to lay", "assumption", "the line between the sources and the pad"
    )
    storage: Storage
    flowback_to: Name | None = unstated("hauled away", "assumption", "the pond that takes the water of flowback")

    @property
    def is_steady(self) -> bool:
        """Whether the pad sees one constant inflow."""
        return not self.ponds and not self.lines and all(source.is_steady for source in self.sources)

    @property
    def most_inflow(self) -> float:
        """The most that can reach the pad at once, bbl/h."""
        sources = sum(source.rate for source in self.sources if source.to is None)
        lines = sum(line.limit for line in self.lines if line.to is None)
        ponds = sum(pond.outlet for pond in self.ponds if pond.to is None)
        return min(sources + lines + ponds, self.transfer.limit if self.transfer else inf)

    @property
    def nodes(self) -> tuple[Pond | Line, ...]:
        """Whatever else can be fed on the way."""
        return (*self.ponds, *self.lines)


class OtherSupply(Part):
    """Another supply that pumping uses up, such as chemicals or fuel: a steady rate into storage."""

    per_stage: Barrels = default("0 bbl", "none stated", "used by each stage")
    per_hour: BarrelsPerHour = default("0 bbl/h", "none stated", "used while a stage is pumped, such as 3 bbl/h")
    rate: BarrelsPerHour = Field(description="how fast it is brought, such as 200 bbl/day")
    capacity: PositiveBarrels
    on_hand: Barrels | None = unstated("full", "assumption", "level at the start")
    working_minimum: Barrels = default("0 bbl", "assumption", "level below which nothing is drawn")
    start_rule: StartRule = default("full stage on hand", COMMON)

    def wanted(self, hours: float, wells: int) -> float:
        """What pumping one stage in each of so many wells for so many hours uses."""
        return self.per_stage * wells + self.per_hour * hours


class Facility(Part):
    """What the pad's facility can take; a well waits for turn in line until the others have declined enough."""

    limit: PositiveBarrelsPerHour = Field(description="most that all wells together may flow, such as 5 kbbl/day")
