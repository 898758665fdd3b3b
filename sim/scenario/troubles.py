"""What may go wrong, as stated: which activity it strikes, how often, what it costs and how work then goes on."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, model_validator
from pydantic_core import PydanticCustomError

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

    @model_validator(mode="after")
    def _one_measure(self) -> Trouble:
        if (self.chance is None) == (self.every is None):
            raise PydanticCustomError(
                "how_often", "expected either a chance for each job or `every`, the mean hours of work between strikes"
            )
        return self


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

USUAL: dict[str, dict[str, Any]] = {
    "screen-out": {"strikes": "pump stage", "chance": "1.5 %", "lost": {"triangular": ["4 h", "8 h", "30 h"]}},
    "misrun": {"strikes": "plug and perforate", "chance": "2 %", "lost": "1 h", "then": "repeat"},
    "stuck tools": {
        "strikes": "plug and perforate",
        "chance": "0.1 %",
        "lost": {"triangular": ["24 h", "36 h", "96 h"]},
    },
    "pump failure": {"strikes": "pumps"},
    "valve trouble": {"strikes": "pump stage", "chance": "2 %", "lost": {"triangular": ["1 h", "2 h", "6 h"]}},
    "failed pressure test": {
        "strikes": "pressure test",
        "chance": "5 %",
        "lost": {"triangular": ["2 h", "4 h", "12 h"]},
        "then": "repeat",
    },
    "failed injection test": {"strikes": "injection test", "chance": "5 %", "lost": "12 h", "then": "repeat"},
    "stuck bit": {"strikes": "mill plugs", "chance": "5 %", "lost": {"triangular": ["12 h", "30 h", "60 h"]}},
    "sand and debris": {"strikes": "flow back", "chance": "20 %", "lost": {"triangular": ["12 h", "24 h", "72 h"]}},
}
"""Usual figures by usual name. The chances of screen-out and misrun and the 30 h of a trip to change tools are common
practice; the other figures are assumptions. No published rate was found for any of them."""


def usual(name: str, stated: object) -> object:
    """What is stated of a trouble, on top of the usual figures of its name."""
    if not isinstance(stated, dict) or name not in USUAL:
        return stated
    usually = dict(USUAL[name])
    if {"chance", "every"} & set(stated):
        usually.pop("chance", None)
    return usually | stated
