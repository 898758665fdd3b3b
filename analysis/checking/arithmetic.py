"""The plan's own arithmetic, as a planner would check it by hand: volumes, hours at their means, paces."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from analysis.checking.averages import AVERAGE, pace, plan_of_averages
from analysis.checking.haulage_arithmetic import per_day_lb
from sim.operations.drill_out import milling_job
from sim.operations.flowback import flowback_job
from sim.operations.preparation import preparation_job, watch_hours
from sim.operations.stage_times import StageTimes
from sim.operations.wireline import runs_of
from sim.scenario.scenario import Scenario
from sim.scenario.wells import Well
from sim.supplies.mean_flow import inflow_bbl_per_h

DAY_H = 24.0


class WellSum(NamedTuple):
    """Volumes and mean hours of one well. A run of wireline is needed for each stage but one that the toe opens."""

    well: str
    stages: int
    fluid_bbl: float
    pump_down_bbl: float
    proppant_lb: float
    preparation_h: float
    pump_h: float
    wireline_h: float
    drill_out_h: float
    flowback_h: float

    @property
    def all_h(self) -> float:
        """One thing after the other, with nobody waiting: the least time the well itself can take."""
        return self.preparation_h + self.pump_h + self.wireline_h + self.drill_out_h + self.flowback_h


class Paces(NamedTuple):
    """Stages a day that fleet, wireline, the round between them and each supply can keep up on average.

    A supply that is not limited is infinite. All for the group with the slowest pace.
    """

    fleet: float
    wireline: float
    rotation: float
    water: float
    proppant: float

    @property
    def slowest(self) -> str:
        """What holds the pad to its pace."""
        return min(zip(self, self._fields, strict=True))[1]


def well_sums(scenario: Scenario) -> list[WellSum]:
    """One line for each well, in the order of the scenario."""
    return [_well_sum(scenario, well) for well in scenario.wells]


def _well_sum(scenario: Scenario, well: Well) -> WellSum:
    units, together = scenario.units, scenario.strategy.pumped_together
    first_run = 0 if well.toe.method == "none" else 1
    runs = runs_of(AVERAGE, well, units.wireline_units[0])[first_run:]
    times = StageTimes(AVERAGE, well, scenario.strategy.swap.time, units.pumping_fleets[0])
    return WellSum(
        well.name,
        well.stage_count,
        sum(well.fluid_by_stage),
        sum(water for _, water in runs),
        well.stage_count * well.proppant_lb,
        _total_h(preparation_job(AVERAGE, well)) + watch_hours(AVERAGE, well),
        sum(times.pump_h(together)),
        sum(hours for hours, _ in runs),
        _total_h(milling_job(AVERAGE, well, units.milling_rigs[0])),
        _total_h(flowback_job(AVERAGE, well, units.flowback_spreads[0])),
    )


def _total_h(job: list[tuple[str, float]]) -> float:
    return sum(hours for _, hours in job)


def paces(scenario: Scenario) -> Paces:
    """What each part of the pad can keep up, in stages a day, around the clock."""
    fleets = scenario.units.pumping_fleets
    slowest = max(scenario.groups, key=lambda group: pace(scenario, group, fleets[0]).turn_h)
    mean, together = pace(scenario, slowest, fleets[0]), min(scenario.strategy.pumped_together, len(slowest))
    many = sum(fleet.count for fleet in fleets)
    by_fleet, by_wireline, by_round = (DAY_H * together / hours if hours else inf for hours in mean)
    return Paces(many * by_fleet, by_wireline, many * by_round, _by_water(scenario), _by_proppant(scenario))


def _by_water(scenario: Scenario) -> float:
    """Stages a day that the inflow carries, with the water that pumps the tools down."""
    if scenario.water is None:
        return inf
    return water_per_day_bbl(scenario) / water_per_stage_bbl(scenario)


def water_per_day_bbl(scenario: Scenario) -> float:
    """What reaches the pad in a mean day of the fracturing that averages promise: in season, blended as stated."""
    return DAY_H * inflow_bbl_per_h(scenario, *fracturing_span_h(scenario))


def fracturing_span_h(scenario: Scenario) -> tuple[float, float]:
    """From when to when the pad is fractured on averages."""
    plan = plan_of_averages(scenario)
    return min(plan.fracturing_start_h.values()), max(plan.fracturing_end_h.values())


def _by_proppant(scenario: Scenario) -> float:
    """Stages a day that what is delivered carries."""
    needed = sum(well.stage_count * well.proppant_lb for well in scenario.wells)
    if scenario.proppant is None or needed == 0:
        return inf
    return per_day_lb(scenario.proppant) * sum(well.stage_count for well in scenario.wells) / needed


def water_per_stage_bbl(scenario: Scenario) -> float:
    """Mean water of a stage, pump-down included."""
    sums = well_sums(scenario)
    return sum(each.fluid_bbl + each.pump_down_bbl for each in sums) / sum(each.stages for each in sums)
