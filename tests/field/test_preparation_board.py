"""Crews that know some jobs, jobs in free order, and frac stacks that are fewer than the wells."""

from __future__ import annotations

from itertools import groupby, pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import activities as act
from sim.audit import violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.consistency import inconsistencies
from sim.scenario.equipment import AROUND_THE_CLOCK
from sim.scenario.scenario import Scenario
from tests.field.records import rows_of, spans, told
from tests.pads import NOW, pad, units, well
from tests.theory.tolerance import assert_mean, assert_variance

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
HEADS = {"name": "Heads", "does": ["nipple up", "pressure test"]}
TOES = {"name": "Toes", "does": ["toe preparation", "injection test"]}
JOBS = (act.NIPPLE_UP, act.PRESSURE_TEST, act.TOE_PREPARATION, act.INJECTION_TEST)
TUBING = "tubing-conveyed perforating"


def prepared(name: str, method: str = "toe sleeve", **more: Any) -> dict[str, Any]:
    """Eight hours to nipple up, four to test, three for the toe; one stage of an hour, drilled out at once."""
    stated = {"preparation": {"nipple_up": "8 h", "pressure_test": "4 h"}, "toe": {"method": method, "time": "3 h"}}
    return well(name, 1, NOW, "1 h", toe=True, measured_depth="2 ft", lateral_length="1 ft") | stated | more


def crews(*stated: dict[str, Any], **more: Any) -> dict[str, Any]:
    return units(preparation_crews=list(stated), **more)


def jobs(log: Log, well_name: str) -> list[tuple[str, str, float, float]]:
    """Preparation of a well: activity, crew, start and end, in order."""
    rows = [row for row in rows_of(log, well=well_name, kind="work") if row.activity in JOBS]
    return [(row.activity, row.unit, row.start_h, row.end_h) for row in rows]


def test_two_crews_share_the_jobs_between_them() -> None:
    """Heads are nippled up and tested well by well; the toes follow, 12 h apart, and both crews then go home."""
    log = simulate(pad([prepared("w1"), prepared("w2")], FIXED, units=crews(HEADS, TOES)))
    assert told(rows_of(log, unit="Heads")) == [
        (0, 8, "nipple up", "work", ""),
        (8, 12, "pressure test", "work", ""),
        (12, 20, "nipple up", "work", ""),
        (20, 24, "pressure test", "work", ""),
    ]
    assert told(rows_of(log, unit="Toes")) == [
        (0, 12, "arrive", "wait", "on call"),
        (12, 15, "toe preparation", "work", ""),
        (15, 24, "stand by", "wait", "preparation"),
        (24, 27, "toe preparation", "work", ""),
    ]


def test_a_crew_goes_home_when_others_do_what_is_left() -> None:
    """Of two crews that know all, one takes the first well at once, the other waits a day for the second well.

    With nothing left but what the first has begun, neither is kept on location.
    """
    stated = units(preparation_crews={"count": 2, "arrives": "2027-03-01"})
    log = simulate(pad([prepared("w1")], FIXED, units=stated))
    assert rows_of(log, unit="Preparation crew 2") == []
    log = simulate(pad([prepared("w1"), prepared("w2", rig_release="2027-03-02")], FIXED, units=stated))
    last_h = [rows_of(log, unit=f"Preparation crew {number}")[-1].end_h for number in (1, 2)]
    assert sorted(last_h) == [24, 39]


def test_guns_on_tubing_need_no_stack_on_the_wellhead() -> None:
    """The toe crew begins with the second well while the first is nippled up; nobody works in one well with another.

    Between its two jobs in well 1 the head crew, being there, goes on before the toe crew that waits, until hour 12.
    """
    wells = [prepared("w1", TUBING), prepared("w2", TUBING)]
    log = simulate(pad(wells, FIXED, units=crews(HEADS, TOES)))
    assert jobs(log, "w1") == [
        (act.NIPPLE_UP, "Heads", 0, 8),
        (act.PRESSURE_TEST, "Heads", 8, 12),
        (act.TOE_PREPARATION, "Toes", 12, 15),
    ]
    assert jobs(log, "w2") == [
        (act.TOE_PREPARATION, "Toes", 0, 3),
        (act.NIPPLE_UP, "Heads", 12, 20),
        (act.PRESSURE_TEST, "Heads", 20, 24),
    ]


