"""Shifts and crew changes at work: hours by hand, and what the pauses are called."""

from __future__ import annotations

from typing import Any

import pytest

from sim import activities as act
from sim.audit import violations
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import Told, drawn_bbl, rows_of, spans, told
from tests.pads import NOW, pad, units, well

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
HALF_HOUR = {"shifts": {"crew_change": "30 min"}}  # at 06:00 and 18:00
DAY_SHIFT = {"hours": "day shift"}
AMPLE = {
    "start_rule": "as it comes",
    "sources": [{"name": "Pond", "rate": "9 kbbl/h"}],
    "storage": {"capacity": "90 kbbl", "erect": NOW, "on_hand": "90 kbbl"},
}
WATER = [pytest.param({}, id="never short of water"), pytest.param({"water": AMPLE}, id="from an ample stock")]


def fractured(stages: int, wireline: str, pump: Any, water: dict[str, Any], **more: Any) -> Scenario:
    """One well from midnight on, whose toe is open; its stages draw 3,000 bbl each."""
    stated = well("A", stages, wireline, pump, toe=True, fluid="3000 bbl")
    return pad([stated], FIXED, **(water | more))


def prepared(nipple_up: str, test: str, crew: dict[str, Any], **more: Any) -> Scenario:
    """One well whose crew nipples up and tests; the rest takes no time."""
    stated = well("A", 1, NOW, "1 h", toe=True, preparation={"nipple_up": nipple_up, "pressure_test": test})
    return pad([stated], FIXED, units=units(preparation_crews=crew), **more)


@pytest.mark.parametrize("water", WATER)
def test_nobody_stops_a_stage_for_a_crew_change(water: dict[str, Any]) -> None:
    """Stage 1 from midnight to 04:00, a run to 06:00: that is when crews change, and stage 2 is not begun until 06:30.

    Its 12 hours end at 18:30, right through the other change, with all of its water.
    """
    scenario = fractured(2, "2 h", {"by_stage": ["4 h", "12 h"]}, water, **HALF_HOUR)
    log = simulate(scenario)
    assert spans(rows_of(log, unit="Wireline", kind="work")) == [(4, 6)]
    assert told(rows_of(log, unit="Fleet")) == [
        (0, 4, "pump stage", "work", ""),
        (4, 6, "stand by", "wait", "wireline"),
        (6, 6.5, "pump stage", "wait", "crew change"),
        (6.5, 18.5, "pump stage", "work", ""),
    ]
    if water:
        assert drawn_bbl(log) == pytest.approx(6000, rel=1e-9)
    assert violations(log, scenario) == []


def test_other_work_stands_still_while_crews_change() -> None:
    """Rig-up from midnight: 6 h, half an hour's change, 11.5 h, another, and the rest: 20 hours end at 21:00."""
    fleet = {"rig_up": "20 h", "rig_down": NOW}
    scenario = pad([well("A", 1, NOW, "1 h", toe=True)], FIXED, units=units(pumping_fleets=fleet), **HALF_HOUR)
    log = simulate(scenario)
    assert told(rows_of(log, unit="Fleet", activity="rig up")) == [
        (0, 6, "rig up", "work", ""),
        (6, 6.5, "rig up", "wait", "crew change"),
        (6.5, 18, "rig up", "work", ""),
        (18, 18.5, "rig up", "wait", "crew change"),
        (18.5, 21, "rig up", "work", ""),
    ]
    assert violations(log, scenario) == []


def test_crew_changes_at_other_hours() -> None:
    """Every eight hours from 05:00: 05:00, 13:00 and 21:00."""
    changes = {"shifts": {"crew_change": "1 h", "first_at": "05:00", "every": "8 h"}}
    fleet = {"rig_up": "20 h", "rig_down": NOW}
    log = simulate(pad([well("A", 1, NOW, "1 h", toe=True)], FIXED, units=units(pumping_fleets=fleet), **changes))
    assert spans(rows_of(log, unit="Fleet", cause="crew change")) == [(5, 6), (13, 14), (21, 22)]
    assert spans(rows_of(log, unit="Fleet", activity="rig up"))[-1] == (22, 23)


def test_a_well_flows_while_crews_change() -> None:
    """Two days of flowback are two days; the day to turn it in line stands still twice."""
    spread = {"rig_up": NOW, "duration": "2 day", "turn_in_line": "1 day"}
    log = simulate(pad([well("A", 1, NOW, "1 h", toe=True)], FIXED, units=units(flowback_spreads=spread), **HALF_HOUR))
    (flow,) = rows_of(log, activity=act.FLOW_BACK)
    assert flow.end_h - flow.start_h == pytest.approx(48)
    line = rows_of(log, activity=act.TURN_IN_LINE)
    assert line[-1].end_h - line[0].start_h == pytest.approx(25)


