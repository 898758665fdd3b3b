"""The pure formulae, and what becomes of them on a pad, against published and hand-worked numbers of the trade."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from sim import activities
from sim.log import Log
from sim.pad import simulate
from sim.physics.drill_out import plugs_in, trip_hours
from sim.physics.stages import distance_from_heel_ft, pump_hours, rate_held_bbl_per_h
from sim.physics.wireline import pump_down_bbl, travel_hours
from sim.scenario.equipment import WirelineUnit
from sim.scenario.wells import StageDesign, Well
from tests.pads import NOW, pad, units, well
from tests.theory.pumping import hours, pumpings, work

BPM = 60.0  # bbl/h in one bbl/min


@pytest.mark.parametrize(("rate_bpm", "printed_h"), [(80, 1.97), (90, 1.75)])
def test_pump_time_of_a_neuquen_stage(rate_bpm: int, printed_h: float) -> None:
    """1500 m3 are 9435 bbl, pumped in 1.97 h at 80 and 1.75 h at 90 bbl/min, by formula and on the pad.

    Volume from "Vaca Muerta no se detiene: en mayo se realizaron 1584 etapas de fractura", Vaca Muerta News (2024).
    """
    design = StageDesign.model_validate({"fluid": "1500 m3", "rate": f"{rate_bpm} bbl/min"})
    assert design.fluid == pytest.approx(9435, abs=0.5)
    assert design.fluid is not None
    assert design.rate == rate_bpm * BPM
    exact_h = pump_hours(design.fluid, rate_bpm * BPM)
    assert exact_h == pytest.approx(printed_h, abs=0.005)
    log = simulate(pad([designed_well(2, fluid="1500 m3", rate=f"{rate_bpm} bbl/min")], {"wells_in_rotation": 1}))
    assert [stage.end_h - stage.start_h for stage in pumpings(log)] == pytest.approx([exact_h] * 2)


def designed_well(stages: int, **design: Any) -> dict[str, Any]:
    """A well whose stage times follow from its design alone."""
    stated = {"fluid": "9000 bbl", "rate": "90 bbl/min", "pump_time": "from design", "wireline_time": "from design"}
    return well("w1", stages, NOW, NOW, toe=False, stage_design=stated | design)


def test_one_fleet_into_one_well_or_two() -> None:
    """A fleet good for 120 bbl/min holds a design rate of 90 into one well, 60 + 60 into two.

    A. Kim et al., URTeC 5340 (2021), by way of a trade summary.
    """
    limit = 120 * BPM
    assert rate_held_bbl_per_h(90 * BPM, limit, 1) == 90 * BPM
    assert rate_held_bbl_per_h(90 * BPM, limit, 2) == 60 * BPM
    wells = [designed_well(1) | {"name": f"w{k}"} for k in (1, 2)]
    fleet = units(2, pumping_fleets={"rig_up": NOW, "rig_down": NOW, "rate_limit": "120 bbl/min"})
    together = simulate(pad(wells, {"wells_in_rotation": 2, "pumped_together": 2}, units=fleet))
    in_turn = simulate(pad(wells, {"wells_in_rotation": 2}, units=fleet))
    assert [stage.end_h - stage.start_h for stage in pumpings(together)] == pytest.approx([9000 / 3600])
    assert [stage.end_h - stage.start_h for stage in pumpings(in_turn)] == pytest.approx([9000 / 5400] * 2)


def test_total_wireline_cycle() -> None:
    """10 000 ft to the heel and as much to the toe, at usual speeds: 40 + 28.6 + 15 + 50, about 134 min

    (common practice)."""
    usual = WirelineUnit()
    travel_h = travel_hours(10_000, np.array([10_000.0]), usual.run_in, usual.pump_down, usual.pull_out)
    assert travel_h * 60 == pytest.approx(40 + 28.571428571 + 50)
    assert isinstance(usual.plug_and_perforate, float)
    assert travel_h[0] * 60 + usual.plug_and_perforate * 60 == pytest.approx(134, abs=0.5)


def test_wireline_runs_of_a_well() -> None:
    """Forty stages: to the middle of each, plus 15 min downhole and 40 min at surface; shorter towards the heel."""
    log = simulate(pad([designed_well(40)], {"wells_in_rotation": 1}))
    runs_min = [60 * (row.end_h - row.start_h) for row in work(log, activities.PLUG_AND_PERFORATE)]
    toe_ft = 10_000 * 39.5 / 40
    assert runs_min[0] == pytest.approx(10_000 / 250 + toe_ft / 350 + 15 + 40 + (10_000 + toe_ft) / 400)
    assert np.diff(runs_min) == pytest.approx(-250 / 350 - 250 / 400)


def test_middles_of_stages() -> None:
    """Toe to heel, evenly; their mean is the middle of the lateral."""
    assert distance_from_heel_ft(9000, 3).tolist() == [7500, 4500, 1500]
    assert distance_from_heel_ft(10_000, 37).mean() == pytest.approx(5000)


def test_pump_down_water() -> None:
    """200 to 420 bbl a run at 5000 to 10 000 ft from the heel, at 12.5 bbl/min and 300 ft/min (common practice)."""
    water = pump_down_bbl(np.array([5000.0, 10_000.0]), 300 * 60, 12.5 * BPM)
    assert water == pytest.approx([208.333333, 416.666667])
    assert 200 < water.min() < water.max() < 420


def test_fluid_outruns_the_tools() -> None:
    """12 bbl/min move at 541 ft/min in 5 1/2 in, 20 lb/ft casing; the usual line speed stays below: fluid passes by.

    Capacity in bbl/ft is the square of the inner diameter, 4.778 in, over 1029.4 (a public formula).
    """
    usual = WirelineUnit()
    fluid_ft_per_min = usual.pump_down_rate / BPM / (4.778**2 / 1029.4)
    assert fluid_ft_per_min == pytest.approx(541, abs=0.5)
    assert usual.pump_down / 60 < fluid_ft_per_min


def test_plugs_of_a_record_lateral() -> None:
    """18 544 ft of lateral with a plug every 150 ft: 123 plugs were milled, one fewer than stages.

    T. Beims, "Next-Generation HCUs Drill Out Plugs In Record Extended-Reach Wells", AOGR, Nov 2020.
    """
    record = Well.model_validate(
        {"name": "record", "measured_depth": "26868 ft", "lateral_length": "18544 ft", "stage_length": "150 ft"}
        | {"stage_design": {"fluid": "9000 bbl"}}
    )
    assert plugs_in(record.stage_count) == 123


def test_drill_out_of_a_well() -> None:
    """Forty stages at 20 000 ft with coiled tubing: in at 80 ft/min, 39 plugs of 8 min, out at 120 ft/min."""
    rig = {"rig_up": NOW, "rig_down": NOW, "per_plug": "8 min", "run_in": "80 ft/min", "pull_out": "120 ft/min"}
    log = simulate(pad([designed_well(40)], {"wells_in_rotation": 1}, units=units(milling_rigs=rig)))
    assert trip_hours(20_000, 80 * 60) == pytest.approx(4.166666667)
    assert drill_out_h(log) == pytest.approx([20_000 / 80 / 60, 39 * 8 / 60, 20_000 / 120 / 60])


def drill_out_h(log: Log) -> list[float]:
    return [hours(work(log, name)) for name in (activities.TRIP_IN, activities.MILL_PLUGS, activities.TRIP_OUT)]
