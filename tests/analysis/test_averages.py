"""The plan of averages against sums by hand, and against the simulator where there is nothing to wait for."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.checking.averages import Plan, pace, plan_of_averages
from analysis.measures import measure
from analysis.statistics import mean_interval
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, units, well

CREW = {"nipple_up": "7 h", "pressure_test": "5 h"}


def one_well(**changes: Any) -> Scenario:
    """One well, every duration fixed and above zero, one unit of each, no water limits."""
    alone = well("A", 5, "2.5 h", "2 h", toe=False, preparation=CREW)
    return pad([alone], {"wells_in_rotation": 1}, units=working_units() | changes)


def working_units() -> dict[str, Any]:
    """Units that take time over everything; trips of 20 000 ft at 2 000 ft/h are 10 h."""
    return units(
        pumping_fleets={"rig_up": "24 h", "rig_down": "12 h"},
        milling_rigs={
            "rig_up": "8 h", "rig_down": "4 h", "per_plug": "30 min", "run_in": "2000 ft/h", "pull_out": "4000 ft/h",
        },
        flowback_spreads={"rig_up": "12 h", "duration": "5 day", "turn_in_line": "1 day"},
    )  # fmt: skip


def as_simulated(scenario: Scenario) -> Plan:
    """The milestones of a run without luck, in the form of a plan."""
    rows = measure(simulate(scenario)).wells
    return Plan(*({row.well: getattr(row, name) for row in rows} for name in Plan._fields))


@pytest.mark.parametrize("arrives", [None, "2027-03-01", "2027-03-04"])
def test_one_well_without_luck_is_exact(arrives: str | None) -> None:
    """12 h of preparation, a fleet that rigs up 24 h, 5 stages of 4.5 h, then 8 + 10 + 2 + 5 + 4 and 12 + 144 h."""
    fleet = {"rig_up": "24 h", "rig_down": "12 h"} | ({"arrives": arrives} if arrives else {})
    scenario = one_well(pumping_fleets=fleet)
    plan = plan_of_averages(scenario)
    begins = {None: 36.0, "2027-03-01": 24.0, "2027-03-04": 96.0}[arrives]  # on call it comes to a prepared well
    assert plan.prepared_h == {"A": 12.0}
    assert plan.fracturing_end_h == {"A": begins + 22.5}
    assert plan.drilled_out_h == {"A": begins + 22.5 + 25}
    assert plan.flowback_start_h == {"A": begins + 22.5 + 25 + 4 + 12}
    assert plan.on_production_h == {"A": begins + 22.5 + 25 + 4 + 12 + 144}
    simulated = as_simulated(scenario)
    assert simulated.fracturing_start_h == {"A": begins + 2.5}  # the plan counts the stage from its wireline run on
    same = [name for name in Plan._fields if name != "fracturing_start_h"]
    assert [getattr(plan, name) for name in same] == [pytest.approx(getattr(simulated, name)) for name in same]


def test_open_toe_saves_a_run_that_averages_count() -> None:
    """A steady pace knows no first stage: with an open toe the run is over one wireline run sooner."""
    scenario = pad([well("A", 8, minutes(150), minutes(120), toe=True)], {"wells_in_rotation": 1})
    assert plan_of_averages(scenario).fracturing_end_h["A"] == pytest.approx(8 * 4.5)
    assert as_simulated(scenario).fracturing_end_h["A"] == pytest.approx(8 * 4.5 - 2.5)


def zipper(wireline: float, pump: float, swap: float, stages: int = 4, toe: bool = False) -> Scenario:
    """Two equal wells in turn, times in minutes."""
    wells = [well(f"W{k}", stages, minutes(wireline), minutes(pump), toe=toe) for k in (1, 2)]
    return pad(wells, {"wells_in_rotation": 2, "swap": {"time": minutes(swap)}})


def test_zipper_goes_at_the_pace_of_the_slowest() -> None:
    """W 90, P 150, S 15 min: a stage each max(150 + 15, 90, (150 + 90) / 2) = 165 min, so 8 of them take 22 h.

    Played, they take 1395 min (closed form for the zipper, derived for this project): the first run keeps all waiting.
    """
    scenario = zipper(90, 150, 15)
    assert pace(scenario, scenario.wells, scenario.units.pumping_fleets[0]) == pytest.approx((2.75, 1.5, 2.0))
    assert max(plan_of_averages(scenario).fracturing_end_h.values()) == pytest.approx(22.0)
    assert max(as_simulated(scenario).fracturing_end_h.values()) == pytest.approx(1395 / 60)


@pytest.mark.parametrize(
    ("wells", "wireline_units", "together", "expected"),
    [
        (1, 1, 1, (2.0, 3.0, 5.0)),  # alone: no swap, the round is the whole of it
        (2, 1, 1, (2.5, 3.0, 2.5)),
        (3, 2, 1, (2.5, 1.5, 5 / 3)),
        (2, 1, 2, (2.0, 6.0, 8.0)),  # a pair: two runs one after the other, then both are pumped
        (2, 2, 2, (2.0, 3.0, 5.0)),
        (4, 2, 2, (2.5, 3.0, 2.5)),  # two pairs in turn
    ],
)
def test_pace_of_a_turn(wells: int, wireline_units: int, together: int, expected: tuple[float, ...]) -> None:
    """P 2 h, W 3 h, S 0.5 h: what fleet, wireline and the round take for a turn, by hand."""
    group = [well(f"W{k}", 3, "3 h", "2 h", toe=False) for k in range(wells)]
    strategy = {"wells_in_rotation": wells, "pumped_together": together, "swap": {"time": "30 min"}}
    scenario = pad(group, strategy, units=units(wireline_units))
    found = pace(scenario, scenario.wells, scenario.units.pumping_fleets[0])
    assert found == pytest.approx(expected)
    assert found.turn_h == max(found)


def test_pumping_together_shares_the_fleets_rate() -> None:
    """9000 bbl at 90 bbl/min take 100 min; two wells from a fleet of 100 bbl/min get 50 each: 3 h."""
    design = {"fluid": "9000 bbl", "rate": "90 bbl/min", "pump_time": "from design", "wireline_time": "1 h"}
    group = [well(name, 2, "1 h", "1 h", toe=False) | {"stage_design": design} for name in ("A", "B")]
    fleet = {"rig_up": "0 h", "rig_down": "0 h", "rate_limit": "100 bbl/min"}
    for together, pump_h in ((1, 100 / 60), (2, 3.0)):
        strategy = {"pumped_together": together, "swap": {"time": "0 h"}}
        scenario = pad(group, strategy, units=units(2, pumping_fleets=fleet))
        assert pace(scenario, scenario.wells, scenario.units.pumping_fleets[0]).fleet_h == pytest.approx(pump_h)


def test_wells_drop_out_of_a_rotation_when_they_are_done() -> None:
    """Stages 2 and 5 at a turn of 2 h: four turns until the shorter is done, seven in all."""
    wells = [well("Short", 2, "1 h", "2 h", toe=False), well("Long", 5, "1 h", "2 h", toe=False)]
    plan = plan_of_averages(pad(wells, {"wells_in_rotation": 2, "swap": {"time": "0 h"}}))
    assert plan.fracturing_end_h == pytest.approx({"Short": 8.0, "Long": 14.0})


def test_unlike_wells_take_turns_each_at_its_own_pace() -> None:
    """20 stages of 1 h and 10 of 3 h, one after the other: 50 h, in the plan and played, but for the first run."""
    wells = [well("Quick", 20, "6 min", "1 h", toe=True), well("Slow", 10, "6 min", "3 h", toe=True)]
    scenario = pad(wells, {"wells_in_rotation": 2, "swap": {"time": "0 h"}})
    assert pace(scenario, scenario.wells, scenario.units.pumping_fleets[0]).fleet_h == pytest.approx(50 / 30)
    assert max(plan_of_averages(scenario).fracturing_end_h.values()) == pytest.approx(50)
    assert max(as_simulated(scenario).fracturing_end_h.values()) == pytest.approx(50, abs=1.5)


@pytest.mark.parametrize(
    ("stages", "hours"),
    [
        ((4, 4, 4), 24),  # the pair and the one that is left take turns: 8 turns of 3 h
        ((6, 2), 18),  # six turns, four of them with one well alone
        ((6, 2, 3, 3), 27),  # six turns of the first pair, three of the second
    ],
)
def test_pairs_as_listed_stay_together(stages: tuple[int, ...], hours: float) -> None:
    """Nobody moves up into a pair: a turn of 3 h for each stage of the longer well, in the plan and played."""
    wells = [well(f"W{k}", number, "1 min", "3 h", toe=True) for k, number in enumerate(stages)]
    strategy = {"wells_in_rotation": len(stages), "pumped_together": 2, "swap": {"time": "0 h"}}
    scenario = pad(wells, strategy, units=units(4))
    played = max(as_simulated(scenario).fracturing_end_h.values())
    assert max(plan_of_averages(scenario).fracturing_end_h.values()) == pytest.approx(hours, abs=0.2)
    assert played == pytest.approx(hours, abs=0.2)


def test_uncertain_durations_count_with_their_means() -> None:
    """Triangular 2, 3, 7 h is 4 h, uniform 1 to 2 h is 1.5 h on average."""
    wells = [well("A", 4, {"uniform": ["1 h", "2 h"]}, {"triangular": ["2 h", "3 h", "7 h"]}, toe=False)]
    assert plan_of_averages(pad(wells, {})).fracturing_end_h["A"] == pytest.approx(4 * 5.5)


def test_crews_take_wells_as_they_are_released() -> None:
    """Two crews, three wells of 12 h, the listed first released last: B at 0, A at 30 h, C at 6 h."""
    prepared = {"preparation": CREW}
    wells = [
        well("A", 1, "1 h", "1 h", toe=False, rig_release="2027-03-02 06:00", **prepared),
        well("B", 1, "1 h", "1 h", toe=False, **prepared),
        well("C", 1, "1 h", "1 h", toe=False, rig_release="2027-03-01 06:00", **prepared),
    ]
    one = plan_of_averages(pad(wells, {})).prepared_h
    two = plan_of_averages(pad(wells, {}, units=units(preparation_crews={"count": 2}))).prepared_h
    assert one == {"A": 42.0, "B": 12.0, "C": 24.0}
    assert two == {"A": 42.0, "B": 12.0, "C": 18.0}


def test_crews_that_know_only_some_jobs_wait_for_each_other() -> None:
    """7 + 5 h by one crew, then 6 h by the other: wells at 18, 30 and 42 h, in the plan and played."""
    crews = [
        {"name": "Riggers", "does": ["nipple up", "pressure test"]},
        {"name": "Shots", "does": ["toe preparation"]},
    ]
    wells = [well(name, 1, "1 h", "1 h", toe=True, preparation=CREW) for name in "ABC"]
    for each in wells:
        each["toe"]["time"] = "6 h"
    scenario = pad(wells, {}, units=units(preparation_crews=crews))
    assert plan_of_averages(scenario).prepared_h == {"A": 18.0, "B": 30.0, "C": 42.0}
    assert as_simulated(scenario).prepared_h == {"A": 18.0, "B": 30.0, "C": 42.0}


def test_shifts_stretch_the_work_over_the_day() -> None:
    """Twelve hours of work in a shift of eight take a day and a half; pressure is watched around the clock."""
    test = {"volume": "240 bbl", "rate": "1 bbl/min", "set_up": "2 h", "watch": "3 day"}  # 4 + 2 h of work
    wells = [well("A", 1, "1 h", "1 h", toe=False, preparation=CREW, injection_test=test)]
    plan = plan_of_averages(pad(wells, {}, units=units(preparation_crews={"hours": "08:00-16:00"})))
    assert plan.prepared_h == {"A": 18 * 3 + 72.0}


def groups_of_one(**more: Any) -> list[dict[str, Any]]:
    """Three wells of 10 h each in the fleet's hands."""
    return [well(name, 4, "0.5 h", "2 h", toe=False, **more) for name in "ABC"]


