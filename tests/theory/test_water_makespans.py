"""Pads short of water against exact schedules.

`water_limited_makespans.csv`: exact recursions, confirmed by CP-SAT where nothing spills and by stepping through time
in three-second steps for all cases.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.activities import supply_of
from sim.log import Log
from sim.pad import StuckError, simulate
from sim.scenario.scenario import Scenario
from tests.pads import pad, well
from tests.theory.pumping import makespan_h

RULES = {"full": "full stage on hand", "drawdown": "enough to finish", "throttle": "as it comes"}
Row = dict[str, str]
with (Path(__file__).parent / "data" / "water_limited_makespans.csv").open() as file:
    CASES: list[Row] = list(csv.DictReader(file))


def watered(
    wells: int, n: int, w_h: float, p_h: float, s_h: float, *, toe: bool, volume: float, inflow: float,
    capacity: float, on_hand: float, rule: str,
) -> Scenario:  # fmt: skip
    """Equal wells in one rotation, on a tank that is not filled up before the start."""
    water = {
        "start_rule": rule,
        "sources": [{"name": "river", "rate": f"{24 * inflow!r} bbl/day"}],
        "storage": {
            "capacity": f"{capacity!r} bbl",
            "erect": "0 h",
            "on_hand": f"{on_hand!r} bbl",
            "fill_to": "0 bbl",
        },
    }
    stated = [well(f"w{k}", n, f"{w_h!r} h", f"{p_h!r} h", toe=toe, fluid=f"{volume!r} bbl") for k in range(wells)]
    return pad(stated, {"wells_in_rotation": wells, "swap": {"time": f"{s_h!r} h"}}, water=water)


def scenario_of(row: Row) -> Scenario:
    return watered(
        int(row["wells"]),
        int(row["stages_per_well"]),
        float(row["W_h"]),
        float(row["P_h"]),
        float(row["S_h"]),
        toe=row["toe_ready"] == "1",
        volume=float(row["V_bbl"]),
        inflow=float(row["q_bbl_h"]),
        capacity=float(row["tank_cap_bbl"]),
        on_hand=float(row["start_level_bbl"]),
        rule=RULES[row["rule"]],
    )


def waited_for_water_h(log: Log) -> float:
    return sum(
        row.end_h - row.start_h for row in log.intervals if row.unit == "Fleet" and supply_of(row.cause) == "water"
    )


def spilled_until(log: Log, end_h: float) -> float:
    spilled = 0.0
    for row, after in zip(log.levels, log.levels[1:], strict=False):
        spilled += row.turned_away * (min(after.time_h, end_h) - min(row.time_h, end_h))
    return spilled


def level_at_end(log: Log, end_h: float) -> float:
    return next(row.level for row in reversed(log.levels) if row.time_h <= end_h + 1e-9)


@pytest.mark.parametrize("row", CASES, ids=lambda row: row["case"])
def test_water_limited_makespan_is_exact(row: Row) -> None:
    """Makespan, the fleet's wait for water, the level at the end and what was turned away (W3).

    A stage that starts at once and is slowed down has its lost hours logged as waiting; the table counts them as
    pumping, so there they are what the makespan leaves over.
    """
    log = simulate(scenario_of(row))
    end_h = makespan_h(log)
    assert end_h == pytest.approx(float(row["makespan_h"]), rel=0, abs=1e-9)
    assert level_at_end(log, end_h) == pytest.approx(float(row["end_level_bbl"]), rel=0, abs=1e-6)
    assert spilled_until(log, end_h) == pytest.approx(float(row["spill_bbl"]), rel=0, abs=1e-6)
    if row["rule"] == "throttle":
        assert waited_for_water_h(log) == pytest.approx(slowed_h(row, end_h), rel=0, abs=1e-9)
    else:
        assert waited_for_water_h(log) == pytest.approx(float(row["water_wait_h"]), rel=0, abs=1e-9)


def slowed_h(row: Row, end_h: float) -> float:
    """What is left of the makespan after all that would have happened with plenty of water.

    Right for these cases: pumping is what holds the pad back from the first stage on.
    """
    stages, w_h, p_h, s_h = (float(row[name]) for name in ("stages_per_well", "W_h", "P_h", "S_h"))
    wells = int(row["wells"])
    ample_h = stages * (w_h + p_h) if wells == 1 else w_h + p_h + (wells * stages - 1) * (p_h + s_h)
    return end_h - ample_h


@pytest.mark.parametrize("row", CASES, ids=lambda row: row["case"])
def test_all_water_is_accounted_for(row: Row) -> None:
    """On hand + inflow = pumped + left + turned away, exactly, when the last stage ends."""
    log = simulate(scenario_of(row))
    end_h = makespan_h(log)
    pumped = int(row["wells"]) * int(row["stages_per_well"]) * float(row["V_bbl"])
    supplied = float(row["start_level_bbl"]) + float(row["q_bbl_h"]) * end_h
    left = level_at_end(log, end_h) + spilled_until(log, end_h)
    assert supplied == pytest.approx(pumped + left, rel=1e-12)


@pytest.mark.parametrize("rule", RULES.values())
@settings(derandomize=True, deadline=None, max_examples=200)
@given(
    wells=st.integers(1, 3),
    n=st.integers(1, 6),
    quarters=st.tuples(st.integers(1, 16), st.integers(1, 16), st.integers(0, 4)),
    toe=st.booleans(),
    inflows=st.tuples(st.integers(200, 6000), st.integers(0, 3000)),
    capacities=st.tuples(st.integers(12_500, 60_000), st.integers(0, 40_000)),
    on_hand=st.floats(0, 1),
)
def test_more_water_or_storage_is_never_slower(
    rule: str,
    wells: int,
    n: int,
    quarters: tuple[int, int, int],
    toe: bool,
    inflows: tuple[int, int],
    capacities: tuple[int, int],
    on_hand: float,
) -> None:
    """The makespan does not grow with the inflow, nor with the capacity of the storage (W5)."""
    w_h, p_h, s_h = (quarter / 4 for quarter in quarters)
    start = round(on_hand * capacities[0], 3)

    def span_h(inflow: float, capacity: float) -> float:
        return makespan_h(
            simulate(
                watered(
                    wells, n, w_h, p_h, s_h, toe=toe, volume=12_000.0, inflow=inflow, capacity=capacity,
                    on_hand=start, rule=rule,
                )
            )
        )  # fmt: skip

    base_h = span_h(inflows[0], capacities[0])
    assert span_h(sum(inflows), capacities[0]) <= base_h + 1e-9
    assert span_h(inflows[0], sum(capacities)) <= base_h + 1e-9


def test_a_pad_that_can_never_get_its_water_is_refused() -> None:
    """Half a stage on hand and nothing flowing in: an error that says who waits for water, not a silent log."""
    scenario = watered(
        1, 2, 1.0, 2.0, 0.0, toe=False, volume=12_000.0, inflow=0.0, capacity=12_000.0, on_hand=6000.0,
        rule="full stage on hand",
    )  # fmt: skip
    with pytest.raises(StuckError, match="Fleet waits for water"):
        simulate(scenario)
