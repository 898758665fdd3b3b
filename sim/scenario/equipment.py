"""The units that do the work: each is an individual with an arrival, working hours and its own speeds."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Annotated, Literal, TypeVar

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from sim.scenario.durations import Duration
from sim.scenario.part import Count, Name, OneOrSeveral, Part, default, unstated
from sim.scenario.quantities import (
    Barrels,
    BarrelsPerHour,
    FeetPerHour,
    Horsepower,
    Hours,
    PositiveBarrelsPerHour,
    PositiveFeet,
    PositiveHours,
    ShareAboveNone,
)
from sim.scenario.wells import COMMON, Moment

DAY_SHIFT = (6.0, 18.0)
AROUND_THE_CLOCK = (0.0, 24.0)
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})\s*-\s*(\d{1,2}):(\d{2})")


def _working_hours(value: object) -> tuple[float, float]:
    """Opening and closing hour of the day; 'around the clock' is (0, 24). A window may run past midnight."""
    if value == "around the clock":
        return AROUND_THE_CLOCK
    if value == "day shift":
        return DAY_SHIFT
    if isinstance(value, tuple):
        return value
    match = _CLOCK.fullmatch(value.strip()) if isinstance(value, str) else None
    if match:
        h1, m1, h2, m2 = (int(part) for part in match.groups())
        opens, closes = h1 + m1 / 60, h2 + m2 / 60
        if max(h1, h2) <= 24 and max(m1, m2) < 60 and opens < 24 and closes <= 24 and opens != closes:
            return (opens, closes)
    raise PydanticCustomError(
        "working_hours",
        "not working hours; expected 'around the clock', 'day shift' (06:00-18:00) or e.g. '07:00-19:00'",
    )


def _hour_of_day(value: object) -> object:
    match = re.fullmatch(r"(\d{1,2}):(\d{2})", value.strip()) if isinstance(value, str) else None
    if isinstance(value, float):
        return value
    if match is None or int(match[1]) > 23 or int(match[2]) > 59:
        raise PydanticCustomError("hour_of_day", "not a time of day; expected for example 06:00")
    return int(match[1]) + int(match[2]) / 60


HourOfDay = Annotated[
    float,
    BeforeValidator(_hour_of_day),
    WithJsonSchema({"type": "string", "description": "a time of day such as 06:00"}),
]
WorkingHours = Annotated[
    tuple[float, float],
    BeforeValidator(_working_hours),
    WithJsonSchema({"type": "string", "description": "'around the clock', 'day shift' or e.g. '07:00-19:00'"}),
]


Priority = Annotated[int, Field(ge=1, le=100)]


class Shifts(Part):
    """Crew changes with their safety meeting, at the same times of day for all units; work stands still meanwhile."""

    crew_change: Hours = default("30 min", COMMON)
    first_at: HourOfDay = default("06:00", COMMON, "time of day of one of the changes")
    every: PositiveHours = default("12 h", COMMON)

    @property
    def changes_at(self) -> list[float]:
        """Hours of the day at which crews change."""
        return [self.first_at + number * self.every for number in range(max(1, round(24 / self.every)))]


class Unit(Part):
    """What every kind of unit states. Several of a kind share one entry by `count`."""

    name: Name | None = None
    count: Count = 1
    arrives: Moment | None = unstated(
        "on call, when first needed", "assumption", "when it is on location and on standby"
    )
    hours: WorkingHours = default("around the clock", COMMON)
    at_shift_end: Literal["pause", "fit the job in"] = default(
        "pause", "assumption", "pause and resume next shift, or start only what fits into the shift"
    )


PreparationJob = Literal["nipple up", "pressure test", "toe preparation", "injection test"]
ALL_JOBS = ("nipple up", "pressure test", "toe preparation", "injection test")


class PreparationCrew(Unit):
    """Nipples up the frac stack, tests it, and prepares the toe; or only some of that."""

    does: Annotated[tuple[PreparationJob, ...], Field(min_length=1, max_length=4), OneOrSeveral()] = default(
        ALL_JOBS, "assumption", "the preparation jobs that this crew knows"
    )


class Learning(Part):
    """How a crew gets faster: the share of time left when it has done twice as many (Wright 1936, from memory).

    The stated times are those of its first unit of work here, experience included.
    """

    doubling: ShareAboveNone = default("95 %", "drilling rigs, Redlinger 2015: order of magnitude only")
    done_before: Annotated[int, Field(ge=0, le=100_000)] = default(0, "assumption", "units of work done before")


class PumpingFleet(Unit):
    """Pumps the stages. `rate_limit` is the most it can pump in all, into however many wells at once."""

    rig_up: Duration = default({"triangular": ["24 h", "48 h", "72 h"]}, COMMON)
    rig_down: Duration = default({"triangular": ["12 h", "24 h", "36 h"]}, "assumption")
    pumps: Count = default(20, COMMON, "pumps on location")
    spare_pumps: Annotated[int, Field(ge=0, le=100)] = default(2, COMMON, "of these, not needed at full rate")
    pump_power: Horsepower = default(
        "1250 hp", "half of a nameplate of 2500 hp: assumption", "hydraulic horsepower that one pump holds for hours"
    )
    rate_limit: PositiveBarrelsPerHour = default("100 bbl/min", COMMON)
    learning: Learning | None = unstated("none", "assumption", "on the time of a stage")
    priority: Priority = default(1, "assumption", "where a supply is short, lower is served first")


class WirelineUnit(Unit):
    """Pumps plug and guns down, sets the plug, perforates, pulls out."""

    rig_up: Duration = default("6 h", "assumption")
    rig_down: Duration = default("3 h", "assumption")
    run_in: FeetPerHour = default("250 ft/min", COMMON)
    pump_down: FeetPerHour = default("350 ft/min", COMMON)
    pump_down_rate: PositiveBarrelsPerHour = default("12 bbl/min", COMMON)
    plug_and_perforate: Duration = default("15 min", COMMON)
    pull_out: FeetPerHour = default("400 ft/min", COMMON)
    turnaround: Duration = default("40 min", COMMON, "tool string, lubricator, pressure test and hand-over, a run")
    learning: Learning | None = unstated("none", "assumption", "on the time of a run")
    priority: Priority = default(1, "assumption", "where a supply is short, lower is served first")


class MillingRig(Unit):
    """Mills the plugs: a coiled-tubing unit or a workover rig. Rig-up includes the move to the well."""

    kind: Literal["coiled tubing", "workover rig"] = default("coiled tubing", "assumption")
    rig_up: Duration = default({"triangular": ["6 h", "8 h", "12 h"]}, COMMON)
    rig_down: Duration = default({"triangular": ["3 h", "4 h", "6 h"]}, "assumption")
    run_in: FeetPerHour = default("80 ft/min", COMMON)
    per_plug: Duration = default({"triangular": ["5 min", "8 min", "15 min"]}, COMMON)
    pull_out: FeetPerHour = default("120 ft/min", COMMON)
    sweep_every: Count | None = unstated("none", "none stated", "plugs milled between sweeps or short trips")
    sweep: Duration = default({"triangular": ["1 h", "1.5 h", "3 h"]}, COMMON, "hours of a sweep or short trip")
    reach: PositiveFeet | None = unstated(
        "to any toe", "assumption", "lateral that the coil can reach; a well with a longer one is refused"
    )
    learning: Learning | None = unstated("none", "assumption", "on the time of a plug")
    water_per_plug: Barrels = default("0 bbl", "none stated", "water that milling a plug uses up")
    water_loss: BarrelsPerHour = default("0 bbl/min", "none stated", "water lost while milling circulates")
    priority: Priority = default(1, "assumption", "where a supply is short, lower is served first")


class FlowbackSpread(Unit):
    """Takes the first controlled flow of a well, with sand and plug debris, until it is turned in line."""

    rig_up: Duration = default("12 h", "assumption")
    duration: Duration = default({"triangular": ["7 day", "14 day", "30 day"]}, COMMON)
    choke_steps: Annotated[tuple[Duration, ...], Field(min_length=1, max_length=50)] | None = unstated(
        "one step, `duration`", "assumption", "time on each choke of the schedule, in order; replaces `duration`"
    )
    turn_in_line: Duration = default({"triangular": ["1 day", "2 day", "3 day"]}, COMMON)


U = TypeVar("U", bound=Unit)
Several = Annotated[tuple[U, ...], Field(min_length=1, max_length=50), OneOrSeveral()]


class Units(Part):
    """All units of the pad, by kind; each kind is one entry, or a list of entries."""

    frac_stacks: Count | None = unstated(
        "enough for all", "assumption", "frac stacks on hand; a well keeps its own until it is drilled out"
    )
    preparation_crews: Several[PreparationCrew]
    pumping_fleets: Several[PumpingFleet]
    wireline_units: Several[WirelineUnit]
    milling_rigs: Several[MillingRig]
    flowback_spreads: Several[FlowbackSpread]

    @property
    def kinds(self) -> dict[str, Sequence[Unit]]:
        """Entries of each kind by its key, in the order in which the work goes."""
        return {
            "preparation_crews": self.preparation_crews,
            "pumping_fleets": self.pumping_fleets,
            "wireline_units": self.wireline_units,
            "milling_rigs": self.milling_rigs,
            "flowback_spreads": self.flowback_spreads,
        }


BASE_NAMES: dict[type[Unit], str] = {
    PreparationCrew: "Preparation crew",
    PumpingFleet: "Fleet",
    WirelineUnit: "Wireline",
    MillingRig: "Milling rig",
    FlowbackSpread: "Flowback spread",
}


def individuals(entries: Sequence[U]) -> list[tuple[str, U]]:
    """Every single unit of one kind with its name: the stated one, numbered where an entry counts several."""
    unnamed = sum(entry.count for entry in entries if entry.name is None)
    found: list[tuple[str, U]] = []
    number = 0
    for entry in entries:
        for k in range(1, entry.count + 1):
            if entry.name is None:
                number += 1
                name = BASE_NAMES[type(entry)] + (f" {number}" if unnamed > 1 else "")
            else:
                name = entry.name + (f" {k}" if entry.count > 1 else "")
            found.append((name, entry))
    return found
