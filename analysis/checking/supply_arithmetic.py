"""What the supplies can carry, as one would work it out by hand: stages a day, the rate needed, days of cover."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import NamedTuple

from analysis.checking.arithmetic import DAY_H, paces, water_per_day_bbl, water_per_stage_bbl, well_sums
from analysis.checking.averages import plan_of_averages
from analysis.checking.haulage_arithmetic import per_day_lb
from sim.scenario.scenario import Scenario
from sim.supplies.mean_flow import inflow_bbl_per_h


def unit_of(supply: str) -> str:
    """What a supply is counted in."""
    return "lb" if supply == "proppant" else "bbl"


class SupplySum(NamedTuple):
    """Averages of one supply, in bbl or lb.

    `held` is in storage before the first stage, `in_ponds` what ponds hold at the start and can pass on in time.
    """

    supply: str
    per_stage: float
    per_day: float
    stages_per_day: float  # that the units could do
    held: float
    in_all: float
    in_ponds: float = 0.0

    @property
    def carried(self) -> float:
        """Stages a day that what comes in can carry."""
        return self.per_day / self.per_stage

    @property
    def knee(self) -> float:
        """The rate a day from which on more would change nothing: V / max(P + S, W) of the strategy."""
        return self.per_stage * self.stages_per_day

    @property
    def stages_held(self) -> float:
        """Stages that the storage alone can supply."""
        return self.held / self.per_stage

    @property
    def days_of_cover(self) -> float:
        """Days that the storage alone lasts at the pace of the units."""
        return self.held / self.knee

    @property
    def starves(self) -> bool:
        """Whether the pad must wait for it on average: what is there and what comes in meanwhile are too little."""
        days = self.in_all / self.knee
        return self.held + self.in_ponds + self.per_day * days < self.in_all * (1 - 1e-9)


def supply_sums(scenario: Scenario) -> list[SupplySum]:
    """One for each supply of which the scenario states anything."""
    return [each for each in (*_water(scenario), *_proppant(scenario), *_others(scenario)) if each.per_stage > 0]


def units_pace(scenario: Scenario) -> float:
    """Stages a day that fleet, wireline and the rotation between them could do if nothing were short."""
    kept = paces(scenario)
    return min(kept.fleet, kept.wireline, kept.rotation)


def _water(scenario: Scenario) -> Iterator[SupplySum]:
    water = scenario.water
    if water is None:
        return
    needed = sum(each.fluid_bbl + each.pump_down_bbl for each in well_sums(scenario))
    per_stage, stages_per_day, per_day = (
        water_per_stage_bbl(scenario),
        units_pace(scenario),
        water_per_day_bbl(scenario),
    )
    days = needed / (per_stage * stages_per_day)
    starts_h = min(plan_of_averages(scenario).fracturing_start_h.values())
    span_h = starts_h, starts_h + DAY_H * days
    without, with_ponds = (inflow_bbl_per_h(scenario, *span_h, ponds=ponds) for ponds in (False, True))
    in_ponds = (with_ponds - without) * DAY_H * days
    yield SupplySum("water", per_stage, per_day, stages_per_day, water.storage.filled_to, needed, in_ponds)


def _proppant(scenario: Scenario) -> Iterator[SupplySum]:
    proppant = scenario.proppant
    if proppant is None:
        return
    needed = sum(each.proppant_lb for each in well_sums(scenario))
    stages = sum(well.stage_count for well in scenario.wells)
    held = proppant.reachable_lb
    yield SupplySum("proppant", needed / stages, per_day_lb(proppant), units_pace(scenario), held, needed)


def _others(scenario: Scenario) -> Iterator[SupplySum]:
    sums = well_sums(scenario)
    stages = sum(each.stages for each in sums)
    mean_h = sum(each.pump_h for each in sums) / stages
    for name, other in scenario.other_supplies.items():
        per_stage, held = other.wanted(mean_h, 1), other.capacity if other.on_hand is None else other.on_hand
        yield SupplySum(name, per_stage, DAY_H * other.rate, units_pace(scenario), held, per_stage * stages)


def starving(scenario: Scenario) -> Iterator[str]:
    """A sentence on each supply for which the pad must wait on average."""
    for each in supply_sums(scenario):
        if each.starves and each.stages_per_day < inf:
            unit = unit_of(each.supply)
            yield (
                f"{each.supply.capitalize()} carries {each.carried:.1f} stages a day, the units could do "
                f"{each.stages_per_day:.1f}: the pad will wait for {each.supply} once {_there(each)} used up, after "
                f"about {in_stages(each)}; {each.knee - each.per_day:,.0f} {unit} a day are missing."
            )


def in_stages(each: SupplySum) -> str:
    """After how many stages the storage is used up at the pace of the units."""
    short_a_stage = each.per_stage * (1 - each.carried / each.stages_per_day)
    return f"{(each.held + each.in_ponds) / short_a_stage:,.0f} stages"


def _there(each: SupplySum) -> str:
    return "its storage and ponds are" if each.in_ponds else "its storage is"
