"""Volumes, hours and paces that a planner would check with a pocket calculator, and what a plan is warned about."""

from __future__ import annotations

from math import inf
from typing import Any

import pytest

from analysis.checking.arithmetic import WellSum, paces, water_per_stage_bbl, well_sums
from analysis.checking.warnings import warnings_of
from sim.scenario.scenario import Scenario
from tests.pads import NOW, minutes, pad, units, well


def stated_well(**changes: Any) -> dict[str, Any]:
    """Heel at 10 000 ft, lateral of 5 000 ft in five stages, everything fixed."""
    return {
        "name": "A",
        "measured_depth": "15000 ft",
        "lateral_length": "5000 ft",
        "stages": 5,
        "preparation": {"nipple_up": "7 h", "pressure_test": "2 h"},
        "toe": {"method": "toe sleeve", "time": "3 h"},
        "stage_design": {
            "fluid": "9000 bbl",
            "proppant": "400 klb",
            "rate": "100 bbl/min",
            "pump_time": {"from_design": {"plus": "30 min"}},
            "wireline_time": "from design",
        },
    } | changes


def stated_units() -> dict[str, Any]:
    """Speeds that give round hours."""
    return {
        "preparation_crews": {},
        "pumping_fleets": {},
        "wireline_units": {
            "run_in": "10000 ft/h",
            "pump_down": "20000 ft/h",
            "pull_out": "20000 ft/h",
            "plug_and_perforate": "30 min",
            "turnaround": "30 min",
            "pump_down_rate": "600 bbl/h",
        },
        "milling_rigs": {
            "rig_up": "8 h", "rig_down": "4 h", "run_in": "5000 ft/h", "per_plug": "15 min", "pull_out": "7500 ft/h",
        },
        "flowback_spreads": {"rig_up": "12 h", "duration": "5 day", "turn_in_line": "1 day"},
    }  # fmt: skip


def test_sums_of_a_well() -> None:
    """By hand.

    Pumping 5 x (9000 / 100 min + 30 min) = 10 h. Runs to the middles of stages 2 to 5, 3500, 2500, 1500 and 500 ft
    from the heel: 1 h to the heel, x / 20 000 h along, (10 000 + x) / 20 000 h out, 1 h for the rest, so 10.8 h in all;
    their water is 600 bbl/h x 8000 ft / 20 000 ft/h = 240 bbl. Milling 8 + 3 + 4 x 0.25 + 2 + 4 h, flowback 12 + 144 h.
    """
    (found,) = well_sums(pad([stated_well()], {}, units=stated_units()))
    assert found == pytest.approx(WellSum("A", 5, 45_000.0, 240.0, 2_000_000.0, 12.0, 10.0, 10.8, 18.0, 156.0))
    assert found.all_h == pytest.approx(206.8)


def test_well_without_an_open_toe_needs_a_run_more() -> None:
    """The run to stage 1, 4500 ft from the heel: 1 + 0.225 + 0.725 + 1 = 2.95 h and 135 bbl."""
    closed = stated_well(toe={"method": "none"})
    (found,) = well_sums(pad([closed], {}, units=stated_units()))
    assert (found.wireline_h, found.pump_down_bbl) == pytest.approx((13.75, 375.0))
    assert found.preparation_h == pytest.approx(9.0)


def test_injection_test_is_part_of_the_preparation() -> None:
    """Set-up 2 h, 240 bbl at 1 bbl/min, then three days of watching."""
    test = {"volume": "240 bbl", "rate": "1 bbl/min", "set_up": "2 h", "watch": "3 day"}
    (found,) = well_sums(pad([stated_well(injection_test=test)], {}, units=stated_units()))
    assert found.preparation_h == pytest.approx(12 + 2 + 4 + 72)


def test_every_well_has_its_line() -> None:
    """In the order of the scenario, each with its own stages."""
    wells = [stated_well(), stated_well(name="B", stages=2)]
    assert [(each.well, each.stages) for each in well_sums(pad(wells, {}, units=stated_units()))] == [
        ("A", 5),
        ("B", 2),
    ]


def simple(wells: int = 2, inflow_bbl_per_h: float = 0, fluid_bbl: float = 12_000, **more: Any) -> Scenario:
    """Equal wells of ten stages, W 150 min, P 120 min, S 30 min, with water if there is an inflow."""
    group = [well(f"W{k}", 10, minutes(150), minutes(120), toe=False, fluid=f"{fluid_bbl} bbl") for k in range(wells)]
    strategy = {"wells_in_rotation": wells, "swap": {"time": minutes(30)}}
    water = {
        "sources": [{"name": "Pond", "rate": f"{inflow_bbl_per_h} bbl/h"}],
        "storage": {"capacity": "24 kbbl", "erect": NOW},
    }
    return pad(group, strategy, **({"water": water} if inflow_bbl_per_h else {}) | more)


