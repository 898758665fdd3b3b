"""What must hold with everything switched on: sound logs, no trouble without troubles, trouble never helps."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from sim.audit import violations
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from sim.scenario.troubles import USUAL
from tests.benchmarks.test_event_counts import MOST_WITH_EVERYTHING, events_a_stage
from tests.field.example import example
from tests.field.records import drawn_bbl, fracturing_end_h
from tests.theory.tolerance import STANDARD_ERRORS

ALTERNATIVES = (None, "sequential", "simultaneous", "simultaneous, same water", "bigger storage")
PRODUCTION = {"peak": "1100 bbl/day", "decline": "40 %", "b": 1.0}
EVERYTHING: dict[str, Any] = {
    "well_defaults.production": PRODUCTION,
    "facility": {"limit": "4 kbbl/day"},
    "strategy.keep_clear": 1,
    "wells.Larkspur 3.toe": {"method": "tubing-conveyed perforating", "time": "10 h"},
    "wells.Larkspur 4.injection_test": {"volume": "25 bbl", "watch": "4 day"},
    "wells.Larkspur 6.stage_design.pump_time": {"lognormal": {"mean": "2.2 h", "cv": 0.4}},
    "units.frac_stacks": 6,
    "units.pumping_fleets.Fleet A.learning": {"doubling": "95 %"},
    "units.wireline_units.learning": {"doubling": "97 %", "done_before": 200},
    "units.milling_rigs.learning": {"doubling": "97 %", "done_before": 40},
    "units.preparation_crews.at_shift_end": "fit the job in",
    "units.milling_rigs.hours": "06:00 - 22:00",
    "units.flowback_spreads.hours": "around the clock",
    "troubles": {
        **{name: {} for name in USUAL},
        "leak": {"strikes": "nipple up", "every": "30 h", "lost": "5 h", "then": "repeat"},
        "lost cone": {"strikes": "mill plugs", "chance": "1 %", "lost": "3 h", "then": "give up the rest"},
    },
}


def everything(alternative: str | None = None, more: dict[str, Any] | None = None) -> Scenario:
    """The example with all that it may state."""
    return example(alternative, EVERYTHING | (more or {}))


@pytest.mark.parametrize("alternative", ALTERNATIVES)
@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish", "as it comes"])
def test_logs_are_sound(alternative: str | None, rule: str) -> None:
    """No unit and no well in two places, stages from toe to heel, volumes balanced, no work out of hours."""
    scenario = everything(alternative, {"water.start_rule": rule})
    for number in range(3):
        assert violations(simulate(scenario, number, 6), scenario) == []


@pytest.mark.parametrize(
    "more",
    [
        {"trouble_factor": 4},
        {"strategy.drill_out": "after the pad"},
        {"strategy.next_well": "least advanced", "strategy.pairs": "any that are ready", "strategy.pumped_together": 2},
        {"strategy.swap.when": "once the next well is ready", "strategy.wells_in_rotation": [4, 2]},
        {"units.pumping_fleets.Fleet A.count": 2, "strategy.keep_clear": 0},
        {"units.pumping_fleets.Fleet A.hours": "06:00 - 20:00", "units.wireline_units.hours": "18:00 - 08:00"},
        {"horizon": "45 day"},
        {"start": "2027-03-01 17:45", "shifts": {"crew_change": "1 h", "every": "6 h"}},
        {"units.frac_stacks": None, "units.preparation_crews.count": 3},
        {
            "weather": {
                "spells": {"other_months": {"good": "20 h", "bad": "20 h"}},
                "stops": {"everything": "bad weather"},
            }
        },
    ],
    ids=lambda more: ", ".join(path.rpartition(".")[2] for path in more),
)
def test_logs_of_other_plans_are_sound(more: dict[str, Any]) -> None:
    """The same with more of one thing or another."""
    scenario = everything(None, more)
    for number in range(3):
        assert violations(simulate(scenario, number, 6), scenario) == []


@pytest.mark.parametrize("alternative", ALTERNATIVES)
def test_no_trouble_and_no_weather_is_the_plan_without_them(alternative: str | None) -> None:
    """Bit for bit: factor zero, and weather that is always good, against a scenario that states neither."""
    good = {"spells": {month: {"good": "40 h", "bad": "0 h"} for month in ("march", "april", "other_months")}}
    nothing = everything(alternative, {"trouble_factor": 0, "weather": good})
    plain = nothing.model_copy(update={"troubles": {}, "weather": None, "trouble_factor": 1.0})
    for number in range(2):
        assert simulate(nothing, number, 6) == simulate(plain, number, 6)


def test_other_seeds_and_replications_are_others() -> None:
    """And the same ones are the same, to the bit."""
    scenario = everything()
    log = simulate(scenario, 1, 6)
    assert simulate(scenario, 1, 6) == log
    assert simulate(scenario, 2, 6).intervals != log.intervals
    assert simulate(scenario, 1, 7).intervals != log.intervals


PAIRS = 40
BEFORE_AND_AFTER = ("failed pressure test", "stuck bit", "sand and debris")
FRACTURING = ("screen-out", "misrun", "stuck tools", "pump failure", "valve trouble")


def doubled(name: str) -> Scenario:
    """The example with one of its troubles striking twice as often."""
    plain = example()
    trouble = plain.troubles[name]
    oftener = {"chance": 2 * trouble.chance} if getattr(trouble, "chance", None) else {"every": trouble.every / 2}
    return plain.model_copy(update={"troubles": plain.troubles | {name: trouble.model_copy(update=oftener)}})


@pytest.fixture(scope="module")
def ends_h() -> np.ndarray:
    """Ends of fracturing of the example, under one luck."""
    return np.array([fracturing_end_h(simulate(example(), number, 30)) for number in range(PAIRS)])


@pytest.mark.slow
@pytest.mark.parametrize("name", FRACTURING)
def test_more_trouble_never_brings_fracturing_to_an_earlier_end(ends_h: np.ndarray, name: str) -> None:
    """Twice the chance of any single trouble: under common luck the mean is not earlier beyond its interval."""
    scenario = doubled(name)
    later = np.array([fracturing_end_h(simulate(scenario, number, 30)) for number in range(PAIRS)]) - ends_h
    assert later.any(), "the trouble counts for nothing"
    assert later.mean() >= -STANDARD_ERRORS * later.std(ddof=1) / np.sqrt(PAIRS)


@pytest.mark.slow
@pytest.mark.parametrize("name", BEFORE_AND_AFTER)
def test_trouble_elsewhere_leaves_fracturing_alone(ends_h: np.ndarray, name: str) -> None:
    """Preparation has days in hand on this pad, and nothing after fracturing holds it up: to the bit the same ends."""
    scenario = doubled(name)
    assert [fracturing_end_h(simulate(scenario, number, 30)) for number in range(10)] == ends_h[:10].tolist()


@pytest.mark.slow
def test_four_times_the_trouble_costs_days(ends_h: np.ndarray) -> None:
    """All troubles together four times as often: later in the mean by more than chance."""
    often = example(changes={"trouble_factor": 4})
    later = np.array([fracturing_end_h(simulate(often, number, 30)) for number in range(PAIRS)]) - ends_h
    assert later.mean() - STANDARD_ERRORS * later.std(ddof=1) / np.sqrt(PAIRS) > 48


def test_more_trouble_draws_no_less_water() -> None:
    """What is repeated is pumped down again; what resumes draws what it would have."""
    calm, troubled = (example(changes={"trouble_factor": factor}) for factor in (0, 1))
    for number in range(4):
        assert drawn_bbl(simulate(troubled, number, 6)) >= drawn_bbl(simulate(calm, number, 6)) - 1e-3


@pytest.mark.parametrize("alternative", ALTERNATIVES)
def test_few_events_a_stage_with_everything(alternative: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    """At most sixteen SimPy events, whatever goes wrong: troubles and weather are worked out, not interrupted."""
    scenario = everything(alternative, {"water.start_rule": "as it comes"})
    assert 3 < events_a_stage(scenario, monkeypatch) <= MOST_WITH_EVERYTHING <= 16
