"""The water system as stated: sources, the transfer line, storage on the pad."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from sim.scenario.durations import Duration
from sim.scenario.part import Name, Part, default, unstated
from sim.scenario.quantities import Barrels, BarrelsPerHour, PositiveBarrels, PositiveBarrelsPerHour
from sim.scenario.wells import COMMON

StartRule = Literal["full stage on hand", "enough to finish", "as it comes"]


class Source(Part):
    """One source of water, delivering steadily."""

    name: Name
    rate: BarrelsPerHour


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


class Water(Part):
    """Where the water comes from and how much must be there before a stage starts."""

    start_rule: StartRule = default("full stage on hand", COMMON)
    sources: Annotated[tuple[Source, ...], Field(min_length=1, max_length=50)]
    transfer: Transfer | None = unstated(
        "no limit and nothing to lay", "assumption", "the line between the sources and the pad"
    )
    storage: Storage


class Facility(Part):
    """What the pad's facility can take; a well waits for turn in line until the others have declined enough."""

    limit: PositiveBarrelsPerHour = Field(description="most that all wells together may flow, such as 5 kbbl/day")