def test_paces_by_hand() -> None:
    """A stage each 150 min for fleet (120 + 30) and wireline, a round of 270 min for two: 9.6, 9.6 and 10.67 a day."""
    found = paces(simple())
    assert found == pytest.approx((9.6, 9.6, 24 / 2.25, inf, inf))
    assert found.slowest in {"fleet", "wireline"}


def test_one_well_is_held_by_its_own_round() -> None:
    """Alone it is never on wireline and pumped at once: 24 / 4.5 = 5.33 stages a day."""
    found = paces(simple(1))
    assert found.rotation == pytest.approx(24 / 4.5)
    assert found.slowest == "rotation"


@pytest.mark.parametrize(("inflow", "expected"), [(1000, 2.0), (2000, 4.0), (2500, 5.0), (3000, 6.0)])
def test_water_carries_24_q_over_v(inflow: float, expected: float) -> None:
    """V 12 000 bbl: 24 q / V stages a day against 24 / (P + G) = 5.33 (derived for this project)."""
    found = paces(simple(1, inflow))
    assert found.water == pytest.approx(expected)
    assert found.slowest == ("water" if expected < 24 / 4.5 else "rotation")


def test_pump_down_water_counts_too() -> None:
    """Five stages of 9000 bbl and four runs of 60 bbl: 9048 bbl a stage."""
    stated = stated_well()
    stated["stage_design"] |= {"pump_down": "60 bbl"}
    assert water_per_stage_bbl(pad([stated], {}, units=stated_units())) == pytest.approx(9048.0)


def test_slowest_group_counts() -> None:
    """Of two groups the one with the longer turn holds the pad."""
    wells = [well(f"W{k}", 5, "1 h", f"{2 + k} h", toe=False) for k in range(2)]
    assert paces(pad(wells, {"wells_in_rotation": 1})).fleet == pytest.approx(24 / 3)


def test_second_fleet_doubles_the_pace_of_fleets() -> None:
    """Two fleets work on two groups at a time; wireline stays what it is."""
    wells = [well(f"W{k}", 5, "1 h", "2 h", toe=False) for k in range(2)]
    one, two = (
        paces(pad(wells, {"wells_in_rotation": 1}, units=units(pumping_fleets={"count": count}))) for count in (1, 2)
    )
    assert (two.fleet, two.rotation) == pytest.approx((2 * one.fleet, 2 * one.rotation))
    assert two.wireline == one.wireline


def test_sound_plan_gets_no_warning() -> None:
    """Silence where there is nothing to say."""
    assert warnings_of(simple(2, 6000)) == []


@pytest.mark.parametrize(
    ("scenario", "said"),
    [
        (simple(2, 2000), "Water carries 4.0 stages a day, the units could do 9.6"),
        (simple(2, horizon="20 h"), "Even on averages the last well is on production after 2 days"),
        (
            simple(1, units=units(pumping_fleets={"name": "Fleet A", "count": 2})),
            "Fleet A 1, Fleet A 2: some will have nothing to do (groups of wells: 1).",
        ),
        (
            simple(2, units=units(flowback_spreads={"count": 3})),
            "Flowback spread 1, Flowback spread 2, Flowback spread 3: some will have nothing to do (wells: 2).",
        ),
        (
            simple(2, units=units(3)),
            "Wireline 1, Wireline 2, Wireline 3: some will have nothing to do (wells in rotation at a time: 2).",
        ),
    ],
)
def test_warnings(scenario: Scenario, said: str) -> None:
    """Each thing to reconsider is said once, with its numbers."""
    (warning,) = warnings_of(scenario)
    assert warning.startswith(said)


def test_warning_of_a_fleet_that_stands_by() -> None:
    """It arrives on 1 March, the first well is prepared on the 6th; two days of standing by are let pass."""
    late = [well("A", 1, "1 h", "1 h", toe=False, rig_release="2027-03-06")]
    fleet = {"name": "Fleet A", "rig_up": NOW, "rig_down": NOW}
    soon, in_time = (
        pad(late, {}, units=units(pumping_fleets=fleet | {"arrives": date})) for date in ("2027-03-01", "2027-03-04")
    )
    assert warnings_of(soon) == ["Fleet A arrives 1 Mar, but on average no well is prepared before 6 Mar."]
    assert warnings_of(in_time) == []


def test_warning_of_a_stated_pumping_time_in_simultaneous_fracturing() -> None:
    """A stated time does not know that the rate is shared; both wells are named."""
    wells = [well(name, 2, "1 h", "2 h", toe=False) for name in ("A", "B")]
    (warning,) = warnings_of(pad(wells, {"pumped_together": 2}))
    assert "the pumping time of A, B is stated" in warning
