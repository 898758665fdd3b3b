"""What may go wrong, as stated: which activity it strikes, how often, what it costs and how work then goes on."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self, get_args

from pydantic import BeforeValidator, Discriminator, Field, ModelWrapValidatorHandler, Tag, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario.durations import Duration
from sim.scenario.part import Count, Name, Part, default
from sim.scenario.problems import did_you_mean
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
PUMPS = "pumps"
GIVEN_UP = "give up the rest"
CAN_BE_GIVEN_UP = ("pump stage", "mill plugs", "flow back")


def _struck(value: object) -> object:
    known = (*get_args(Struck), PUMPS)
    if value in known:
        return value
    hint = did_you_mean(value, known) if isinstance(value, str) else ""
    raise PydanticCustomError(
        "strikes", "{message}", {"message": f"nothing that a trouble strikes{hint}; expected one of {', '.join(known)}"}
    )


class _WithUsual(dict[str, Any]):
    """Figures of a trouble, with the keys of those that are usual, not stated."""

    usual: frozenset[str] = frozenset()


class _Figures(Part):
    """What of a trouble is taken as usual counts as unstated."""

    @model_validator(mode="wrap")
    @classmethod
    def _stated_alone(cls, value: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        trouble = handler(value)
        if isinstance(value, _WithUsual):
            trouble.model_fields_set.difference_update(value.usual)
        return trouble


class Trouble(_Figures):
    """Strikes one activity, by chance at each job or once in so many hours of work.

    After the hours lost, work resumes where it stopped, is repeated from the start, or the rest of it is given up: a
    stage, the plugs still to be milled, days of flowback. No well goes on without its pressure test.
    """

    strikes: Annotated[Struck, BeforeValidator(_struck)] = Field(description="an activity, or pumps")
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

    @model_validator(mode="after")
    def _can_be_given_up(self) -> Trouble:
        if self.then == GIVEN_UP and self.strikes not in CAN_BE_GIVEN_UP:
            could = ", ".join(CAN_BE_GIVEN_UP)
            raise PydanticCustomError(
                "given_up",
                "the rest of {strikes} cannot be given up; expected 'resume' or 'repeat', or a trouble of {could}",
                {"strikes": self.strikes, "could": could},
            )
        return self


class PumpFailure(_Figures):
    """Single pumps of a fleet fail while pumping; the rate falls below what is needed once no spare is left."""

    strikes: Literal["pumps"] = Field(description="single pumps, while they pump")
    every: PositiveHours = default("100 h", COMMON, "mean pumping hours of one pump between failures")
    repair: Duration = default({"lognormal": {"mean": "6 h", "cv": 0.8}}, "assumption")
    repair_crews: Count = default(2, "assumption")


def _what_it_strikes(value: Any) -> str:
    strikes = value.get("strikes") if isinstance(value, dict) else getattr(value, "strikes", None)
    return "of the pumps" if strikes == PUMPS else "of an activity"


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
    "pump failure": {"strikes": PUMPS},
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
"""Usual figures by usual name. No published rate was found for any of them."""

_SOURCES = {
    ("screen-out", "chance"): COMMON,
    ("misrun", "chance"): COMMON,
    ("stuck tools", "chance"): COMMON,
    ("stuck bit", "lost"): "30 h of a trip to change tools: common practice; spread: assumption",
}


def source_of_usual(name: str, key: str) -> str:
    """On whose word a usual figure stands."""
    return _SOURCES.get((name, key), "assumption")


def usual(name: str, stated: object) -> object:
    """What is stated of a trouble, on top of the usual figures of its name.

    None where it strikes the pumps and usually an activity, or the reverse: their figures are of other kinds.
    """
    if not isinstance(stated, dict) or name not in USUAL:
        return stated
    usually = dict(USUAL[name])
    if (stated.get("strikes", usually["strikes"]) == PUMPS) != (usually["strikes"] == PUMPS):
        return stated
    if {"chance", "every"} & set(stated):
        usually.pop("chance", None)
    figures = _WithUsual(usually | stated)
    figures.usual = frozenset(usually) - set(stated)
    return figures


def kind_of_trouble(name: str, stated: object) -> Any:
    """The model of a trouble as stated, of which perhaps nothing is stated."""
    return PumpFailure if _what_it_strikes(usual(name, stated or {})) == "of the pumps" else Trouble


def _with_usual_figures(value: object) -> object:
    return {name: usual(name, stated) for name, stated in value.items()} if isinstance(value, dict) else value


Troubles = Annotated[dict[Name, AnyTrouble], Field(max_length=50), BeforeValidator(_with_usual_figures)]
"""Troubles by name; a usual name takes its usual figures where nothing else is stated."""
