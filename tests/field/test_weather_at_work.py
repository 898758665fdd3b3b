"""Weather at work: what stops, for how long, and what it is called. Nobody foresees it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import activities as act
from sim.audit import violations
from sim.calendars import Calendar
from sim.chance.streams import own_generator
from sim.chance.weather import stoppages
from sim.chance.windows import without
from sim.operations.calendars import WORK_STOPPED
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from sim.scenario.weather import Stops
from tests.field.known_weather import HORIZON, lightning
from tests.field.records import drawn_bbl, hours, rows_of, spans, told
from tests.pads import NOW, pad, units, well

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
DAY_SHIFT = {"hours": "day shift"}
POND = {
    "start_rule": "as it comes",
    "sources": [{"name": "Pond", "rate": "9 kbbl/h"}],
    "storage": {"capacity": "90 kbbl", "erect": NOW, "on_hand": "90 kbbl"},
}
WATER = [pytest.param({}, id="never short of water"), pytest.param({"water": POND}, id="from an ample stock")]


def one_well(stages: int, wireline: str, pump: str, **more: Any) -> Scenario:
    """From midnight on; its toe is open, its stages draw 3,000 bbl each."""
    return pad([well("A", stages, wireline, pump, toe=True, fluid="3000 bbl")], FIXED, **(HORIZON | more))


@pytest.mark.parametrize("water", WATER)
def test_a_stage_is_stopped_and_goes_on(water: dict[str, Any]) -> None:
    """Four hours from midnight with lightning from 1 to 3 and from 5 to 10 end at 11; all the water is in the well."""
    scenario = one_well(1, NOW, "4 h", weather=lightning((1, 3), (5, 10)), **water)
    log = simulate(scenario)
    assert told(rows_of(log, unit="Fleet")) == [
        (0, 1, "pump stage", "work", ""),
        (1, 3, "pump stage", "wait", "weather"),
        (3, 5, "pump stage", "work", ""),
        (5, 10, "pump stage", "wait", "weather"),
        (10, 11, "pump stage", "work", ""),
    ]
    if water:
        assert drawn_bbl(log) == pytest.approx(3000, rel=1e-9)
    assert violations(log, scenario) == []


@pytest.mark.parametrize("water", WATER)
def test_weather_and_night_are_told_apart(water: dict[str, Any]) -> None:
    """A fleet on day shift, 14 hours of pumping, lightning from 16:00 to 20:00 and from 04:00 to 08:00."""
    fleets = units(pumping_fleets={"rig_up": NOW, "rig_down": NOW} | DAY_SHIFT)
    log = simulate(one_well(1, NOW, "14 h", weather=lightning((16, 20), (28, 32)), units=fleets, **water))
    assert told(rows_of(log, unit="Fleet")) == [
        (0, 6, "pump stage", "wait", "outside hours"),
        (6, 16, "pump stage", "work", ""),
        (16, 18, "pump stage", "wait", "weather"),
        (18, 30, "pump stage", "wait", "outside hours"),
        (30, 32, "pump stage", "wait", "weather"),
        (32, 36, "pump stage", "work", ""),
    ]


def test_weather_stops_the_work_that_it_is_stated_to_stop() -> None:
    """Lightning from 1 to 9 that stops wireline alone: the fleet ends its stage at 2; the run of 3 h ends at 12."""
    log = simulate(one_well(2, "3 h", "2 h", weather=lightning((1, 9), stops=("wireline",))))
    assert spans(rows_of(log, unit="Fleet", kind="work")) == [(0, 2), (12, 14)]
    assert told(rows_of(log, unit="Wireline"))[1:] == [
        (2, 9, "plug and perforate", "wait", "weather"),
        (9, 12, "plug and perforate", "work", ""),
    ]
    assert {row.cause for row in rows_of(log, unit="Fleet", kind="wait")} == {"weather", "wireline"}


@pytest.mark.parametrize(
    ("kind", "activity"),
    [
        ("preparation", act.NIPPLE_UP),
        ("preparation", act.TOE_PREPARATION),
        ("crane", act.NIPPLE_UP),
        ("crane", act.ERECT_STORAGE),
        ("crane", act.RIG_UP),
        ("crane", act.MOVE),
        ("water_lines", act.LAY_LINE),
        ("pumping", act.SWAP),
        ("drill_out", act.MILL_PLUGS),
        ("flowback", act.FLOW_BACK),
    ],
)
def test_every_kind_of_work_can_be_stopped(kind: str, activity: str) -> None:
    """Days of lightning from the middle of the first such job on: nothing of the kind is done until it is over."""
    calm = rows_of(simulate(whole_chain()), activity=activity, kind="work")
    begin = int((calm[0].start_h + calm[0].end_h) / 2)
    storm = rows_of(simulate(whole_chain(weather=lightning((begin, begin + 90), stops=(kind,)))), activity=activity)
    worked = [row for row in storm if row.kind == "work"]
    assert all(row.end_h <= begin or row.start_h >= begin + 90 for row in worked)
    assert any(row.cause == "weather" and row.end_h == begin + 90 for row in storm)
    assert hours(worked) == pytest.approx(hours(calm))


def whole_chain(**more: Any) -> Scenario:
    """Three wells, and everything takes time."""
    preparation = {"nipple_up": "12 h", "pressure_test": "6 h"}
    wells = [
        well(f"w{k}", 2, "1 h", "1 h", toe=True, preparation=preparation, fluid="3000 bbl")
        | {"toe": {"method": "toe sleeve", "time": "12 h"}}
        for k in range(3)
    ]
    stated = units() | {
        "preparation_crews": {"count": 3},
        "pumping_fleets": {"rig_up": "7 h", "rig_down": "3 h"},
        "milling_rigs": {"rig_up": "5 h", "rig_down": "5 h", "per_plug": "9 h"},
        "flowback_spreads": {"rig_up": "4 h", "duration": "20 h", "turn_in_line": "10 h"},
    }
    line = {"limit": "9 kbbl/h", "lay": "40 h"}
    water = POND | {"transfer": line, "storage": {"capacity": "90 kbbl", "erect": "40 h", "on_hand": "90 kbbl"}}
    strategy = {"wells_in_rotation": [2, 1], "swap": {"time": "1 h"}, "between_groups": "8 h"}
    return pad(wells, strategy, units=stated, water=water, **(HORIZON | more))


def test_a_job_that_must_fit_does_not_foresee_the_weather() -> None:
    """Eight hours that fit into the day from 06:00 on, and begin; lightning from 08:00 on stops them till 19:00.

    What is left of them, six hours, is worked the next morning, when the crew would rather have begun.
    """
    crew = DAY_SHIFT | {"at_shift_end": "fit the job in"}
    preparation = {"nipple_up": "8 h", "pressure_test": NOW}
    stated = well("A", 1, NOW, "1 h", toe=True, preparation=preparation)
    scenario = pad([stated], FIXED, units=units(preparation_crews=crew), weather=lightning((8, 19)), **HORIZON)
    assert told(rows_of(simulate(scenario), unit="Preparation crew"))[-4:] == [
        (6, 8, "nipple up", "work", ""),
        (8, 18, "nipple up", "wait", "weather"),
        (18, 30, "nipple up", "wait", "outside hours"),
        (30, 36, "nipple up", "work", ""),
    ]


def spells(good: str, bad: str) -> dict[str, Any]:
    return {"spells": {"other_months": {"good": good, "bad": bad}}, "stops": {"everything": "bad weather"}}


@pytest.mark.parametrize("weather", [spells("40 h", NOW), lightning(), lightning((400, 500), stops=("haulage",))])
def test_weather_that_stops_nothing_leaves_the_log_as_it_is(weather: dict[str, Any]) -> None:
    """To the bit the log of a pad without weather."""
    assert simulate(whole_chain(weather=weather), 3, 4) == simulate(whole_chain(), 3, 4)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.integers(0, 10_000), st.integers(4, 60), st.integers(1, 30), st.booleans(), st.booleans())
def test_work_takes_the_hours_outside_the_stoppages(
    number: int, good_h: int, bad_h: int, by_day: bool, from_a_stock: bool
) -> None:
    """Each stage ends when its calendar hours outside bad weather and the night have added up to its work, exactly."""
    fleet = {"rig_up": NOW, "rig_down": NOW} | (DAY_SHIFT if by_day else {})
    more: dict[str, Any] = {"water": POND} if from_a_stock else {}
    more |= {"weather": spells(f"{good_h} h", f"{bad_h} h"), "horizon": "400 day"}
    scenario = one_well(4, "3 h", "5 h", units=units(pumping_fleets=fleet), **more)
    log = simulate(scenario, number, 8)
    assert scenario.weather is not None
    stream = own_generator(8, number, "weather", "stoppages")
    stopped = stoppages(scenario.weather, scenario.start, scenario.horizon, stream)["everything"]
    shift = [(24.0 * day + 6, 24.0 * day + 18) for day in range(400)] if by_day else [(0.0, float("inf"))]
    fleet_hours = Calendar(without(shift, stopped))
    wireline_hours = Calendar(without([(0.0, float("inf"))], stopped))
    now = 0.0
    for stage in range(1, 5):
        if stage > 1:
            now = wireline_hours.finish(now, 3.0)
        now = fleet_hours.finish(now, 5.0)
        rows = rows_of(log, activity=act.PUMP_STAGE, stage=stage, kind="work")
        assert rows[-1].end_h == pytest.approx(now, abs=1e-6)
        assert hours(rows) == pytest.approx(5.0)
    assert violations(log, scenario) == []


def test_every_class_of_work_has_work_to_stop() -> None:
    """Or it should not be possible to state what stops it."""
    used = {kind for kinds in WORK_STOPPED.values() for kind in kinds}
    assert set(Stops.model_fields) - {"everything"} <= used


def test_lightning_over_a_crew_change_is_weather() -> None:
    """A stage from 04:00 on, lightning from 05:00 to 08:00, crews that change at 06:00: they would have pumped on."""
    more = {"weather": lightning((5, 8)), "shifts": {"crew_change": "1 h"}}
    log = simulate(one_well(1, NOW, "9 h", **more))
    assert told(rows_of(log, unit="Fleet"))[1:2] == [(5, 8, "pump stage", "wait", "weather")]
