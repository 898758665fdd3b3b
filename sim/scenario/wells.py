"""The wells as stated: geometry, stages, preparation and stage design."""

from __future__ import annotations

import re
from datetime import date, datetime
from functools import cached_property
from typing import Annotated, Literal

import numpy as np
from pydantic import AfterValidator, BeforeValidator, Field, field_validator
from pydantic_core import PydanticCustomError

from sim.physics.casing import casing_volume_bbl
from sim.physics.stages import distance_from_heel_ft
from sim.physics.volumes import stage_depth_ft, stage_fluid_bbl, stage_length_ft
from sim.scenario.durations import Duration, StageDuration
from sim.scenario.part import Count, Name, Number, Part, default, unstated
from sim.scenario.production import Production as Production  # noqa: PLC0414 - a section of the well
from sim.scenario.quantities import (
    Barrels,
    BarrelsPerFoot,
    PositiveBarrels,
    PositiveBarrelsPerHour,
    PositiveFeet,
    PositiveInches,
    PositivePressure,
    Pounds,
    PoundsPerFoot,
    PoundsPerGallon,
    PressureGradient,
    ShareAboveNone,
    ShareBelowAll,
)
from sim.scenario.quantities import Pressure as SomePressure
from sim.scenario.shapes import Triangular

COMMON = "common practice"
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}(?!\d).*")
_YEARS = range(1950, 2200)


def _moment_text(value: object) -> object:
    """Dates as people type them; a number is refused, for it would be read as seconds since 1970."""
    if isinstance(value, date) or (isinstance(value, str) and _DATE.fullmatch(value)):
        return value
    raise PydanticCustomError("moment", "not a date; expected for example 2027-03-01 or 2027-03-01 06:00")


def _local(value: datetime) -> datetime:
    if value.tzinfo is not None:
        raise PydanticCustomError("moment", "carries a time zone; expected the local time of the location, without")
    if value.year not in _YEARS:
        raise PydanticCustomError("moment", "a year taken for a slip; expected 1950 to 2199")
    return value


Moment = Annotated[datetime, BeforeValidator(_moment_text), AfterValidator(_local)]

ToeMethod = Literal["toe sleeve", "wet shoe", "tubing-conveyed perforating", "none"]

TOE_TIMES: dict[str, float | Triangular] = {
    "toe sleeve": Triangular(2, 3, 4),
    "wet shoe": Triangular(1, 2, 4),
    "tubing-conveyed perforating": Triangular(18, 24, 36),
    "none": 0.0,
}
"""Hours of toe preparation by method (common practice)."""


class Toe(Part):
    """The first opening to the formation at the far end; with `none`, wireline perforates stage 1 too."""

    method: ToeMethod = default("toe sleeve", "assumption")
    time: Duration | None = Field(default=None, description="hours of toe preparation; if not stated: by method")

    @property
    def hours(self) -> Duration:
        """The stated time, or the usual one of the method."""
        return TOE_TIMES[self.method] if self.time is None else self.time


class InjectionTest(Part):
    """A diagnostic fracture injection test: a small injection, then days of watching pressure fall."""

    volume: PositiveBarrels = default("20 bbl", COMMON)
    rate: PositiveBarrelsPerHour = default("4 bbl/min", COMMON)
    set_up: Duration = default({"triangular": ["2 h", "3 h", "6 h"]}, "assumption")
    watch: Duration = default({"triangular": ["3 day", "7 day", "14 day"]}, COMMON)


class Preparation(Part):
    """What a preparation crew does at a well before fracturing."""

    nipple_up: Duration = default({"triangular": ["6 h", "8 h", "12 h"]}, COMMON)
    pressure_test: Duration = default({"triangular": ["2 h", "4 h", "6 h"]}, COMMON)


class StageDesign(Part):
    """What is pumped in every stage of a well, and how long its pumping and its wireline run take."""

    fluid: PositiveBarrels | None = Field(
        default=None, description="all water pumped in one stage; or state fluid_per_length"
    )
    fluid_per_length: BarrelsPerFoot | None = Field(
        default=None, description="water with proppant per length of lateral; pad and flush come on top"
    )
    pad: Barrels = default("0 bbl", "none stated", "water ahead of the proppant, on top of fluid_per_length")
    proppant: Pounds | None = unstated("none", "none stated", "in one stage; or state proppant_per_length")
    proppant_per_length: PoundsPerFoot | None = Field(default=None, description="proppant per length of lateral")
    rate: PositiveBarrelsPerHour = default("90 bbl/min", COMMON)
    pump_down: Barrels | None = unstated("from the depth of the stage", "computed", "water of one wireline run")
    pump_time: StageDuration = default(
        {
            "from_design": {
                "factor": {"pert": [0.95, 1.0, 1.5]},
                "plus": {"triangular": ["10 min", "12 min", "20 min"]},
            }
        },
        "ramp-up 10-20 min: common practice; spread: assumption",
        "fluid / rate, times a factor, plus ramp-up and breakdown",
    )
    wireline_time: StageDuration = default(
        {"from_design": {"factor": {"pert": [0.9, 1.0, 1.6]}}},
        "spread: assumption",
        "depths / line speeds of the wireline unit, times a factor",
    )