def test_other_toes_wait_for_the_tested_stack() -> None:
    """A sleeve is opened by pressure, so neither well's toe comes before its test."""
    log = simulate(pad([prepared("w1"), prepared("w2")], FIXED, units=crews(TOES, HEADS)))
    for name in ("w1", "w2"):
        assert [job[0] for job in jobs(log, name)] == list(JOBS[:3])


def test_one_stack_for_two_wells_one_after_the_other() -> None:
    """Well 2 is nippled up once well 1 is fractured and drilled out, which takes until hour 16 + 10 + 5."""
    rig = {"rig_up": "10 h", "rig_down": "5 h", "per_plug": NOW}
    wells = [prepared("w1"), prepared("w2", TUBING)]
    stated = units(frac_stacks=1, milling_rigs=rig)
    log = simulate(pad(wells, FIXED | {"wells_in_rotation": 1}, units=stated))
    assert jobs(log, "w1")[-1][-1] == 15
    assert spans(rows_of(log, unit="Fleet", activity=act.PUMP_STAGE, well="w1")) == [(15, 16)]
    (down,) = rows_of(log, unit="Milling rig", activity=act.RIG_DOWN, well="w1")
    assert (down.start_h, down.end_h) == pytest.approx((26, 31), abs=1e-3)  # milling its one plug takes a moment
    toe, nipple_up, test = (job[2:] for job in jobs(log, "w2"))
    assert toe == (15, 18)  # on tubing, before there is a stack
    assert nipple_up == pytest.approx((31, 39), abs=1e-3)
    assert test == pytest.approx((39, 43), abs=1e-3)
    assert {row.cause for row in rows_of(log, unit="Preparation crew", kind="wait")[1:]} <= {
        "pumping",
        "drill-out",
        "rig down",
    }
    assert violations(log, pad(wells, FIXED | {"wells_in_rotation": 1}, units=stated)) == []


def test_stacks_go_to_the_wells_in_the_order_of_the_strategy() -> None:
    """The first well has its rig release late; the second waits, for the group needs both and may not take the last."""
    wells = [prepared("w1", rig_release="2027-03-02"), prepared("w2")]
    log = simulate(pad(wells, FIXED, units=units(frac_stacks=2)))
    assert [job[2] for job in jobs(log, "w1")] == [24, 32, 36]
    assert [job[2] for job in jobs(log, "w2")] == [39, 47, 51]


def test_more_stacks_than_wells_change_nothing() -> None:
    """To the bit the log of a pad that states no number, where all wells are there from the start."""
    wells = [prepared(f"w{k}") for k in range(4)]
    unlimited, plenty = (pad(wells, FIXED, units=units(**more)) for more in ({}, {"frac_stacks": 4}))
    assert simulate(unlimited) == simulate(plenty)


@pytest.mark.parametrize("does", [{}, {"does": ["pressure test"]}], ids=["knowing all", "testing only"])
def test_identical_crews(does: dict[str, Any]) -> None:
    """Six wells, two crews, exponential tests of three days: the last is done after 10.5 days (C8; Renyi, from memory).

    Whether the crews know all jobs, of which the others take no time, or another crew does those.
    """
    testers = {"name": "Testers", "count": 2} | does
    others = {"name": "Others", "does": ["nipple up", "toe preparation"]}
    test = {"nipple_up": NOW, "pressure_test": {"exponential": "3 day"}}
    wells = [well(f"w{k}", 1, NOW, NOW, toe=True, preparation=test) for k in range(6)]
    scenario = pad(wells, FIXED, units=crews(testers, *([others] if does else [])))
    ends = []
    for number in range(2500):
        rows = rows_of(simulate(scenario, number, 4), activity=act.PRESSURE_TEST, kind="work")
        ends.append(max(row.end_h for row in rows) / 24)
    assert_mean(ends, 10.5)
    variances = np.array([1.5**2] * 5 + [3.0**2])
    assert variances.sum() == 20.25
    assert_variance(ends, 20.25, excess_kurtosis=6 * float((variances**2).sum()) / 20.25**2)


def test_a_crew_that_waits_for_another_well_to_take_its_stack_says_so() -> None:
    """Two stacks, two crews, the first well released at hour 24: both begin then, and rows lead back to hour zero."""
    wells = [prepared("w1", rig_release="2027-03-02"), prepared("w2")]
    for arrives in ({}, {"arrives": "2027-03-01"}):
        scenario = pad(wells, FIXED, units=units(preparation_crews={"count": 2} | arrives, frac_stacks=2))
        log = simulate(scenario)
        assert "weather" not in {row.cause for row in log.intervals}
        assert violations(log, scenario) == []


