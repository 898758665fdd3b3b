"""Crews that get faster: stages, runs and plugs follow Wright's curve by the number that the crew has done here.

T.P. Wright, J. Aeronautical Sciences 3(4), 1936, 122-128 (title and year published, formula from memory): with 95 %
left at each doubling, units 2, 4 and 8 take 0.95, 0.9025 and 0.8574 of the first; with 80 %, 0.80, 0.64 and 0.512.
"""

from __future__ import annotations

from math import log2
from typing import Any

import pytest

from sim import activities as act
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import drawn_bbl, hours, rows_of
from tests.pads import NOW, pad, units, well

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
AT_ONCE = {"rig_up": NOW, "rig_down": NOW}
BY_HAND = {"95 %": (0.95, 0.9025, 0.8574), "80 %": (0.8, 0.64, 0.512)}


def learned(log: Log, activity: str, unit: str) -> list[float]:
    """Hours of the unit's jobs of one kind, in order."""
    return [row.end_h - row.start_h for row in rows_of(log, unit=unit, activity=activity, kind="work")]


def curve(doubling: float, many: int, done_before: int = 0) -> list[float]:
    """Shares of the first unit's time."""
    return [((done_before + n) / (done_before + 1)) ** log2(doubling) for n in range(1, many + 1)]


def two_wells(
    stages: int, strategy: dict[str, Any], wireline: str = NOW, names: str = "AB", **kinds: dict[str, Any]
) -> Scenario:
    """Two wells, or as many as are named, whose stages take two hours."""
    wells = [well(name, stages, wireline, "2 h", toe=True, fluid="3000 bbl") for name in names]
    water = {
        "start_rule": "as it comes",
        "sources": [{"name": "Pond", "rate": "9 kbbl/h"}],
        "storage": {"capacity": "90 kbbl", "erect": NOW, "on_hand": "90 kbbl"},
    }
    return pad(wells, FIXED | strategy, units=units() | kinds, water=water)


@pytest.mark.parametrize("doubling", BY_HAND)
@pytest.mark.parametrize("in_rotation", [1, 2])
def test_a_fleet_gets_faster_stage_by_stage(doubling: str, in_rotation: int) -> None:
    """Over both wells and whatever the rotation: stages 2, 4 and 8 of the fleet; each is pumped with all its water."""
    fleet = AT_ONCE | {"learning": {"doubling": doubling}}
    log = simulate(two_wells(5, {"wells_in_rotation": in_rotation}, pumping_fleets=fleet))
    times = learned(log, act.PUMP_STAGE, "Fleet")
    assert [times[n - 1] / 2 for n in (2, 4, 8)] == pytest.approx(BY_HAND[doubling], abs=5e-5)
    assert [each / 2 for each in times] == pytest.approx(curve(float(doubling[:2]) / 100, 10), rel=1e-9)
    assert drawn_bbl(log) == pytest.approx(10 * 3000, rel=1e-9)


def test_wells_pumped_together_are_one_stage_of_the_fleet() -> None:
    """Five stages in each of two wells are five for a fleet that pumps them in both at once."""
    fleet = AT_ONCE | {"learning": {"doubling": "80 %"}, "rate_limit": "200 bbl/min"}
    log = simulate(two_wells(5, {"pumped_together": 2}, pumping_fleets=fleet))
    times = learned(log, act.PUMP_STAGE, "Fleet")
    assert times[::2] == times[1::2]
    assert [each / 2 for each in times[::2]] == pytest.approx(curve(0.8, 5), rel=1e-9)


def test_a_crew_with_experience_has_less_to_learn() -> None:
    """After three elsewhere its first here is as stated, its fifth is its eighth: 0.512 / 0.64 = 0.8 of it."""
    fleet = AT_ONCE | {"learning": {"doubling": "80 %", "done_before": 3}}
    times = learned(simulate(two_wells(5, {}, pumping_fleets=fleet)), act.PUMP_STAGE, "Fleet")
    assert times[0] == pytest.approx(2)
    assert times[4] / 2 == pytest.approx(0.8)
    assert [each / 2 for each in times] == pytest.approx(curve(0.8, 10, done_before=3), rel=1e-9)


def test_each_wireline_unit_learns_by_its_own_runs() -> None:
    """Two units share sixteen runs; each gets faster by its own, whichever wells they are in."""
    wireline = AT_ONCE | {"count": 2, "learning": {"doubling": "95 %"}}
    log = simulate(two_wells(9, {}, wireline="3 h", wireline_units=wireline))
    by_unit = [learned(log, act.PLUG_AND_PERFORATE, f"Wireline {number}") for number in (1, 2)]
    assert sum(map(len, by_unit)) == 16
    for times in by_unit:
        assert len(times) >= 6
        assert [each / 3 for each in times] == pytest.approx(curve(0.95, len(times)), rel=1e-9)


def test_a_rig_gets_faster_plug_by_plug() -> None:
    """Eight plugs in each of A, B and C, ten minutes for the first: sums of n^-0.074 from 1 to 8, to 16, to 24."""
    rig = AT_ONCE | {"per_plug": "10 min", "learning": {"doubling": "95 %"}}
    log = simulate(two_wells(9, {}, names="ABC", milling_rigs=rig))
    plugs = curve(0.95, 24)
    assert [plugs[n - 1] for n in (2, 4, 8)] == pytest.approx(BY_HAND["95 %"], abs=5e-5)
    for name, share in (("A", plugs[:8]), ("B", plugs[8:16]), ("C", plugs[16:])):
        milled_h = hours(rows_of(log, activity=act.MILL_PLUGS, well=name))
        assert milled_h == pytest.approx(sum(share) / 6, rel=1e-9)


def test_nobody_learns_unless_stated() -> None:
    """All stages, runs and plugs take as long as the first; 100 % left at a doubling is no learning either."""
    none = two_wells(5, {}, wireline="3 h", pumping_fleets=AT_ONCE)
    nothing = two_wells(5, {}, wireline="3 h", pumping_fleets=AT_ONCE | {"learning": {"doubling": "100 %"}})
    assert simulate(none) == simulate(nothing)
    assert set(map(round, learned(simulate(none), act.PUMP_STAGE, "Fleet"))) == {2}
