"""Stores that do not hold what a job takes at its mean, where all of that must be on hand before it starts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from analysis.checking.averages import AVERAGE
from sim import activities
from sim.operations.drill_out import milling_job, reaches, water_of
from sim.operations.stage_times import StageTimes
from sim.physics.drill_out import plugs_in
from sim.scenario.scenario import Scenario
from sim.scenario.wells import Well

ALL_ON_HAND = "full stage on hand"


def too_small_on_average(scenario: Scenario) -> Iterator[str]:
    """A sentence on each store beside which a job of mean length would wait for ever; what takes hours takes volume."""
    yield from _drill_outs(scenario)
    sets = [group[: scenario.strategy.pumped_together] for group in scenario.groups]
    for name, other in scenario.other_supplies.items():
        taken = max(other.wanted(_stage_h(scenario, wells), len(wells)) for wells in sets) if other.per_hour else 0.0
        room = other.capacity - other.working_minimum
        if other.start_rule == ALL_ON_HAND and taken > room:
            yield (
                f"A stage of mean length takes {taken:,.0f} bbl of {name}, and its storage holds {room:,.0f} bbl to "
                "draw: it would never start. State a larger capacity, or a start_rule other than 'full stage on hand'."
            )


def _stage_h(scenario: Scenario, wells: Sequence[Well]) -> float:
    fleet, swap = scenario.units.pumping_fleets[0], scenario.strategy.swap.time
    return max(max(StageTimes(AVERAGE, well, swap, fleet).pump_h(len(wells))) for well in wells)


def _drill_outs(scenario: Scenario) -> Iterator[str]:
    water = scenario.water
    if water is None or water.start_rule != ALL_ON_HAND:
        return
    room = water.storage.capacity - water.storage.working_minimum
    for well in scenario.wells:
        plugs = plugs_in(well.stage_count)
        hours = [
            (rig, dict(milling_job(AVERAGE, well, rig))[activities.MILL_PLUGS])
            for rig in scenario.units.milling_rigs
            if reaches(well, rig)
        ]
        least = min((water_of(rig, plugs, each).get(activities.WATER, 0.0) for rig, each in hours), default=0.0)
        if least > room:
            yield (
                f"Milling the {plugs} plugs of {well.name} takes {least:,.0f} bbl on average, and storage holds "
                f"{room:,.0f} bbl to draw: it would never start. State a larger capacity, or another start_rule."
            )
