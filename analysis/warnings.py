"""What a plan that is valid still deserves to be warned about, before anything is run."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from analysis.arithmetic import Paces, paces
from analysis.averages import Plan, plan_of_averages
from sim.scenario.durations import DesignDuration
from sim.scenario.scenario import Scenario


def warnings_of(scenario: Scenario) -> list[str]:
    """Sentences, each about one thing to reconsider."""
    kept, plan = paces(scenario), plan_of_averages(scenario)
    return [*_water(scenario, kept), *_early_arrivals(scenario, plan), *_late(scenario, plan), *_together(scenario)]


def _water(scenario: Scenario, kept: Paces) -> Iterator[str]:
    others = min(kept.fleet, kept.wireline, kept.rotation)
    if kept.water < others < inf:
        yield (
            f"Water carries {kept.water:.1f} stages a day, the units could do {others:.1f}: "
            "the pad will wait for water once its storage is used up."
        )


def _early_arrivals(scenario: Scenario, plan: Plan) -> Iterator[str]:
    """A fleet that arrives long before anything is prepared stands by."""
    prepared_h = min(plan.prepared_h.values())
    for fleet in scenario.units.pumping_fleets:
        if fleet.arrives is not None and scenario.hours_at(fleet.arrives) < prepared_h - 48:
            yield (
                f"{fleet.name or 'The fleet'} arrives {fleet.arrives:%d %b %Y}, but on average no well is prepared "
                f"before {scenario.moment_at(prepared_h):%d %b %Y}."
            )


def _late(scenario: Scenario, plan: Plan) -> Iterator[str]:
    last_h = max(plan.on_production_h.values())
    if last_h > scenario.horizon:
        yield (
            f"Even on averages the last well is on production after {last_h / 24:.0f} days, "
            f"beyond the horizon of {scenario.horizon / 24:.0f} days."
        )


def _together(scenario: Scenario) -> Iterator[str]:
    """A stated pumping time does not know that the fleet's rate is shared."""
    stated = [well.name for well in scenario.wells if not isinstance(well.stage_design.pump_time, DesignDuration)]
    if scenario.strategy.pumped_together > 1 and stated:
        yield (
            f"Wells are pumped together, but the pumping time of {', '.join(stated)} is stated: it is taken as it "
            "stands, whatever rate the fleet can hold into each well."
        )
