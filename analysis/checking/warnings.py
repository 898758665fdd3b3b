"""What a plan that is valid still deserves to be warned about, before anything is run."""

from __future__ import annotations

from collections.abc import Iterator

from analysis.checking.averages import Plan, plan_of_averages
from analysis.checking.store_sizes import too_small_on_average
from analysis.checking.supply_arithmetic import starving
from analysis.pricing.tariff import unpriced, would_use
from analysis.wording import date_text
from sim.scenario.durations import DesignDuration
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario

LONG_H = 48  # of standing by, before it is worth a warning


def warnings_of(scenario: Scenario) -> list[str]:
    """Sentences, each about one thing to reconsider."""
    plan = plan_of_averages(scenario)
    return [
        *starving(scenario),
        *too_small_on_average(scenario),
        *_early_arrivals(scenario, plan),
        *_late(scenario, plan),
        *_drilling(scenario, plan),
        *_together(scenario),
        *_idle(scenario),
        *_unpriced(scenario),
    ]


def _unpriced(scenario: Scenario) -> Iterator[str]:
    missing = [] if scenario.prices is None else unpriced(scenario, would_use(scenario))
    if missing:
        yield f"Prices miss {', '.join(missing)}: what they are for will be left out of every sum."


def _early_arrivals(scenario: Scenario, plan: Plan) -> Iterator[str]:
    """A fleet that arrives long before anything is prepared stands by."""
    prepared_h = min(plan.prepared_h.values())
    for fleet in scenario.units.pumping_fleets:
        arrives_h = prepared_h if fleet.arrives is None else scenario.hours_at(fleet.arrives)
        if arrives_h < prepared_h - LONG_H:
            yield (
                f"{fleet.name or 'The fleet'} arrives {date_text(scenario, arrives_h)}, but on average no well is "
                f"prepared before {date_text(scenario, prepared_h)}."
            )


def _late(scenario: Scenario, plan: Plan) -> Iterator[str]:
    last_h = max(plan.on_production_h.values())
    if last_h > scenario.horizon:
        yield (
            f"Even on averages the last well is on production after {last_h / 24:.0f} days, "
            f"beyond the horizon of {scenario.horizon / 24:.0f} days."
        )


def _drilling(scenario: Scenario, plan: Plan) -> Iterator[str]:
    """Most operators do not complete a well while a drilling rig is on the pad (The Bakken Magazine, 2013)."""
    start_h = min(plan.fracturing_start_h.values())
    late = [well.name for well in scenario.wells if well.rig_release and scenario.hours_at(well.rig_release) > start_h]
    if late:
        yield (
            f"On averages fracturing begins before the drilling rig has left {', '.join(late)}: work with a drilling "
            "rig on the pad needs a review of simultaneous operations."
        )


def _together(scenario: Scenario) -> Iterator[str]:
    """A stated pumping time does not know that the fleet's rate is shared."""
    stated = [well.name for well in scenario.wells if not isinstance(well.stage_design.pump_time, DesignDuration)]
    if scenario.strategy.pumped_together > 1 and stated:
        yield (
            f"Wells are pumped together, but the pumping time of {', '.join(stated)} is stated: it is taken as it "
            "stands, whatever rate the fleet can hold into each well."
        )


def _idle(scenario: Scenario) -> Iterator[str]:
    """More units than there is ever anything to do for at a time: fleets take groups of wells, the others wells."""
    names = [[name for name, _ in individuals(entries)] for entries in scenario.units.kinds.values()]
    sizes = sorted(len(group) for group in scenario.groups)
    wells, groups = ("wells", len(scenario.wells)), ("groups of wells", len(sizes))
    rotating = ("wells in rotation at a time", sum(sizes[-len(names[1]) :]))
    for units, (jobs, most) in zip(names, (wells, groups, rotating, wells, wells), strict=True):
        if len(units) > most:
            yield f"{', '.join(units)}: some will have nothing to do ({jobs}: {most})."
