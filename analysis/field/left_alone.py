"""Figures of a plan that no log can change, each with the reason: silence about them would look like agreement."""

from __future__ import annotations

from collections.abc import Iterator

from analysis.field.paths import unit_paths
from sim.scenario.durations import ByStage
from sim.scenario.equipment import MillingRig
from sim.scenario.scenario import Scenario


def left_alone(scenario: Scenario) -> list[str]:
    """What is left as planned, and why."""
    return [*_troubles(scenario), *_stages(scenario), *_units(scenario)]


def _troubles(scenario: Scenario) -> Iterator[str]:
    if scenario.pump_failure is not None:
        yield f"{scenario.pump_failure[0]} (a log shows hours lost once no spare is left, not single pumps)"
    if scenario.troubles and scenario.trouble_factor == 0:
        yield "how often troubles strike (the plan's trouble_factor is 0)"


def _stages(scenario: Scenario) -> Iterator[str]:
    for key, what in (("pump_time", "pumping"), ("wireline_time", "wireline runs")):
        wells = [well.name for well in scenario.wells if isinstance(getattr(well.stage_design, key), ByStage)]
        if wells:
            yield f"{what} of {', '.join(wells)} (stated stage by stage)"


def _units(scenario: Scenario) -> Iterator[str]:
    known = unit_paths(scenario)
    nameless = [name for name, (_, _, path) in known.items() if path is None]
    if nameless:
        yield f"times of {', '.join(nameless)} (their entries have no name to go by)"
    rigs = [entry for _, entry, _ in known.values() if isinstance(entry, MillingRig)]
    if any(rig.sweep_every for rig in rigs):
        yield "sweeps (logged as one)"
    if any(rig.learning for rig in rigs):
        yield "plugs of rigs that learn (a log gives hours of all plugs together)"
