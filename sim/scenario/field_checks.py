"""Whether units, stacks and policies of a scenario are enough for its wells."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

import numpy as np

from sim.physics.hydraulics import surface_treating_pressure_psi
from sim.physics.milling import reach_shortfall_ft
from sim.physics.treating_rate import Limit as BoundBy
from sim.scenario.document import Steps
from sim.scenario.equipment import individuals
from sim.scenario.feasibility import Finding
from sim.scenario.scenario import Scenario
from sim.scenario.treating import MINUTES, held_rates, treatment_of
from sim.scenario.wells import Well

DAY_H = 24.0
_LIGHTER = "less friction, a higher stack_rating or a smaller margin"
_STRONGER = "more pumps, a higher rate_limit or fewer wells at once"

NAMES_IN_THE_LOG = frozenset({"Water line", "Water storage", "Proppant storage"})
"""What the log calls the units of the supplies, which nobody names."""


def claimed_names(scenario: Scenario) -> Iterator[Finding]:
    """A unit called as the log calls something else."""
    for kind, entries in scenario.units.kinds.items():
        for number, unit in enumerate(entries):
            for name, _ in individuals([unit]):
                if name in NAMES_IN_THE_LOG:
                    message = f"'{name}' is what logs call a part of the supplies; expected another name"
                    yield Finding(("units", kind, number, "name"), message)


def unprepared(scenario: Scenario) -> Iterator[Finding]:
    """A preparation job that no crew does."""
    known = {job for crew in scenario.units.preparation_crews for job in crew.does}
    needed = ["nipple up", "pressure test", "toe preparation"]
    if any(well.injection_test is not None for well in scenario.wells):
        needed.append("injection test")
    for job in needed:
        if job not in known:
            message = f"no crew does the {job}; expected it under `does` of one of them"
            yield Finding(("units", "preparation_crews"), message)


def too_few_stacks(scenario: Scenario) -> Iterator[Finding]:
    """Fewer frac stacks than wells that must have one at the same time."""
    stacks = scenario.units.frac_stacks
    by_pad = scenario.strategy.drill_out == "after the pad"
    needed = len(scenario.wells) if by_pad else max(len(group) for group in scenario.groups)
    if stacks is not None and stacks < needed:
        reason = "every well keeps its own until the pad is fractured" if by_pad else "the largest group needs its own"
        yield Finding(("units", "frac_stacks"), f"too few: {reason}; expected at least {needed}")


def beyond_pressure(scenario: Scenario) -> Iterator[Finding]:
    """Treating pressures at the design rate above what the frac stack is rated for; rates that no fleet can hold."""
    for number, well in enumerate(scenario.wells):
        if well.pressure is not None:
            steps: Steps = ("wells", number, "pressure")
            heel_ft = well.measured_depth - well.lateral_length
            if well.pressure.true_vertical_depth > heel_ft:
                message = f"deeper than the way to the heel, {heel_ft:,.0f} ft; expected less"
                yield Finding((*steps, "true_vertical_depth"), message)
                continue
            above = list(_above_rating(well, steps))  # what else there is follows from it
            yield from above or (*_untested(scenario, well, steps), *_too_weak(scenario, well, steps))


def design_pressure_psi(well: Well) -> float:
    """Highest treating pressure of a well at its design rate, over the stages; 0 where no pressures are stated."""
    treatment = treatment_of(well)
    if treatment is None:
        return 0.0
    return float(np.max(surface_treating_pressure_psi(well.stage_design.rate / MINUTES, treatment)))


def _above_rating(well: Well, steps: Steps) -> Iterator[Finding]:
    assert well.pressure is not None
    psi, rating = design_pressure_psi(well), well.pressure.stack_rating
    if psi > rating:
        rate = f"{well.stage_design.rate / MINUTES:.0f} bbl/min"
        message = f"at {rate} the treating pressure reaches {psi:,.0f} psi, above the rating of {rating:,.0f} psi"
        yield Finding((*steps, "stack_rating"), f"{message}; expected a lower rate, less friction or a higher rating")


def _untested(scenario: Scenario, well: Well, steps: Steps) -> Iterator[Finding]:
    """A test pressure beyond the rating, or below what the stages will be treated at."""
    assert well.pressure is not None
    tested, rating = well.pressure.test_pressure, well.pressure.stack_rating
    if tested is None:
        return
    fleets, together = scenario.units.pumping_fleets, scenario.strategy.pumped_together
    treated = max(float(np.max(held_rates(well, fleet, together).surface_psi)) for fleet in fleets)
    if tested > rating:
        message = f"above the stack's rating of {rating:,.0f} psi; expected at most that"
        yield Finding((*steps, "test_pressure"), message)
    elif tested < treated:
        message = f"below the treating pressure of {treated:,.0f} psi; expected at least that"
        yield Finding((*steps, "test_pressure"), message)


def _too_weak(scenario: Scenario, well: Well, steps: Steps) -> Iterator[Finding]:
    assert well.pressure is not None
    least = well.pressure.minimum_rate / MINUTES
    for fleet in scenario.units.pumping_fleets:
        held = held_rates(well, fleet, scenario.strategy.pumped_together)
        stage = int(np.argmin(held.rate_bpm))
        if held.rate_bpm[stage] < least:
            only = f"{held.rate_bpm[stage]:.0f} bbl/min in stage {stage + 1}"
            message = f"{fleet.name or 'the fleet'} can hold only {only}, below the minimum of {least:.0f} bbl/min"
            by_pressure = held.bound_by[stage] == BoundBy.PRESSURE
            yield Finding((*steps, "minimum_rate"), f"{message}; expected {_LIGHTER if by_pressure else _STRONGER}")


def all_spare(scenario: Scenario) -> Iterator[Finding]:
    """A fleet of which no pump would be at work."""
    for number, fleet in enumerate(scenario.units.pumping_fleets):
        if fleet.spare_pumps >= fleet.pumps:
            message = f"{fleet.spare_pumps} spare pumps of {fleet.pumps} leave none at work; expected fewer"
            yield Finding(("units", "pumping_fleets", number, "spare_pumps"), message)


def endless_changes(scenario: Scenario) -> Iterator[Finding]:
    """Crew changes that are not at the same times every day, or between which nobody works."""
    shifts = scenario.shifts
    if shifts is None:
        return
    if shifts.every * len(shifts.changes_at) != DAY_H:
        yield Finding(("shifts", "every"), "does not divide a day evenly; expected for example 24 h, 12 h or 8 h")
    elif shifts.crew_change >= shifts.every:
        message = f"leaves no time for work between changes, which are {shifts.every:g} h apart; expected less"
        yield Finding(("shifts", "crew_change"), message)


def out_of_reach(scenario: Scenario) -> Iterator[Finding]:
    """Laterals longer than any milling rig can reach."""
    rigs = scenario.units.milling_rigs
    farthest = max(range(len(rigs)), key=lambda number: rigs[number].reach or inf)
    reach = rigs[farthest].reach
    for well in scenario.wells:
        if reach is not None and reach_shortfall_ft(well.lateral_length, reach) > 0:
            message = f"less than the lateral of {well.name}, {well.lateral_length:,.0f} ft"
            steps: Steps = ("units", "milling_rigs", farthest, "reach")
            yield Finding(steps, f"{message}; expected a rig that reaches its toe, such as a workover rig")
            return


def no_room(scenario: Scenario) -> Iterator[Finding]:
    """Wells that the facility could not take even alone."""
    if scenario.facility is None:
        return
    for number, well in enumerate(scenario.wells):
        if well.production is None:
            message = "production is not stated, but the facility has a limit; expected the peak rate of the well"
            yield Finding(("wells", number), message)
        elif well.production.peak > scenario.facility.limit:
            message = f"more than the facility's limit, {24 * scenario.facility.limit:,.0f} bbl/day; expected less"
            yield Finding(("wells", number, "production", "peak"), message)


def undesigned(scenario: Scenario) -> Iterator[Finding]:
    """Stages of which nobody knows how much water they take."""
    for number, well in enumerate(scenario.wells):
        design, steps = well.stage_design, ("wells", number, "stage_design")
        if design.fluid is None and design.fluid_per_length is None:
            yield Finding(steps, "expected either fluid, all water of a stage, or fluid_per_length")
        elif design.fluid is not None and design.fluid_per_length is not None:
            yield Finding((*steps, "fluid_per_length"), "stands beside fluid; expected one of the two")
        elif design.fluid is not None and design.pad > 0:
            yield Finding((*steps, "pad"), "counts only on top of fluid_per_length; expected it within fluid")
        if design.proppant is not None and design.proppant_per_length is not None:
            yield Finding((*steps, "proppant_per_length"), "stands beside proppant; expected one of the two")


def two_pump_failures(scenario: Scenario) -> Iterator[Finding]:
    """Only one trouble can strike the pumps: they have one state."""
    names = [name for name, trouble in scenario.troubles.items() if trouble.strikes == "pumps"]
    for name in names[1:]:
        yield Finding(("troubles", name), f"strikes the pumps, as {names[0]} does; expected one trouble that does")
