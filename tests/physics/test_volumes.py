"""Volumes of stages and the balance of water against published stages."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from sim.physics.casing import casing_volume_bbl
from sim.physics.stages import distance_from_heel_ft, pump_hours
from sim.physics.volumes import (
    hours_to_empty,
    stage_depth_ft,
    stage_fluid_bbl,
    stage_length_ft,
    stage_proppant_lb,
    steady_draw_bbl_per_h,
)

BBL_IN_A_M3 = 1 / 0.158987294928  # US EIA, State Energy Data, appendix C
FT_IN_A_M = 1 / 0.3048  # NIST Special Publication 811, from memory
LB_IN_A_TONNE = 1000 / 0.45359237  # US EIA, State Energy Data, appendix C

# One stage of a Neuquen shale well: 1,500 m3 and about 250 t (Vaca Muerta News, 2024 by content)
NEUQUEN_BBL = 1_500 * BBL_IN_A_M3


def test_stages_lie_from_toe_to_heel() -> None:
    """Stages are equally long, the first near the toe, and all of them together are the lateral."""
    length = stage_length_ft(10_000, 50)
    depths = stage_depth_ft(10_500, distance_from_heel_ft(10_000, 50))
    assert length == 200
    assert depths == pytest.approx(20_400 - 200 * np.arange(50))
    assert stage_length_ft(9_700, 37) * 37 == pytest.approx(9_700)


def test_water_by_the_foot_as_published() -> None:
    """15.73 m3/m in the Woodford is 30.2 bbl/ft (K.E. Murray, Environ. Sci. Technol., 2013; US units derived)."""
    by_the_foot = 15.73 * BBL_IN_A_M3 / FT_IN_A_M
    assert by_the_foot == pytest.approx(30.2, rel=0, abs=0.05)
    assert stage_fluid_bbl(200, by_the_foot) == pytest.approx(200 * FT_IN_A_M**-1 * 15.73 * BBL_IN_A_M3)


def test_a_stage_of_the_neuquen() -> None:
    """9,435 bbl and 551,000 lb, by the foot and back again (Vaca Muerta News, 2024 by content; US units derived)."""
    assert stage_fluid_bbl(200, NEUQUEN_BBL / 200) == pytest.approx(9_435, rel=0, abs=0.5)
    assert stage_proppant_lb(200, 250 * LB_IN_A_TONNE / 200) == pytest.approx(551_000, rel=0, abs=500)


def test_usual_slickwater_stage() -> None:
    """50 bbl/ft over 200 ft at 90 bbl/min pump for 1.5 to 2.5 h (common practice)."""
    assert 1.5 <= pump_hours(float(stage_fluid_bbl(200, 50)), 90 * 60) <= 2.5


def test_usual_proppant_of_a_stage() -> None:
    """2,500 lb/ft (common practice) over the longest stage of 2018, 200 ft, is the norm of 500,000 to 550,000 lb.

    Hart Energy, Hydraulic Fracturing Techbook, August 2018, for length and norm.
    """
    assert 500_000 <= stage_proppant_lb(200, 2_500) <= 550_000


def test_flush_makes_toe_stages_larger() -> None:
    """With pad and flush: the toe stage takes a casing's length more than the heel stage, by the capacity."""
    depths = stage_depth_ft(10_500, distance_from_heel_ft(10_000, 50))
    fluid = np.asarray(stage_fluid_bbl(200, 45, 300, casing_volume_bbl(depths, 4.778)))
    assert fluid[-1] == pytest.approx(9_000 + 300 + 10_600 * 0.022177, abs=0.01)
    assert fluid[0] - fluid[-1] == pytest.approx(9_800 * 0.022177, abs=0.01)
    assert np.all(np.diff(fluid) < 0)


@pytest.mark.parametrize(("stages_per_day", "bbl_per_day", "bpm"), [(8, 75_000, 52), (9, 85_000, 59)])
def test_water_for_a_pace(stages_per_day: float, bbl_per_day: float, bpm: float) -> None:
    """8 to 9 such stages a day need 75,000 to 85,000 bbl/d or 52 to 59 bbl/min around the clock (derived)."""
    draw = steady_draw_bbl_per_h(stages_per_day, NEUQUEN_BBL)
    assert draw * 24 == pytest.approx(bbl_per_day, rel=0, abs=500)
    assert draw / 60 == pytest.approx(bpm, rel=0, abs=0.5)


def test_pace_that_a_supply_carries() -> None:
    """60 bbl/min carry 9.2 stages of 9,435 bbl a day (balance of volumes)."""
    assert steady_draw_bbl_per_h(9.2, 9_435) / 60 == pytest.approx(60, rel=0.05 / 9.2)


def test_how_long_a_store_lasts() -> None:
    """40,000 bbl, 90 bbl/min out and 60 in: empty after 22.2 h (balance of volumes); never if supply keeps up."""
    assert hours_to_empty(40_000, 90 * 60, 60 * 60) == pytest.approx(22.2, rel=0, abs=0.05)
    assert hours_to_empty(24_000, 4_800, 2_000) == pytest.approx(8.571428571)
    assert hours_to_empty(40_000, 3_600, 3_600) == inf


def test_impossible_volumes_are_refused() -> None:
    """No negative design, no well without stages."""
    with pytest.raises(ValueError, match="fluid_bbl_per_ft is -50"):
        stage_fluid_bbl(200, -50)
    with pytest.raises(ValueError, match="stages is 0"):
        stage_length_ft(10_000, 0)
    with pytest.raises(ValueError, match="proppant_lb_per_ft is -1"):
        stage_proppant_lb(200, -1)
