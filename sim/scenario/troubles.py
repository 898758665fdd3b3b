"""What may go wrong, as stated: which activity it strikes, how often, what it costs and how work then goes on."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from sim.scenario.durations import Duration
from sim.scenario.part import Count, Part, default
from sim.scenario.quantities import PositiveHours, Share
from sim.scenario.wells import COMMON

Struck = Literal[
    "nipple up",
    "pressure test",
    "toe preparation",
    "injection test",
    "pump stage",
    "plug and perforate",
    "trip in",
    "mill plugs",
    "trip out",
    "flow back",
    "turn in line",
]


class Trouble(Part):
    """Strikes one activity, by chance at each job or once in so many hours of work.

    After the hours lost, work resumes where it stopped, is repeated from the start, or the rest of it is given up.
    """

    strikes: Struck
    chance: Share | None = Field(default=None, description="chance that a job is struck")
    every: PositiveHours | None = Field(default=None, description="mean hours of this work between strikes")
    lost: Duration = Field(description="hours lost each time")
    then: Literal["resume", "repeat", "give up the rest"] = default("resume", "assumption")


class PumpFailure(Part):
    """Single pumps of a fleet fail while pumping; the rate falls below what is needed once no spare is left."""

    strikes: Literal["pumps"]
    every: PositiveHours = default("100 h", COMMON, "mean pumping hours of one pump between failures")
    repair: Duration = default({"lognormal": {"mean": "6 h", "cv": 0.8}}, "assumption")
    repair_crews: Count = default(2, "assumption")


def _what_it_strikes(value: Any) -> str:
    strikes = value.get("strikes") if isinstance(value, dict) else getattr(value, "strikes", None)
    return "of the pumps" if strikes == "pumps" else "of an activity"


AnyTrouble = Annotated[
    Annotated[Trouble, Tag("of an activity")] | Annotated[PumpFailure, Tag("of the pumps")],
    Discriminator(_what_it_strikes),
]