def test_fleets_take_groups_as_they_are_free() -> None:
    """The second fleet is there a day sooner and takes the first group; then whoever is free, after 6 h of moving."""
    fleets = [
        {"name": "Late", "arrives": "2027-03-02", "rig_up": "4 h"},
        {"name": "Early", "arrives": "2027-03-01", "rig_up": "0 h"},
    ]
    strategy = {"wells_in_rotation": 1, "between_groups": "6 h"}
    plan = plan_of_averages(pad(groups_of_one(), strategy, units=units(pumping_fleets=fleets)))
    assert plan.fracturing_start_h == {"A": 0.0, "B": 16.0, "C": 28.0}
    assert plan.fracturing_end_h == {"A": 10.0, "B": 26.0, "C": 38.0}


@pytest.mark.parametrize(
    ("drill_out", "expected"),
    [("after the group", {"A": 30.0, "B": 50.0, "C": 70.0}), ("after the pad", {"A": 50.0, "B": 70.0, "C": 90.0})],
)
def test_drill_out_begins_by_the_policy(drill_out: str, expected: dict[str, float]) -> None:
    """Wells are fractured at 10, 20 and 30 h, a rig takes 20 h for each."""
    rig = {"rig_up": "0 h", "rig_down": "0 h", "per_plug": "0 h", "run_in": "2000 ft/h", "pull_out": "2000 ft/h"}
    strategy = {"wells_in_rotation": 1, "between_groups": "0 h", "drill_out": drill_out}
    plan = plan_of_averages(pad(groups_of_one(), strategy, units=units(milling_rigs=rig)))
    assert plan.drilled_out_h == pytest.approx(expected, abs=0.01)


