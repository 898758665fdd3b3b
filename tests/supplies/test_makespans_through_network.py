"""The exact water-limited schedules again, with the same water coming through a network instead of at a plain rate."""

from __future__ import annotations

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from sim.activities import supply_of
from sim.audit import violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from tests.pads import pad, units, well
from tests.theory.pumping import makespan_h
from tests.theory.test_water_makespans import CASES, RULES, Row, slowed_h


def through(inflow: float) -> dict[str, object]:
    """The same inflow by four ways: a line that limits one source, another straight to the pad, a tiny full pond."""
    return {
        "sources": [
            {"name": "river", "rate": f"{24 * inflow!r} bbl/day", "to": "trunk"},
            {"name": "wells", "rate": f"{24 * inflow / 4!r} bbl/day"},
        ],
        "lines": [{"name": "trunk", "limit": f"{24 * inflow / 2!r} bbl/day", "lay": "0 h"}],
        "ponds": [
            {"name": "pond", "capacity": "10 kbbl", "on_hand": "0 bbl", "outlet": f"{24 * inflow / 4!r} bbl/day"}
        ],
    }


def networked(row: Row) -> Scenario:
    inflow, volume = float(row["q_bbl_h"]), float(row["V_bbl"])
    water = through(inflow)
    water["sources"] = [*water["sources"], {"name": "brook", "rate": f"{24 * inflow!r} bbl/day", "to": "pond"}]  # type: ignore[misc]
    water |= {
        "start_rule": RULES[row["rule"]],
        "storage": {
            "capacity": f"{row['tank_cap_bbl']} bbl", "erect": "0 h", "on_hand": f"{row['start_level_bbl']} bbl",
            "fill_to": "0 bbl",
        },
    }  # fmt: skip
    n, toe = int(row["stages_per_well"]), row["toe_ready"] == "1"
    of = [
        well(f"w{k}", n, f"{row['W_h']} h", f"{row['P_h']} h", toe=toe, fluid=f"{volume!r} bbl")
        for k in range(int(row["wells"]))
    ]
    return pad(of, {"wells_in_rotation": len(of), "swap": {"time": f"{row['S_h']} h"}}, water=water)


@pytest.mark.parametrize("row", CASES, ids=lambda row: row["case"])
def test_makespan_through_a_network_is_exact(row: Row) -> None:
    """Makespan and wait for water as in the table (W3), and all volumes balance over the network."""
    scenario = networked(row)
    log = simulate(scenario)
    assert makespan_h(log) == pytest.approx(float(row["makespan_h"]), rel=0, abs=1e-9)
    waits = (each for each in log.intervals if each.unit == "Fleet" and supply_of(each.cause) == "water")
    waited_h = sum(each.end_h - each.start_h for each in waits)
    expected_h = slowed_h(row, makespan_h(log)) if row["rule"] == "throttle" else float(row["water_wait_h"])
    assert waited_h == pytest.approx(expected_h, rel=0, abs=1e-9)
    assert violations(log, scenario) == []


def varied(rate: float, capacity: float, pond: float, rule: str, limit: float) -> Log:
    """Two wells beside a river with a permit and hours; a pond without losses: water that comes sooner loses more."""
    of = [well(f"w{k}", 3, "1.5 h", "2 h", toe=True, fluid="6 kbbl") for k in range(2)]
    water = {
        "start_rule": rule,
        "sources": [
            {"name": "river", "rate": f"{rate} bbl/h", "hours": "06:00-20:00", "daily_limit": f"{limit} bbl"}
            | {"to": "pond"},
            {"name": "wells", "rate": "200 bbl/h", "outages": {"up": "40 h", "down": "10 h"}},
        ],
        "ponds": [{"name": "pond", "capacity": f"{pond} bbl", "outlet": "1500 bbl/h"}],
        "storage": {"capacity": f"{capacity} bbl", "erect": "0 h", "fill_to": "0 bbl"},
    }  # fmt: skip
    stated = {"start": "2027-03-01", "horizon": "300 day", "wells": of, "units": units(), "water": water}
    scenario = load_stated(stated | {"strategy": {"wells_in_rotation": 2, "swap": {"time": "15 min"}}})
    log = simulate(scenario, 0, 3)
    assert violations(log, scenario) == []
    return log


@pytest.mark.parametrize("rule", ["full stage on hand", "as it comes"])
@settings(derandomize=True, deadline=None, max_examples=8, phases=[Phase.generate])
@given(
    st.integers(300, 2000), st.integers(6500, 30_000), st.integers(100, 30_000), st.integers(4000, 30_000),
    st.sampled_from(["rate", "capacity", "pond", "limit"]), st.integers(1, 9000),
)  # fmt: skip
def test_more_of_anything_is_never_later(
    rule: str, rate: int, capacity: int, pond: int, limit: int, part: str, more: int
) -> None:
    """A higher rate or permit, a larger storage or pond: under the same luck the last stage is never later (W5)."""
    base = {"rate": float(rate), "capacity": float(capacity), "pond": float(pond), "limit": float(limit)}
    grown = base | {part: base[part] + more}
    assert makespan_h(varied(**grown, rule=rule)) <= makespan_h(varied(**base, rule=rule)) + 1e-6
