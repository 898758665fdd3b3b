"""The arithmetic of one stage, line by line, as a supervisor would check it on paper; durations at their means."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from analysis.checking.averages import AVERAGE
from sim import activities
from sim.operations.stage_times import StageTimes
from sim.operations.wireline import runs_of
from sim.physics.casing import casing_volume_bbl
from sim.physics.hydraulics import HORSEPOWER, hydraulic_horsepower, treating_pressure
from sim.physics.possible import Numbers
from sim.physics.stages import distance_from_heel_ft
from sim.physics.treating_rate import Limit
from sim.scenario.durations import ByStage, DesignDuration, StageDuration
from sim.scenario.equipment import PumpingFleet, WirelineUnit
from sim.scenario.scenario import Scenario
from sim.scenario.treating import MINUTES, HeldRates, held_rates, treatment_of
from sim.scenario.troubles import Trouble
from sim.scenario.wells import Pressure, Well

BOUND = {
    Limit.DESIGN: "the design",
    Limit.PRESSURE: "the rating of the stack less its margin",
    Limit.HORSEPOWER: "the horsepower of the pumps that run",
}


class Line(NamedTuple):
    """One line of the arithmetic: what it is about, how it is reckoned, and what comes out."""

    topic: str
    reckoning: str
    result: str


class Stage(NamedTuple):
    """A stage of a well under the first fleet and wireline unit of the scenario; `number` counts from 1 at the toe."""

    scenario: Scenario
    well: Well
    number: int

    @property
    def fleet(self) -> PumpingFleet:
        """The fleet whose rates count."""
        return self.scenario.units.pumping_fleets[0]

    @property
    def wireline(self) -> WirelineUnit:
        """The unit whose speeds count."""
        return self.scenario.units.wireline_units[0]

    @property
    def together(self) -> int:
        """Wells pumped at once."""
        return min(self.scenario.strategy.pumped_together, max(len(group) for group in self.scenario.groups))

    @property
    def from_heel_ft(self) -> float:
        """Distance of its middle from the heel."""
        return float(distance_from_heel_ft(self.well.lateral_length, self.well.stage_count)[self.number - 1])

    @property
    def heel_ft(self) -> float:
        """Measured depth of the heel."""
        return self.well.measured_depth - self.well.lateral_length


def explain(stage: Stage) -> list[Line]:
    """All lines, in the order in which one would reckon them."""
    return [
        *_depth(stage),
        *_volumes(stage),
        *_pressure(stage),
        *_pumping(stage),
        *_wireline(stage),
        *_troubles(stage),
    ]


def _depth(stage: Stage) -> Iterator[Line]:
    well = stage.well
    yield Line("heel", f"{well.measured_depth:,.0f} ft - {well.lateral_length:,.0f} ft", f"{stage.heel_ft:,.0f} ft")
    yield Line(
        "middle of the stage from the heel",
        f"{well.lateral_length:,.0f} ft x ({well.stage_count} - {stage.number} + 1/2) / {well.stage_count}",
        f"{stage.from_heel_ft:,.0f} ft",
    )
    depth_ft = stage.heel_ft + stage.from_heel_ft
    yield Line("its measured depth", f"{stage.heel_ft:,.0f} ft + {stage.from_heel_ft:,.0f} ft", f"{depth_ft:,.0f} ft")


def _volumes(stage: Stage) -> Iterator[Line]:
    well, design = stage.well, stage.well.stage_design
    fluid = well.fluid_by_stage[stage.number - 1]
    if design.fluid_per_length is None:
        yield Line("fluid", "stated, pad and flush included", f"{fluid:,.0f} bbl")
    else:
        depth_ft, length_ft = stage.heel_ft + stage.from_heel_ft, well.lateral_length / well.stage_count
        flush = float(casing_volume_bbl(depth_ft, well.casing_inside_diameter))
        yield Line("flush", f"{well.casing_inside_diameter:g}^2 in2 / 1029.4 x {depth_ft:,.0f} ft", f"{flush:,.0f} bbl")
        yield Line(
            "fluid",
            f"{length_ft:,.2f} ft x {design.fluid_per_length:g} bbl/ft + pad {design.pad:,.0f} bbl + flush",
            f"{fluid:,.0f} bbl",
        )
    yield Line("proppant", _proppant_words(well), f"{well.proppant_lb:,.0f} lb")


def _proppant_words(well: Well) -> str:
    design = well.stage_design
    if design.proppant_per_length is not None:
        return f"{well.lateral_length / well.stage_count:,.2f} ft x {design.proppant_per_length:g} lb/ft"
    return "none stated" if design.proppant is None else "stated"


def _pressure(stage: Stage) -> Iterator[Line]:
    held, at = held_rates(stage.well, stage.fleet, stage.together), stage.number - 1
    rate = f"{held.rate_bpm[at]:.1f} bbl/min"
    if stage.well.pressure is None:
        yield Line("rate", _rate_words(stage), rate)
        return
    yield Line("rate held", f"{_rate_words(stage)}; bound by {BOUND[Limit(held.bound_by[at])]}", rate)
    yield from _terms(stage, held, stage.well.pressure)
    yield from _power(stage, float(held.rate_bpm[at]), float(held.surface_psi[at]), int(held.pumps_needed[at]))


def _terms(stage: Stage, held: HeldRates, stated: Pressure) -> Iterator[Line]:
    """The balance of pressure, term by term."""
    treatment, at = treatment_of(stage.well), stage.number - 1
    assert treatment is not None  # pressures are stated
    terms, depth = treating_pressure(held.rate_bpm, treatment), f"{stated.true_vertical_depth:,.0f} ft"
    perforations = f"{stated.perforations} of {stated.perforation_diameter:g} in"
    friction = f"of water, less {100 * stated.friction_reduction:.0f} %"
    most = stated.stack_rating * (1 - stated.margin)
    limit = f"limit {stated.stack_rating:,.0f} psi less {100 * stated.margin:.0f} % = {most:,.0f} psi"
    for topic, reckoning, psi in (
        ("to open the rock", f"{stated.fracture_gradient:g} psi/ft x {depth}", terms.fracturing_psi),
        ("+ perforations", perforations, terms.perforation_psi),
        ("+ pipe friction", friction, terms.pipe_psi),
        ("+ near the wellbore", "stated", terms.near_wellbore_psi),
        ("- weight of the fluid", f"12/231 x {stated.fluid_density:g} ppg x {depth}", terms.hydrostatic_psi),
        ("= treating pressure", limit, held.surface_psi),
    ):
        yield Line(topic, reckoning, f"{_at(psi, at):,.0f} psi")


def _power(stage: Stage, rate_bpm: float, psi: float, pumps: int) -> Iterator[Line]:
    fleet, many = stage.fleet, f"{stage.together} x " if stage.together > 1 else ""
    power = stage.together * float(hydraulic_horsepower(psi, rate_bpm))
    reckoning = f"{many}{psi:,.0f} psi x {rate_bpm:.1f} bbl/min / {HORSEPOWER}"
    yield Line("hydraulic horsepower", reckoning, f"{power:,.0f} hp")
    reckoning = f"{power:,.0f} hp / {fleet.pump_power:,.0f} hp; of {fleet.pumps}, {fleet.spare_pumps} spare"
    yield Line("pumps needed", reckoning, f"{pumps}")


def _rate_words(stage: Stage) -> str:
    design, limit = stage.well.stage_design.rate / MINUTES, stage.fleet.rate_limit / MINUTES
    share = f" / {stage.together} wells" if stage.together > 1 else ""
    return f"design {design:.0f}, fleet {limit:.0f}{share} bbl/min"


def _at(value: Numbers, number: int) -> float:
    """One stage of what may be an array over the stages."""
    return float(np.ravel(value)[number if np.ndim(value) else 0])


def _pumping(stage: Stage) -> Iterator[Line]:
    well, fleet = stage.well, stage.fleet
    times = StageTimes(AVERAGE, well, stage.scenario.strategy.swap.time, fleet)
    rate = float(held_rates(well, fleet, stage.together).rate_bpm[stage.number - 1])
    fluid = well.fluid_by_stage[stage.number - 1]
    reckoning = _time_words(well.stage_design.pump_time, f"{fluid:,.0f} bbl / {rate:.1f} bbl/min / 60")
    yield Line("pumping", reckoning, _hours(times.pump_h(stage.together)[stage.number - 1]))
    yield Line("swap", "mean", _hours(times.swap_h[stage.number - 1]))


def _time_words(stated: StageDuration, design: str) -> str:
    if isinstance(stated, DesignDuration):
        factor = float(AVERAGE.many("", "", stated.from_design.factor, 1)[0])
        plus = AVERAGE.hours("", "", stated.from_design.plus)
        return f"({design}) x {factor:.5g} + {plus:.4g} h, factor and addition at their means"
    return "stated for this stage" if isinstance(stated, ByStage) else "stated"


def _wireline(stage: Stage) -> Iterator[Line]:
    well, unit = stage.well, stage.wireline
    if stage.number == 1 and well.toe.method != "none":
        yield Line("wireline", f"none: the {well.toe.method} opens stage 1", "0 h")
        return
    hours, water = runs_of(AVERAGE, well, unit)[stage.number - 1]
    parts = (
        ("run in to the heel", f"{stage.heel_ft:,.0f} ft / {unit.run_in / 60:.0f} ft/min", stage.heel_ft / unit.run_in),
        (
            "pumped down",
            f"{stage.from_heel_ft:,.0f} ft / {unit.pump_down / 60:.0f} ft/min",
            stage.from_heel_ft / unit.pump_down,
        ),
        ("set plug and perforate", "mean", AVERAGE.hours("", "", unit.plug_and_perforate)),
        (
            "pull out",
            f"{stage.heel_ft + stage.from_heel_ft:,.0f} ft / {unit.pull_out / 60:.0f} ft/min",
            (stage.heel_ft + stage.from_heel_ft) / unit.pull_out,
        ),
        ("turnaround", "mean", AVERAGE.hours("", "", unit.turnaround)),
    )
    for topic, reckoning, each in parts:
        yield Line(topic, reckoning, _hours(each))
    total = " + ".join(f"{each:.3f}" for _, _, each in parts)
    yield Line("wireline run", _time_words(well.stage_design.wireline_time, total), _hours(hours))
    rate = f"{unit.pump_down_rate / MINUTES:.0f} bbl/min"
    reckoning = f"{rate} x time pumped down" if well.stage_design.pump_down is None else "stated"
    yield Line("pump-down water", reckoning, f"{water:,.0f} bbl")


def _troubles(stage: Stage) -> Iterator[Line]:
    factor = stage.scenario.trouble_factor
    for name, trouble in stage.scenario.troubles.items():
        if trouble.strikes in {activities.PUMP_STAGE, activities.PLUG_AND_PERFORATE} and isinstance(trouble, Trouble):
            lost = f"{AVERAGE.hours('', '', trouble.lost):.1f} h lost, then {trouble.then}"
            often = (
                f"{100 * trouble.chance * factor:.3g} % of jobs"
                if trouble.chance is not None
                else f"once in {(trouble.every or 0) / factor:,.1f} h of work"
                if factor
                else "never"
            )
            yield Line(name, f"strikes {trouble.strikes}; {lost} (mean)", often)


def _hours(hours: float) -> str:
    return f"{hours:.2f} h" if hours >= 1 else f"{60 * hours:.0f} min"
