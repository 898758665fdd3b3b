"""Small pads for tests, built from plain numbers instead of files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sim.scenario.scenario import Scenario

NOW = "0 h"


def minutes(values: float | Sequence[float]) -> Any:
    """A stage duration: one for all stages, or one for each, in minutes."""
    if isinstance(values, (int, float)):
        return f"{values!r} min"
    return {"by_stage": [f"{value!r} min" for value in values]}


def well(name: str, stages: int, wireline: Any, pump: Any, *, toe: bool, fluid: str = "1 bbl", **more: Any) -> dict:
    """A well that is prepared at hour zero, whose stages take exactly the stated times."""
    return {
        "name": name,
        "measured_depth": "20000 ft",
        "lateral_length": "10000 ft",
        "stages": stages,
        "preparation": {"nipple_up": NOW, "pressure_test": NOW},
        "toe": {"method": "toe sleeve" if toe else "none", "time": NOW},
        "stage_design": {"fluid": fluid, "wireline_time": wireline, "pump_time": pump, "pump_down": "0 bbl"},
    } | more


def units(wireline_units: int = 1, **more: Any) -> dict:
    """Units that set up, mill and flow back in no time, so that only fracturing takes time."""
    at_once = {"rig_up": NOW, "rig_down": NOW}
    return {
        "preparation_crews": {},
        "pumping_fleets": at_once,
        "wireline_units": {"count": wireline_units} | at_once,
        "milling_rigs": at_once | {"per_plug": NOW, "run_in": "16000 ft/min", "pull_out": "16000 ft/min"},
        "flowback_spreads": {"rig_up": NOW, "duration": NOW, "turn_in_line": NOW},
    } | more


def pad(wells: list[dict], strategy: dict, **more: Any) -> Scenario:
    """A scenario of these wells, validated as one from a file would be."""
    stated = {"start": "2027-03-01", "horizon": "5000 day", "wells": wells, "strategy": strategy, "units": units()}
    return Scenario.model_validate(stated | more)