def test_stacks_that_neighbours_keep_are_too_few() -> None:
    """Four wells in twos, two stacks, one well between fracturing and drill-out: refused, or carried out."""
    wells = [prepared(f"w{k}") for k in range(4)]
    scenario = pad(wells, FIXED | {"keep_clear": 1}, units=units(frac_stacks=2))
    if not inconsistencies(scenario):
        simulate(scenario)


@st.composite
def boards(draw: st.DrawFn) -> Scenario:
    """Small pads with stacks, crews that share or know all jobs, toes of all kinds, injection tests."""
    many, size = draw(st.integers(1, 6)), draw(st.integers(1, 3))
    release = st.sampled_from([{}, {"rig_release": "2027-03-02"}, {"rig_release": "2027-03-05 07:00"}])
    tests = st.sampled_from([{}, {}, {"injection_test": {"set_up": "2 h", "watch": "40 h"}}])
    methods = st.sampled_from(["toe sleeve", "wet shoe", TUBING, "none"])
    wells = [prepared(f"w{k}", draw(methods), **draw(release), **draw(tests)) for k in range(many)]
    for each in wells:
        each["stages"] = draw(st.integers(1, 3))
    shared = [HEADS | {"count": draw(st.integers(1, 2))}, TOES | {"count": draw(st.integers(1, 2))}]
    known = [{"count": draw(st.integers(1, 3)), "hours": draw(st.sampled_from(["around the clock", "day shift"]))}]
    stated = crews(*draw(st.sampled_from([shared, known, known + shared])))
    stated["frac_stacks"] = draw(st.integers(min(size, many), many))
    stated["pumping_fleets"]["count"] = draw(st.integers(1, 2))
    return pad(wells, FIXED | {"wells_in_rotation": min(size, many)}, units=stated)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(boards())
def test_nobody_stands_still(scenario: Scenario) -> None:
    """Every well gets on production; stacks are enough and go to the wells in order; so do the jobs in a well."""
    assert inconsistencies(scenario) == []
    log = simulate(scenario)
    assert len(rows_of(log, activity=act.PUMP_STAGE, kind="work")) == sum(log.stages.values())
    assert log.cut_short == 0
    knows = {name: entry.does for entry in scenario.units.preparation_crews for name in _names(entry.name, log)}
    for stated in scenario.wells:
        done = jobs(log, stated.name)
        order = [activity for activity, *_ in done if activity != act.TOE_PREPARATION or stated.toe.method != TUBING]
        pieces = [activity for activity, _ in groupby(order)]  # a job goes on in the morning as a piece of its own
        assert pieces == [activity for activity in JOBS if activity in order]
        assert all(before[3] <= after[2] for before, after in pairwise(done))
        assert all(activity in knows[unit] for activity, unit, *_ in done)
    assert _most_stacked(log) <= (scenario.units.frac_stacks or 0)
    stacked = [rows_of(log, well=name, activity=act.NIPPLE_UP, kind="work")[0].start_h for name in log.stages]
    if all(crew.hours == AROUND_THE_CLOCK for crew in scenario.units.preparation_crews):  # and begin what they take
        assert stacked == sorted(stacked), "a later well took its stack first"


def _names(name: str | None, log: Log) -> set[str]:
    stem = name or "Preparation crew"
    return {row.unit for row in log.intervals if row.unit.startswith(stem)}


def _most_stacked(log: Log) -> int:
    """Wells with a stack at a time: from nipple-up until the rig that milled them is down."""
    changes = []
    for name in log.stages:
        up = rows_of(log, well=name, activity=act.NIPPLE_UP)[0].start_h
        changes.append((up, 1))
        changes.append((max(row.end_h for row in log.intervals if row.well == name and "Milling" in row.unit), -1))
    stacked = most = 0
    for _, change in sorted(changes):
        stacked += change
        most = max(most, stacked)
    return most


def test_earlier_wells_set_stacks_free_for_a_group_before_it_is_begun() -> None:
    """Two stacks, wells in twos, one well between: the second group waits until the first is drilled out."""
    wells = [prepared(f"w{k}") for k in range(4)]
    scenario = pad(wells, FIXED | {"keep_clear": 1}, units=units(frac_stacks=2))
    log = simulate(scenario)
    drilled_out_h = max(row.end_h for row in rows_of(log, unit="Milling rig") if row.well in {"w0", "w1"})
    assert rows_of(log, activity=act.NIPPLE_UP, well="w3")[0].start_h >= drilled_out_h - 1e-9
    assert violations(log, scenario) == []