def test_rigs_and_spreads_that_differ() -> None:
    """Each well's drill-out ends before the rig-down, and its flowback starts after the rig-up, of its own unit."""
    quick = {"rig_up": "0 h", "rig_down": "0 h", "per_plug": "0 h", "run_in": "16000 ft/min", "pull_out": "2000 ft/h"}
    rigs = [quick, quick | {"rig_down": "5 h"}]
    spreads = [{"rig_up": f"{hours} h", "duration": "9 h", "turn_in_line": "0 h"} for hours in (1, 3)]
    two = groups_of_one()[:2]
    strategy = {"swap": {"time": "0 h"}}
    plan = plan_of_averages(pad(two, strategy, units=units(milling_rigs=rigs, flowback_spreads=spreads)))
    assert plan.fracturing_end_h == pytest.approx({"A": 16.0, "B": 16.0})  # eight stages of 2 h
    assert plan.drilled_out_h == pytest.approx({"A": 26.0, "B": 26.0}, abs=0.03)
    assert plan.flowback_start_h == pytest.approx({"A": 27.0, "B": 34.0}, abs=0.03)  # B waits for its rig to go


def test_water_must_be_ready() -> None:
    """The slower of line (20 h) and tanks (10 h), then 12 000 - 3 000 bbl at the 1 500 bbl/h that the line lets by."""
    water = {
        "sources": [{"name": "Pond", "rate": "9000 bbl/h"}],
        "transfer": {"limit": "1500 bbl/h", "lay": "20 h"},
        "storage": {"capacity": "15 kbbl", "erect": "10 h", "fill_to": "12 kbbl", "on_hand": "3 kbbl"},
    }
    plan = plan_of_averages(pad(groups_of_one(), {}, water=water))
    assert min(plan.fracturing_start_h.values()) == 26.0


