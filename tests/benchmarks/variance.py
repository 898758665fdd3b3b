"""By how much control variates cut the variance of mean dates: what helps is kept, the rest is here to be looked at."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np

import sim
from analysis.checking.averages import AVERAGE
from analysis.forecasting.control_variates import controlled_mean, flowback_hours
from analysis.measures import measure
from sim.chance.luck import Luck, drawn
from sim.operations.drill_out import milling_job
from sim.operations.stage_times import StageTimes
from sim.operations.wireline import runs_of
from sim.scenario.scenario import Scenario

SCENARIO = Path(__file__).parents[2] / "scenarios" / "six_well_pad.yaml"
N, SEED = 400, 1


def stage_hours(scenario: Scenario, luck: Luck) -> list[float]:
    """Sum of all pumping hours, and of all wireline hours."""
    units, strategy = scenario.units, scenario.strategy
    fleet, wireline = units.pumping_fleets[0], units.wireline_units[0]
    pumping = [
        sum(StageTimes(luck, w, strategy.swap.time, fleet).pump_h(strategy.pumped_together)) for w in scenario.wells
    ]
    return [sum(pumping), sum(hours for well in scenario.wells for hours, _ in runs_of(luck, well, wireline))]


def drill_out_hours(scenario: Scenario, luck: Luck) -> list[float]:
    """Drill-out hours of each well."""
    rig = scenario.units.milling_rigs[0]
    return [sum(hours for _, hours in milling_job(luck, well, rig)) for well in scenario.wells]


CONTROLS = {
    "pumping and wireline, sums": stage_hours,
    "drill-out of each well": drill_out_hours,
    "flowback of each well": flowback_hours,
}


def show() -> None:
    """One line for each plan and date: the factors of the three sets of controls; 1.00 is no use."""
    print(f"variance of means over that with controls ({N} replications): {', '.join(CONTROLS)}")
    for name in (None, "sequential", "simultaneous"):
        scenario = sim.load(SCENARIO, name)
        pads = [measure(sim.simulate(scenario, k, SEED)).pad for k in range(N)]
        for date in ("first_production_h", "all_on_production_h"):
            values = np.array([getattr(pad, date) for pad in pads])
            factors = [f"{_factor(scenario, hours, values):.2f}" for hours in CONTROLS.values()]
            print(f"{name or 'base plan':13s} {date:20s} {'   '.join(factors)}")


def _factor(scenario: Scenario, hours: Callable[[Scenario, Luck], list[float]], values: np.ndarray) -> float:
    controls = np.array([hours(scenario, Luck(drawn(SEED, k))) for k in range(N)])
    return controlled_mean(values, controls, hours(scenario, AVERAGE)).factor