@pytest.mark.parametrize("water", WATER)
def test_a_stage_that_pauses_over_night_keeps_its_volume(water: dict[str, Any]) -> None:
    """A fleet on day shift pumps 20 hours from 06:00: twelve, the night, eight, and draws what the stage takes."""
    fleets = units(pumping_fleets={"rig_up": NOW, "rig_down": NOW} | DAY_SHIFT)
    scenario = fractured(1, NOW, "20 h", water, units=fleets)
    log = simulate(scenario)
    assert told(rows_of(log, unit="Fleet")) == [
        (0, 6, "pump stage", "wait", "outside hours"),
        (6, 18, "pump stage", "work", ""),
        (18, 30, "pump stage", "wait", "outside hours"),
        (30, 38, "pump stage", "work", ""),
    ]
    if water:
        assert drawn_bbl(log) == pytest.approx(3000, rel=1e-9)
    assert violations(log, scenario) == []


def test_no_time_for_crew_changes_is_no_crew_change() -> None:
    """To the bit the log of a pad without."""
    plain, none = (fractured(6, "3 h", "5 h", {}, **more) for more in ({}, {"shifts": {"crew_change": NOW}}))
    assert simulate(plain) == simulate(none)


def test_a_job_that_must_fit_waits_for_the_morning() -> None:
    """Eight hours to nipple up from 06:00, and eight to test that would end at 22:00: from 06:00 the next day."""
    scenario = prepared("8 h", "8 h", DAY_SHIFT | {"at_shift_end": "fit the job in"})
    rows = rows_of(simulate(scenario), unit="Preparation crew", kind="work")
    assert spans(rows) == [(6, 14), (30, 38)]
    pausing = prepared("8 h", "8 h", DAY_SHIFT)
    assert spans(rows_of(simulate(pausing), unit="Preparation crew", kind="work")) == [(6, 14), (14, 18), (30, 34)]


def test_waiting_for_a_shift_into_which_a_job_fits_is_not_weather() -> None:
    """Nothing fits after 14:00: outside hours, as far as that job is concerned."""
    scenario = prepared("8 h", "8 h", DAY_SHIFT | {"at_shift_end": "fit the job in"})
    causes = {row.cause for row in rows_of(simulate(scenario), kind="wait")}
    assert causes <= {"outside hours", "on call", "preparation"}


def test_a_crew_does_not_foresee_its_trouble() -> None:
    """The test of eight hours begins the next morning, whether and wherever it is struck."""
    trouble = {"troubles": {"leak": {"strikes": act.PRESSURE_TEST, "chance": "100 %", "lost": "1 h"}}}
    scenario = prepared("8 h", "8 h", DAY_SHIFT | {"at_shift_end": "fit the job in"}, **trouble)
    logs = [simulate(scenario, number) for number in range(8)]
    begun = {rows_of(log, activity=act.PRESSURE_TEST, kind="work")[0].start_h for log in logs}
    assert begun == {30}


def test_ample_water_is_as_good_as_no_limit() -> None:
    """A fleet on day shift, crews that change at 06:00: the stage of 20 hours ends at the same time."""
    fleets = units(pumping_fleets={"rig_up": NOW, "rig_down": NOW} | DAY_SHIFT)
    pads = [fractured(1, NOW, "20 h", water, units=fleets, **HALF_HOUR) for water in ({}, {"water": AMPLE})]
    no_limit_h, ample_h = (rows_of(simulate(each), unit="Fleet")[-1].end_h for each in pads)
    assert no_limit_h == pytest.approx(ample_h)


PAUSES: list[Told] = [
    (0, 6, "arrive", "wait", "on call"),
    (6, 6.5, "nipple up", "wait", "crew change"),
    (6.5, 12, "nipple up", "work", ""),
    (12, 12.5, "nipple up", "wait", "crew change"),
    (12.5, 13, "nipple up", "work", ""),
]


def test_a_crew_change_within_a_day_shift_is_called_so() -> None:
    """Crews on day shift that change every six hours nipple up for six hours, from 06:30 to 13:00."""
    scenario = prepared("6 h", NOW, DAY_SHIFT, shifts={"crew_change": "30 min", "every": "6 h"})
    assert told(rows_of(simulate(scenario), unit="Preparation crew")) == PAUSES


def test_a_night_and_the_change_after_it_are_no_weather() -> None:
    """A fleet on from 05:00 to 17:00, crews that change at 05:00: a stage pauses, and goes on after the next change."""
    fleets = units(pumping_fleets={"rig_up": NOW, "rig_down": NOW, "hours": "05:00 - 17:00"})
    changes = {"shifts": {"crew_change": "30 min", "first_at": "05:00"}}
    log = simulate(fractured(1, NOW, "14 h", {}, units=fleets, **changes))
    assert told(rows_of(log, unit="Fleet")) == [
        (0, 5, "pump stage", "wait", "outside hours"),
        (5, 5.5, "pump stage", "wait", "crew change"),
        (5.5, 17, "pump stage", "work", ""),
        (17, 29, "pump stage", "wait", "outside hours"),
        (29, 29.5, "pump stage", "wait", "crew change"),
        (29.5, 32, "pump stage", "work", ""),
    ]
