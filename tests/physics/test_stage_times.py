"""Pumping times against published stages and programmes."""

from __future__ import annotations

import pytest

from sim.physics.stages import distance_from_heel_ft, pump_hours, rate_held_bbl_per_h
from sim.physics.wireline import pump_down_bbl, travel_hours

BPM = 60.0  # bbl/h


@pytest.mark.parametrize(("rate_bpm", "hours"), [(80, 1.97), (90, 1.75)])
def test_pumping_a_stage_of_the_neuquen(rate_bpm: float, hours: float) -> None:
    """9,435 bbl (Vaca Muerta News, 2024 by content) take 1.97 h at 80 and 1.75 h at 90 bbl/min (derived)."""
    assert pump_hours(9_435, rate_bpm * BPM) == pytest.approx(hours, rel=0, abs=0.005)


def test_what_swaps_leave_of_the_working_day() -> None:
    """8 to 9 stages in 19 h a day leave 0.1 to 0.6 h a stage for swap and loss (same source; derived)."""
    assert 19 / 9 - pump_hours(9_435, 80 * BPM) == pytest.approx(0.1, rel=0, abs=0.05)
    assert 19 / 8 - pump_hours(9_435, 90 * BPM) == pytest.approx(0.6, rel=0, abs=0.05)


def test_one_fleet_into_one_well_or_two() -> None:
    """90 bbl/min into one well or 60 + 60 into two: a quarter fewer pump hours (A. Kim et al., URTeC 5340, 2021)."""
    alone = rate_held_bbl_per_h(90 * BPM, 120 * BPM, 1)
    paired = rate_held_bbl_per_h(90 * BPM, 120 * BPM, 2)
    assert (alone, paired) == (90 * BPM, 60 * BPM)
    assert pump_hours(9_500, paired) / (2 * pump_hours(9_500, alone)) == pytest.approx(0.75, rel=1e-15)


@pytest.mark.parametrize(("share", "ratio"), [(0, 0.750), (0.125, 0.722), (0.25, 0.700), (0.5, 0.667), (1, 0.625)])
def test_shorter_cycle_of_pairs(share: float, ratio: float) -> None:
    """With a swap of a quarter of the pumping time the cycle is 30 % shorter (same source, 25 % and 30 %; derived)."""
    alone, paired = pump_hours(10_800, 90 * BPM), pump_hours(10_800, rate_held_bbl_per_h(90 * BPM, 120 * BPM, 2))
    swap = share * alone
    assert (paired + swap) / (2 * (alone + swap)) == pytest.approx(ratio, rel=0, abs=0.0005)


def test_wireline_run_to_the_toe() -> None:
    """10,000 ft to the heel, 10,000 ft to the toe: 40 + 28.6 + 50 minutes under way (common practice)."""
    toe = distance_from_heel_ft(10_000, 1) * 2
    assert toe == pytest.approx([10_000])
    assert travel_hours(10_000, toe, 250 * 60, 350 * 60, 400 * 60) * 60 == pytest.approx([118.6], abs=0.05)


def test_water_of_a_wireline_run() -> None:
    """12.5 bbl/min at 300 ft/min: 200 to 420 bbl at 5,000 to 10,000 ft from the heel (derived)."""
    from_heel_ft = distance_from_heel_ft(10_000, 1) * [1, 2]
    assert pump_down_bbl(from_heel_ft, 300 * 60, 12.5 * BPM) == pytest.approx([208.3, 416.7], abs=0.05)