class Pressure(Part):
    """What the treating pressure at the wellhead follows from, and what it may reach."""

    true_vertical_depth: PositiveFeet = Field(description="of the lateral")
    stack_rating: PositivePressure = default("10000 psi", COMMON, "rated pressure of the frac stack")
    margin: ShareBelowAll = default("10 %", COMMON, "how far treating stays below the rating")
    test_pressure: PositivePressure | None = unstated(
        "the rating of the stack", "assumption", "what casing and stack are tested to before fracturing"
    )
    fracture_gradient: PressureGradient = default("0.8 psi/ft", "assumption", "pressure that opens the rock, per depth")
    near_wellbore: SomePressure = default("300 psi", "assumption", "friction between perforations and fracture")
    fluid_density: PoundsPerGallon = default("8.34 ppg", "fresh water, common practice")
    friction_reduction: ShareBelowAll = default("70 %", COMMON, "share of the pipe friction of water that is saved")
    perforations: Count = default(30, COMMON, "in one stage: clusters times shots")
    perforation_diameter: PositiveInches = default("0.42 in", COMMON)
    discharge_coefficient: Annotated[Number, Field(gt=0, le=1)] = default(0.8, "from memory")
    minimum_rate: PositiveBarrelsPerHour = default("50 bbl/min", "assumption", "below it no proppant is carried")


class FlowbackWater(Part):
    """Water that comes back while a well flows back, less each day, in steps of a day."""

    rate: PositiveBarrelsPerHour = Field(description="rate at the beginning of flowback, such as 3000 bbl/day")
    decline: ShareAboveNone = default("10 %", "assumption", "share of the rate lost in a day")


class Well(Part):
    """One well of the pad."""

    name: Name
    rig_release: Moment | None = unstated("before the start", "assumption", "when the drilling rig is off")
    measured_depth: PositiveFeet = Field(description="along the hole, from the wellhead to the toe")
    lateral_length: PositiveFeet = Field(description="along the hole, from the heel to the toe")
    stages: Count | None = Field(default=None, description="how many; or state stage_length")
    stage_length: PositiveFeet | None = Field(default=None, description="lateral of one stage; or state stages")
    preparation: Preparation = Field(default_factory=Preparation)
    toe: Toe = Field(default_factory=Toe)
    injection_test: InjectionTest | None = unstated(
        "none", "assumption", "diagnostic fracture injection test; {} for one with all defaults"
    )
    casing_inside_diameter: PositiveInches = default("4.778 in", "5 1/2 in 20 lb/ft casing, API TR 5C3, from memory")
    stage_design: StageDesign
    flowback_water: FlowbackWater | None = unstated("none", "assumption", "water that comes back while it flows back")
    production: Production | None = unstated("unknown", "assumption", "rate of the well once on production")
    pressure: Pressure | None = unstated(
        "not computed", "assumption", "treating pressure, which may hold the rate below its design"
    )

    @field_validator("toe", mode="before")
    @classmethod
    def _method_alone(cls, value: object) -> object:
        return {"method": value} if isinstance(value, str) else value

    @property
    def stage_count(self) -> int:
        """Stages stated, or lateral over stage length, rounded to whole stages."""
        if self.stages is not None:
            return self.stages
        assert self.stage_length is not None  # checked when the scenario is read
        return max(1, round(self.lateral_length / self.stage_length))

    @cached_property
    def fluid_by_stage(self) -> tuple[float, ...]:
        """Water of each stage in bbl, toe to heel: as stated, or by the foot with pad and flush."""
        design, n = self.stage_design, self.stage_count
        if design.fluid_per_length is None:
            assert design.fluid is not None  # checked when the scenario is read
            return (design.fluid,) * n
        heel_ft = self.measured_depth - self.lateral_length
        depth_ft = stage_depth_ft(heel_ft, distance_from_heel_ft(self.lateral_length, n))
        flush_bbl = casing_volume_bbl(depth_ft, self.casing_inside_diameter)
        length_ft = stage_length_ft(self.lateral_length, n)
        fluid = stage_fluid_bbl(length_ft, design.fluid_per_length, design.pad, flush_bbl)
        return tuple(np.asarray(fluid, dtype=np.float64).tolist())

    @property
    def proppant_lb(self) -> float:
        """Proppant of one stage."""
        design = self.stage_design
        if design.proppant_per_length is not None:
            return design.proppant_per_length * stage_length_ft(self.lateral_length, self.stage_count)
        return design.proppant or 0.0
