"""The arithmetic of supplies and trucks against a pocket calculator."""

from __future__ import annotations

from typing import Any

import pytest

from analysis.checking.arithmetic import paces
from analysis.checking.averages import plan_of_averages
from analysis.checking.haulage_arithmetic import Brought, brought, round_trip, trucks_needed
from analysis.checking.supply_arithmetic import starving, supply_sums
from sim.scenario.proppant import Trucks
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, well

STAGES = 10


def fleet(**more: Any) -> Trucks:
    """A round of 3 h: load 0.5, drive 1 and back, unload 0.5; 46,000 lb a load."""
    stated = {"count": 6, "drive": "1 h", "load": "30 min", "unload": "30 min", "payload": "46 klb"}
    return Trucks.model_validate(stated | more)


def stated(capacity: str = "1 million lb", **delivery: Any) -> Scenario:
    """Two wells of ten stages; P 120 min, S 30 min, W 150 min: 9.6 stages a day of 460,000 lb and 12,000 bbl."""
    wells = [well(f"W{k}", STAGES, minutes(150), minutes(120), toe=False, fluid="12000 bbl") for k in range(2)]
    for each in wells:
        each["stage_design"]["proppant"] = "460 klb"
    strategy = {"wells_in_rotation": 2, "swap": {"time": minutes(30)}}
    proppant = {"storage": {"capacity": capacity}} | delivery
    return pad(wells, strategy, proppant=proppant)


def test_a_round_and_what_it_brings() -> None:
    """Eight rounds a day; six trucks bring 6 x 8 x 46,000 lb, two loaders and two spots four loads an hour each."""
    trip = round_trip(fleet())
    assert (trip.hours, trip.at_work_h, trip.a_day) == (3.0, 24.0, 8.0)
    assert brought(fleet()) == Brought(6 * 8 * 46e3, 96 * 46e3, 96 * 46e3)
    assert brought(fleet(unload_spots=1, count=60)).least == (48 * 46e3, "unload spots")
    by_day = brought(fleet(unload_spots=1, hours="06:00-18:00"))
    assert by_day == Brought(6 * 4 * 46e3, 48 * 46e3, 24 * 46e3)  # nobody comes at night


@pytest.mark.parametrize(
    ("more", "hours"),
    [
        pytest.param({"hours": "06:00-20:00"}, 14.0, id="an open road of 14 hours"),
        pytest.param({"hours_of_service": {}}, 14.0, id="duty of 14 hours, then ten of rest"),
        pytest.param({"hours_of_service": {"driving": "6 h"}}, 24 * 9 / 19, id="six at the wheel in nine of rounds"),
        pytest.param({"hours_of_service": {}, "hours": "06:00-18:00"}, 12.0, id="the night is the rest"),
        pytest.param(
            {"hours_of_service": {"rest": "7 h"}, "hours": "06:00-23:00"}, 14.0, id="a night as long as a rest"
        ),
        pytest.param({"hours_of_service": {}, "hours": "05:00-21:00"}, 14.0, id="a night too short for a rest"),
    ],
)
def test_hours_at_work(more: dict[str, Any], hours: float) -> None:
    """While the road is open and within the hours of service."""
    assert round_trip(fleet(**more)).at_work_h == pytest.approx(hours)


def test_trucks_needed_is_round_times_rate_over_payload() -> None:
    """4.416 million lb a day are 96 loads; at eight rounds a day twelve trucks, and a pound more needs thirteen."""
    assert trucks_needed(fleet(), 96 * 46e3) == 12
    assert trucks_needed(fleet(), 96 * 46e3 + 1) == 13


def test_proppant_by_hand() -> None:
    """Stages take 460,000 lb, ten loads; 9.6 a day need 4.416 million lb; six trucks carry 4.8 stages a day.

    Of a million lb 21 loads fit: 966,000 lb, 2.1 stages, 0.21875 days at the pace of the units.
    """
    scenario = stated(trucks={"count": 6, "drive": "1 h", "load": "30 min", "unload": "30 min"})
    (found,) = supply_sums(scenario)
    assert (found.supply, found.per_stage, found.stages_per_day) == ("proppant", 460e3, pytest.approx(9.6))
    assert (found.carried, found.knee) == pytest.approx((4.8, 4.416e6))
    assert (found.held, found.stages_held, found.days_of_cover) == pytest.approx((966e3, 2.1, 0.21875))
    assert paces(scenario).proppant == pytest.approx(4.8)
    assert paces(scenario).slowest == "proppant"


def test_the_knee_is_v_over_the_longer_of_pump_and_swap_and_wireline() -> None:
    """q* = V / max(P + S, W): here both are 2.5 h, so 460,000 lb / 2.5 h (derived for this project)."""
    (found,) = supply_sums(stated(rate="1 million lb/day"))
    assert found.knee / 24 == pytest.approx(460e3 / 2.5)


@pytest.mark.parametrize(
    ("capacity", "rate", "starves"),
    [
        ("1 million lb", "4.42 million lb/day", False),
        ("1 million lb", "3.9 million lb/day", True),
        ("1 million lb", "3.95 million lb/day", False),  # 20 stages in 50 h: 1 million held and 8.23 million brought
        ("9.2 million lb", "1 lb/day", False),  # all is in storage
    ],
)
def test_a_plan_that_must_starve_is_warned_of(capacity: str, rate: str, starves: bool) -> None:
    """What is held and what comes in while 20 stages are pumped at full pace are less than their 9.2 million lb."""
    warnings = list(starving(stated(capacity, rate=rate)))
    assert bool(warnings) == starves
    assert all(warning.startswith("Proppant carries ") for warning in warnings)


def test_averages_wait_for_the_first_proppant() -> None:
    """966,000 lb at 48 loads of 46,000 a day: 10.5 h to fill, before which the plan of averages begins no stage."""
    plan = plan_of_averages(stated(trucks={"count": 6, "drive": "1 h", "load": "30 min", "unload": "30 min"}))
    assert min(plan.fracturing_start_h.values()) == pytest.approx(24 * 21 / 48)
