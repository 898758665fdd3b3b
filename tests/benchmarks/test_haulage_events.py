"""What trucks cost in events: so many a load; a rate costs next to none."""

from __future__ import annotations

from math import ceil

import pytest
import simpy

from sim.pad import simulate
from sim.scenario.proppant import Proppant
from sim.scenario.scenario import Scenario
from tests.benchmarks.pads import many_wells

LOADS_A_STAGE = 10
MOST_EVENTS_A_LOAD = 6


def with_proppant(**delivery: object) -> Scenario:
    """Four wells of which each stage takes ten loads."""
    scenario = many_wells(4)
    design = scenario.wells[0].stage_design.model_copy(update={"proppant": LOADS_A_STAGE * 46_000.0})
    wells = tuple(well.model_copy(update={"stage_design": design}) for well in scenario.wells)
    proppant = Proppant.model_validate({"storage": {"capacity": "3 million lb"}} | delivery)
    return scenario.model_copy(update={"wells": wells, "proppant": proppant})


def events(scenario: Scenario, monkeypatch: pytest.MonkeyPatch) -> int:
    """SimPy events of one replication."""
    steps, step = 0, simpy.Environment.step

    def counted(env: simpy.Environment) -> None:
        nonlocal steps
        steps += 1
        step(env)

    with monkeypatch.context() as patch:
        patch.setattr(simpy.Environment, "step", counted)
        simulate(scenario, 0, 1)
    return steps


def test_events_of_trucks(monkeypatch: pytest.MonkeyPatch) -> None:
    """At most half a dozen a load, most of them places in a queue; a rate adds two a stage."""
    bare = many_wells(4)
    stages = sum(well.stage_count for well in bare.wells)
    without = events(bare, monkeypatch)
    by_rate = events(with_proppant(rate="5 million lb/day"), monkeypatch)
    drive = {"lognormal": {"mean": "75 min", "cv": 0.2}}
    by_truck = events(with_proppant(trucks={"count": 30, "drive": drive}), monkeypatch)
    loads = stages * LOADS_A_STAGE + ceil(3e6 / 46e3)
    assert by_rate - without <= 2.1 * stages
    assert stages < by_truck - by_rate <= MOST_EVENTS_A_LOAD * loads
