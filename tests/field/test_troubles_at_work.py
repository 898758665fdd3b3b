"""What troubles do to units, wells and water: rows of the log by hand, and pumps that fail under a fleet."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from scipy import stats

from sim.activities import FLOW_BACK, PUMP_STAGE
from sim.audit import violations
from sim.chance.pump_bank import PumpBank
from sim.chance.streams import own_generator
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import drawn_bbl, hours, rows_of, told
from tests.pads import NOW, pad, units, well
from tests.theory.tolerance import RISK

POND = {"sources": [{"name": "Pond", "rate": "4 kbbl/h"}], "storage": {"capacity": "9 kbbl", "erect": NOW}}
FLUID, PUMP_H = 3000.0, 2.0
FIXED = {"swap": {"time": NOW}, "between_groups": NOW}


def one_well(then: str, *, water: bool = True, stages: int = 3, **stated: Any) -> Scenario:
    """Every stage of two hours is struck for three hours, or as stated."""
    trouble = {"strikes": PUMP_STAGE, "lost": "3 h", "then": then} | (stated or {"chance": "100 %"})
    wells = [well("A", stages, NOW, "2 h", toe=True, fluid="3000 bbl")]
    more = {"water": POND | {"start_rule": "as it comes"}} if water else {}
    return pad(wells, FIXED, troubles={"jam": trouble}, **more)


def by_stage(log: Log) -> list[list[tuple[str, float]]]:
    """Kinds and hours of the rows of each stage, in order."""
    found = []
    for stage in range(1, log.stages["A"] + 1):
        rows = rows_of(log, unit="Fleet", activity=PUMP_STAGE, stage=stage)
        found.append([(row.cause or row.kind, row.end_h - row.start_h) for row in rows])
    return found


@pytest.mark.parametrize("water", [True, False])
def test_work_that_is_struck_and_resumes(water: bool) -> None:
    """Each stage: work, three hours lost, the rest of the work; what is drawn is the fluid, to the barrel."""
    log = simulate(one_well("resume", water=water), 0, 5)
    for stage in by_stage(log):
        assert [kind for kind, _ in stage] == ["work", "jam", "work"]
        assert stage[1][1] == pytest.approx(3)
        assert stage[0][1] + stage[2][1] == pytest.approx(PUMP_H)
    places = [stage[0][1] for stage in by_stage(log)]
    assert len({round(place, 6) for place in places}) == len(places)
    if water:
        assert drawn_bbl(log) == pytest.approx(3 * FLUID, rel=1e-9)


def test_work_that_is_repeated_draws_its_water_again() -> None:
    """Struck in four attempts, done in the fifth; water goes with the work, in vain or not."""
    log = simulate(one_well("repeat"), 0, 5)
    for stage in by_stage(log):
        assert [kind for kind, _ in stage] == ["work", "jam"] * 4 + ["work"]
        assert stage[-1][1] == pytest.approx(PUMP_H)
    worked_h = hours(rows_of(log, unit="Fleet", activity=PUMP_STAGE, kind="work"))
    assert worked_h > 3 * PUMP_H
    assert drawn_bbl(log) == pytest.approx(worked_h / PUMP_H * FLUID, rel=1e-9)


def test_work_of_which_the_rest_is_given_up() -> None:
    """The stage counts as pumped, with as much water as it took by then, and the next one follows."""
    log = simulate(one_well("give up the rest"), 0, 5)
    assert [[kind for kind, _ in stage] for stage in by_stage(log)] == [["work", "jam"]] * 3
    worked_h = hours(rows_of(log, unit="Fleet", activity=PUMP_STAGE, kind="work"))
    assert worked_h < 3 * PUMP_H
    assert drawn_bbl(log) == pytest.approx(worked_h / PUMP_H * FLUID, rel=1e-9)
    assert violations(log, one_well("give up the rest")) == []


def test_one_well_of_two_struck_stops_both() -> None:
    """Wells pumped together are started and shut down together, also by trouble; each may be struck."""
    wells = [well(name, 2, NOW, "2 h", toe=True) for name in ("A", "B")]
    troubles = {"jam": {"strikes": PUMP_STAGE, "chance": "100 %", "lost": "3 h"}}
    log = simulate(pad(wells, FIXED | {"pumped_together": 2}, units=units(2), troubles=troubles), 0, 5)
    a, b = (told(rows_of(log, unit="Fleet", activity=PUMP_STAGE, well=name)) for name in ("A", "B"))
    assert a == b
    assert [row[4] for row in a] == ["", "jam", "", "jam", ""] * 2
    assert hours(rows_of(log, activity=PUMP_STAGE, well="A", kind="work")) == pytest.approx(2 * PUMP_H)


def test_wireline_waits_for_a_fleet_in_trouble_and_says_why() -> None:
    """What the fleet lost to the trouble is what the wireline unit waited for, hour by hour."""
    trouble = {"jam": {"strikes": PUMP_STAGE, "chance": "100 %", "lost": "3 h"}}
    log = simulate(pad([well("A", 3, "1 h", "2 h", toe=True)], FIXED, troubles=trouble), 0, 5)
    fleet, wireline = rows_of(log, unit="Fleet", cause="jam"), rows_of(log, unit="Wireline", cause="jam")
    assert [row[:2] for row in told(fleet)[1:2]] == [row[:2] for row in told(wireline)]


def pump_trouble(failure: dict[str, Any], factor: float = 1.0) -> Scenario:
    """Two wells of six stages, four pumps of which three are needed, so many hours to rest between stages."""
    wells = [well(name, 6, "1 h", "3 h", toe=True) for name in ("A", "B")]
    fleet = {"rig_up": NOW, "rig_down": NOW, "pumps": 4, "spare_pumps": 1}
    strategy = {"swap": {"time": "30 min"}, "between_groups": NOW}
    troubles = {"pump failure": {"strikes": "pumps"} | failure}
    return pad(wells, strategy, units=units(pumping_fleets=fleet), troubles=troubles, trouble_factor=factor)


@pytest.mark.parametrize("factor", [1.0, 4.0])
def test_hours_lost_to_pumps_are_those_of_the_bank(factor: float) -> None:
    """Stage by stage, the bank of the fleet's pumps played again with the fleet's own luck and hours."""
    scenario = pump_trouble({"every": "15 h", "repair": "7 h", "repair_crews": 1}, factor)
    log = simulate(scenario, 2, 9)
    luck = own_generator(9, 2, "Fleet", "pumps")
    bank = PumpBank(4, 1, lambda: float(luck.exponential(15 / factor)), lambda: 7.0)
    begun = [row.start_h for row in rows_of(log, unit="Fleet", activity=PUMP_STAGE, kind="work")]
    expected = [bank.pump(start_h, 3.0, 3) - 3.0 for start_h in begun]
    lost = {(row.well, row.stage): row.end_h - row.start_h for row in rows_of(log, cause="pump failure", unit="Fleet")}
    places = [(row.well, row.stage) for row in rows_of(log, unit="Fleet", activity=PUMP_STAGE, kind="work")]
    assert [lost.get(place, 0.0) for place in places] == pytest.approx(expected, abs=1e-9)
    assert len(lost) >= 2
    assert {row.kind for row in rows_of(log, cause="pump failure", unit="Fleet")} == {"trouble"}


@pytest.mark.parametrize(("failure", "factor"), [({"every": "200000 h"}, 1.0), ({"every": "1 h"}, 0.0)])
def test_pumps_that_never_fail_leave_the_log_as_it_is(failure: dict[str, Any], factor: float) -> None:
    """To the bit, as if no such trouble were stated."""
    with_pumps = pump_trouble(failure, factor)
    assert simulate(with_pumps, 2, 9) == simulate(with_pumps.model_copy(update={"troubles": {}}), 2, 9)


def test_a_flowback_over_its_chokes_is_one_job() -> None:
    """By chance it is struck once or not at all, however many chokes it has, and each well meets luck of its own."""
    wells = [well(f"w{k}", 1, NOW, NOW, toe=True) for k in range(150)]
    spread = {"count": 50, "rig_up": NOW, "choke_steps": ["1 day", "1 day", "1 day"], "turn_in_line": NOW}
    sand = {"strikes": FLOW_BACK, "chance": "20 %", "lost": {"uniform": ["1 h", "9 h"]}}
    scenario = pad(wells, FIXED, units=units(flowback_spreads=spread), troubles={"sand": sand})
    logs = [simulate(scenario, number, 5) for number in range(4)]
    struck = [Counter(row.well for row in rows_of(log, kind="trouble")) for log in logs]
    assert {many for log in struck for many in log.values()} == {1}
    assert stats.binomtest(sum(map(len, struck)), 4 * 150, 0.2).pvalue > RISK
    lost = [row.end_h - row.start_h for log in logs for row in rows_of(log, kind="trouble")]
    assert len({round(each, 6) for each in lost}) == len(lost)
    for log in logs:
        assert hours(rows_of(log, activity=FLOW_BACK, kind="work")) == pytest.approx(150 * 72)