@settings(max_examples=60, deadline=None)
@given(
    wireline=st.integers(1, 300),
    pump=st.integers(1, 300),
    swap=st.integers(0, 60),
    stages=st.integers(1, 12),
    toe=st.booleans(),
)
def test_averages_are_late_by_a_start_at_most(wireline: int, pump: int, swap: int, stages: int, toe: bool) -> None:
    """Without luck, the plan is no later than the run but for what only a start spares.

    That is one swap, and one wireline run for each well whose toe is open.
    """
    scenario = zipper(wireline, pump, swap, stages, toe)
    planned = max(plan_of_averages(scenario).fracturing_end_h.values())
    played = max(as_simulated(scenario).fracturing_end_h.values())
    spared = (swap + (2 * wireline if toe else 0)) / 60
    assert planned <= played + spared + 1e-9


def test_averages_are_too_early_where_luck_varies() -> None:
    """Exponential pumping (2 h) and wireline (2.5 h) in a zipper of two: averages say 2.5 h a stage.

    In the long run it is 24 / 7.08 = 3.39 h: closed queueing network of Gordon and Newell (1967, from memory). Forty
    stages are enough to see the difference, with the whole interval above the plan.
    """
    shapes = ({"exponential": "2.5 h"}, {"exponential": "2 h"})
    wells = [well(name, 20, *shapes, toe=False) for name in ("A", "B")]
    scenario = pad(wells, {"swap": {"time": "0 h"}})
    promised = max(plan_of_averages(scenario).fracturing_end_h.values())
    played = mean_interval(np.array([measure(simulate(scenario, k)).pad.fracturing_end_h for k in range(40)]))
    assert promised == pytest.approx(40 * 2.5)
    assert played.low > promised + 10
