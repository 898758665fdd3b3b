"""A crew that starts only what fits into its shift, where water or weather keeps it from starting in time."""

from __future__ import annotations

from typing import Any

import pytest

from sim.audit import violations
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.known_weather import lightning
from tests.field.records import drawn_bbl, rows_of, told
from tests.pads import NOW, pad, units, well

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
FITS = {"hours": "day shift", "at_shift_end": "fit the job in"}
HORIZON = {"horizon": "20 day"}


def source(name: str, rate: str) -> dict[str, Any]:
    return {"name": name, "rate": rate}


def water(*sources: dict[str, Any]) -> dict[str, Any]:
    storage = {"capacity": "20 kbbl", "erect": NOW, "fill_to": "0 bbl"}
    return {"water": {"start_rule": "full stage on hand", "sources": list(sources), "storage": storage}}


ONE = water(source("Pond", "500 bbl/h"))
TWO = water(source("Pond", "300 bbl/h"), source("River", "200 bbl/h") | {"hours": "00:00-20:00"})


def pumped(**more: Any) -> Scenario:
    """One stage of 8 hours and 5,500 bbl, by a fleet that works from 06:00 to 18:00."""
    stated = well("A", 1, NOW, "8 h", toe=True, fluid="5500 bbl")
    fleets = {"rig_up": NOW, "rig_down": NOW} | FITS
    return pad([stated], FIXED, units=units(pumping_fleets=fleets), **(HORIZON | more))


@pytest.mark.parametrize("supply", [ONE, TWO], ids=["one source", "a network"])
def test_a_stage_whose_water_comes_too_late_is_pumped_the_next_day(supply: dict[str, Any]) -> None:
    """500 bbl/h from midnight on are a full stage at 11:00, when 8 hours no longer fit before 18:00."""
    scenario = pumped(**supply)
    log = simulate(scenario)
    fleet = told(rows_of(log, unit="Fleet"))
    assert fleet[-3][:2] == (6, 10)
    assert fleet[-3][4].startswith("water: ")
    assert fleet[-2:] == [(10, 30, "pump stage", "wait", "outside hours"), (30, 38, "pump stage", "work", "")]
    assert drawn_bbl(log) == pytest.approx(5500, rel=1e-9)
    assert violations(log, scenario) == []


def test_a_stage_whose_water_is_there_just_in_time_is_pumped_that_day() -> None:
    """550 bbl/h are a full stage at 10:00, the last hour at which it fits."""
    log = simulate(pumped(**water(source("Pond", "550 bbl/h"))))
    assert told(rows_of(log, unit="Fleet", kind="work")) == [(10, 18, "pump stage", "work", "")]


@pytest.mark.parametrize("supply", [{}, water(source("Pond", "9 kbbl/h"))], ids=["no limit", "from a stock"])
def test_a_stage_that_the_weather_holds_up_too_long_is_pumped_the_next_day(supply: dict[str, Any]) -> None:
    """Lightning till 12:00: six hours are left of the day, and eight are needed."""
    log = simulate(pumped(weather=lightning((5, 12)), **supply))
    assert told(rows_of(log, unit="Fleet"))[-3:] == [
        (6, 12, "pump stage", "wait", "weather"),
        (12, 30, "pump stage", "wait", "outside hours"),
        (30, 38, "pump stage", "work", ""),
    ]


def test_a_crew_that_may_pause_begins_as_soon_as_it_can() -> None:
    """Fifteen hours of pumping from 11:00, when the water is there, pause at 18:00."""
    stated = well("A", 1, NOW, "15 h", toe=True, fluid="5500 bbl")
    fleets = {"rig_up": NOW, "rig_down": NOW, "hours": "day shift", "at_shift_end": "pause"}
    log = simulate(pad([stated], FIXED, units=units(pumping_fleets=fleets), **ONE, **HORIZON))
    assert told(rows_of(log, unit="Fleet", kind="work")) == [
        (11, 18, "pump stage", "work", ""),
        (30, 38, "pump stage", "work", ""),
    ]
