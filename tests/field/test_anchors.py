"""Zipper against simultaneous fracturing, sequential against zipper: ratios that were published, on certain pads."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import activities as act
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import drawn_bbl, rows_of, stages_a_day
from tests.pads import NOW, pad, units, well

FAST_RUN = "6 min"  # wireline never limits: there is a unit for each well
T_H, FLUID_BBL = 2.0, 10_800  # two hours at 90 bbl/min


def four_wells(together: int, swap_min: float, *, rate_limit: float = 120, stages: int = 6, **more: Any) -> Scenario:
    """Stages of 10,800 bbl at 90 bbl/min, as designed; pairs go round in turn if two wells are pumped together."""
    wells = [well(f"w{k}", stages, FAST_RUN, "from design", toe=True, fluid=f"{FLUID_BBL} bbl") for k in range(4)]
    strategy = {"wells_in_rotation": 4, "pumped_together": together, "swap": {"time": f"{swap_min!r} min"}}
    fleet = {"rig_up": NOW, "rig_down": NOW, "rate_limit": f"{rate_limit!r} bbl/min"}
    return pad(wells, strategy, units=units(4, pumping_fleets=fleet), **more)


def pump_h(log: Log) -> float:
    """Hours in which the fleet pumps, into however many wells."""
    return sum(
        end - start for start, end in {(row.start_h, row.end_h) for row in rows_of(log, activity=act.PUMP_STAGE)}
    )


def span_h(log: Log) -> float:
    """From the first hour of pumping to the last."""
    rows = rows_of(log, activity=act.PUMP_STAGE)
    return max(row.end_h for row in rows) - min(row.start_h for row in rows)


@pytest.mark.parametrize(("share", "ratio"), [(0.0, 0.75), (0.125, 0.722), (0.25, 0.7), (0.5, 0.667), (1.0, 0.625)])
def test_simultaneous_against_zipper_with_one_fleet(share: float, ratio: float) -> None:
    """90 bbl/min into one well or 60 into each of two: 25 % fewer pump hours, and 30 % shorter cycles (published).

    A. Kim et al., URTeC 5340 (2021), by a trade-press summary. Pump hours are 90/120 whatever else; cycles, with one
    swap a pair of half an hour on a stage of two hours (share 0.25), (1.5 T + s) / (2 T + 2 s) = 0.70 (derived).
    """
    zipper, simultaneous = (simulate(four_wells(together, share * T_H * 60)) for together in (1, 2))
    assert pump_h(simultaneous) / pump_h(zipper) == pytest.approx(90 / 120, rel=1e-12)
    swap_h = share * T_H  # the last stage has no swap behind it, which a cycle has
    found = (span_h(simultaneous) + swap_h) / (span_h(zipper) + swap_h)
    assert found == pytest.approx((1.5 * T_H + swap_h) / (2 * T_H + 2 * swap_h), rel=1e-9)
    assert found == pytest.approx(ratio, abs=5e-4)


def test_bounds_of_the_gain_of_simultaneous_fracturing() -> None:
    """1.33 times with 60 of 90 bbl/min and no swap, 2.0 times with the full rate in both wells (derived)."""
    zipper = span_h(simulate(four_wells(1, 0.0, rate_limit=180)))
    assert zipper / span_h(simulate(four_wells(2, 0.0, rate_limit=120))) == pytest.approx(4 / 3, rel=1e-9)
    assert zipper / span_h(simulate(four_wells(2, 0.0, rate_limit=180))) == pytest.approx(2.0, rel=1e-9)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.integers(120, 180), st.integers(0, 120), st.integers(1, 8))
def test_the_gain_lies_between_the_bounds(rate_limit: int, swap_min: int, stages: int) -> None:
    """Whatever the fleet's rate between those and the swap, cycle by cycle, where water and wireline suffice.

    Stages were completed 60 % faster in 2020 (JPT, 2021, analyst's data, published), which lies between.
    """
    spans = [
        span_h(simulate(four_wells(together, float(swap_min), rate_limit=rate_limit, stages=stages))) + swap_min / 60
        for together in (1, 2)
    ]
    assert 4 / 3 - 1e-9 <= spans[0] / spans[1] <= 2 + 1e-9


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.integers(90, 240), st.integers(30, 150), st.integers(0, 45), st.integers(2, 4))
def test_gain_of_the_zipper_over_one_well_at_a_time(pump_min: int, run_min: int, swap_min: int, wells: int) -> None:
    """It saves what wireline and fleet do at the same time: never slower, never more than twice as fast (identity).

    From 1.11 times (10 % less time than single wells; Hart Energy survey, Permian 2016, published) to "double the
    stages per day" (T. Jacobs, JPT 2014, by a blog, published); within, where runs and swaps are as in common practice.
    """
    stated = [well(f"w{k}", 8, f"{run_min} min", f"{pump_min} min", toe=False) for k in range(wells)]
    swap = {"time": f"{swap_min} min"}
    alone, zipper = (
        span_h(simulate(pad(stated, {"wells_in_rotation": size, "swap": swap, "between_groups": NOW})))
        for size in (1, wells)
    )
    assert alone / zipper <= 2 + 1e-9
    if swap_min <= 30 and 120 <= pump_min <= 180 and 90 <= run_min <= 150:
        assert alone / zipper >= 1.11


def test_throughput_of_a_supply_that_binds() -> None:
    """60 bbl/min of supply are 9.16 stages a day of 9,435 bbl; Vaca Muerta News, 2024, for the stage (published).

    And a store of 40,000 bbl from which 90 bbl/min are drawn lasts 22.2 hours (derived): until then nobody waits.
    """
    stated = [well(f"w{k}", 150, FAST_RUN, "from design", toe=True, fluid="9435 bbl") for k in range(2)]
    supply = {"sources": [{"name": "River", "rate": "60 bbl/min"}], "start_rule": "as it comes"}
    storage = {"capacity": "40000 bbl", "on_hand": "40000 bbl", "erect": NOW}
    fleet = {"rig_up": NOW, "rig_down": NOW}
    strategy = {"swap": {"time": NOW}}
    scenario = pad(stated, strategy, units=units(2, pumping_fleets=fleet), water=supply | {"storage": storage})
    log = simulate(scenario)
    assert rows_of(log, unit="Fleet", cause="water: source")[0].start_h == pytest.approx(22.2, abs=0.03)
    without_store = (300 * 9435 - 40_000) / 9435 / span_h(log) * 24
    assert without_store == pytest.approx(60 * 1440 / 9435, rel=1e-9)
    assert without_store == pytest.approx(9.2, abs=0.05)


def test_water_goes_with_the_stages() -> None:
    """Average supply in bbl/min = stages a day x bbl a stage / 1440 (identity), on a pad that pumps without a break."""
    supply = {
        "sources": [{"name": "River", "rate": "200 bbl/min"}],
        "storage": {"capacity": "60 kbbl", "on_hand": "60 kbbl", "erect": NOW},
    }
    log = simulate(four_wells(1, 0.0, water=supply))
    assert drawn_bbl(log) == pytest.approx(24 * FLUID_BBL, rel=1e-9)
    assert drawn_bbl(log) / span_h(log) / 60 == pytest.approx(stages_a_day(log) * FLUID_BBL / 1440, rel=1e-9)
