"""What a replication costs in events, which no machine can make more or fewer."""

from __future__ import annotations

from pathlib import Path

import pytest
import simpy

import sim
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.supplies.stores import Stores
from tests.benchmarks.bare_zipper import bare_zipper
from tests.benchmarks.pads import many_wells, undisturbed

SCENARIO = Path(__file__).parents[2] / "scenarios" / "six_well_pad.yaml"
MOST_EVENTS_A_STAGE = 12
MOST_WITH_EVERYTHING = 16


def events_a_stage(scenario: Scenario, monkeypatch: pytest.MonkeyPatch) -> float:
    """SimPy events of one replication, divided by its stages."""
    steps = 0
    step = simpy.Environment.step

    def counted(env: simpy.Environment) -> None:
        nonlocal steps
        steps += 1
        step(env)

    with monkeypatch.context() as patch:
        patch.setattr(simpy.Environment, "step", counted)
        simulate(scenario, 0, 1)
    return steps / sum(well.stage_count for well in scenario.wells)


@pytest.mark.parametrize("alternative", [None, "sequential", "simultaneous"])
@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish", "as it comes"])
def test_few_events_a_stage(alternative: str | None, rule: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """At most a dozen events a stage, whatever the strategy and the starting rule; a few more with all its troubles."""
    scenario = sim.load(SCENARIO, alternative)
    assert scenario.water is not None
    water = scenario.water.model_copy(update={"start_rule": rule})
    everything = scenario.model_copy(update={"water": water})
    assert 3 < events_a_stage(undisturbed(everything), monkeypatch) <= MOST_EVENTS_A_STAGE
    assert 3 < events_a_stage(everything, monkeypatch) <= MOST_WITH_EVERYTHING


TWO_TANKS = {
    "sources": [
        {"name": "River", "rate": "60 kbbl/day", "to": "Pond", "outages": {"up": "3 day", "down": "10 h"}},
        {"name": "Wells", "rate": "10 kbbl/day", "hours": "06:00-18:00", "daily_limit": "4 kbbl"},
    ],
    "ponds": [{"name": "Pond", "capacity": "100 kbbl", "outlet": "70 kbbl/day", "losses": "200 bbl/day"}],
    "transfer": {"limit": "70 kbbl/day"},
    "storage": {"capacity": "60 kbbl", "working_minimum": "2 kbbl"},
}
MOST_MOMENTS_A_STAGE = 4


@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish", "as it comes"])
def test_few_moments_a_stage_on_a_network(rule: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pond before the storage: events of the stores only for what somebody waits for, whatever flows upstream."""
    scenario = undisturbed(sim.load(SCENARIO))
    water = Water.model_validate(TWO_TANKS | {"start_rule": rule})
    networked = scenario.model_copy(update={"water": water})
    moments = 0
    real = Stores._on_moment

    def counted(stores: Stores, event: simpy.Event) -> None:
        nonlocal moments
        moments += 1
        real(stores, event)

    with monkeypatch.context() as patch:
        patch.setattr(Stores, "_on_moment", counted)
        log = simulate(networked, 0, 1)
    stages = sum(well.stage_count for well in scenario.wells)
    assert any(row.cause.startswith("water: ") for row in log.intervals)
    assert 1 < moments / stages <= MOST_MOMENTS_A_STAGE
    assert events_a_stage(networked, monkeypatch) <= MOST_EVENTS_A_STAGE


def test_events_a_stage_do_not_grow_with_the_pad(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten times the wells cost no more events a stage."""
    small, large = (events_a_stage(many_wells(wells), monkeypatch) for wells in (4, 40))
    assert large <= small * 1.05


def test_the_yardstick_is_a_zipper() -> None:
    """The bare zipper pumps at the pace of its slower station, fleet or wireline, as it should."""
    hours = bare_zipper(wells=2, stages=50, in_rotation=2, wireline_units=2, seed=1)
    pump_and_swap = (1.7 + 1.9 + 2.6) / 3 + (0.33 + 0.5 + 0.75) / 3
    assert 100 * pump_and_swap < hours < 100 * pump_and_swap * 1.1
