"""What nobody foresees does not make a supply go further; filling needs no crew; what cannot be given up is refused."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from sim import activities as act
from sim.pad import simulate
from sim.scenario.troubles import CAN_BE_GIVEN_UP, Trouble
from tests.field.records import rows_of
from tests.pads import NOW, pad, units, well

HICCUPS = ({"chance": "100 %"}, {"every": "15 min"})


def tank(rule: str, sources: list[dict[str, Any]]) -> dict[str, Any]:
    storage = {"capacity": "9000 bbl", "fill_to": "9000 bbl", "erect": NOW}
    return {"start_rule": rule, "sources": sources, "storage": storage}


def pumped_h(water: dict[str, Any], troubles: dict[str, Any], replication: int) -> float:
    """End of the last of ten stages of 2 hours and 9,000 bbl."""
    stated = well("A", 10, NOW, "2 h", toe=True, fluid="9000 bbl")
    log = simulate(pad([stated], {}, water=water, troubles=troubles), replication)
    return max(row.end_h for row in rows_of(log, activity=act.PUMP_STAGE))


@pytest.mark.parametrize("sources", [["500 bbl/h"], ["300 bbl/h", "200 bbl/h"]], ids=["plain", "network"])
@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish"])
def test_a_trouble_never_makes_water_go_further(rule: str, sources: list[str]) -> None:
    """A stage that trouble will interrupt starts when one that it will not would: nobody knows it yet."""
    stated = [{"name": f"Source {k}", "rate": rate, "daily_limit": "90 kbbl"} for k, rate in enumerate(sources)]
    water = tank(rule, stated if len(sources) > 1 else [{"name": "Source", "rate": sources[0]}])
    smooth_h = pumped_h(water, {}, 0)
    for how_often in HICCUPS:
        hiccup = {"hiccup": {"strikes": act.PUMP_STAGE, "lost": "1 min"} | how_often}
        assert all(pumped_h(water, hiccup, number) > smooth_h - 1e-6 for number in range(6))


def test_filling_goes_on_through_crew_changes() -> None:
    """9,000 bbl at 500 bbl/h are there after 18 hours, whoever changes meanwhile."""
    stated = well("A", 1, NOW, "2 h", toe=True, fluid="9000 bbl")
    water = tank("full stage on hand", [{"name": "Source", "rate": "500 bbl/h"}])
    log = simulate(pad([stated], {}, units=units(), water=water, shifts={"crew_change": "1 h"}))
    (filling,) = rows_of(log, activity=act.FILL_STORAGE)
    assert (filling.start_h, filling.end_h) == pytest.approx((0, 18))


@pytest.mark.parametrize("activity", [act.NIPPLE_UP, act.PRESSURE_TEST, act.PLUG_AND_PERFORATE, act.TURN_IN_LINE])
def test_what_cannot_be_given_up_is_refused(activity: str) -> None:
    """No well goes on without its pressure test, or a stage without perforations."""
    with pytest.raises(ValidationError, match=f"the rest of {activity} cannot be given up; expected 'resume' or"):
        Trouble.model_validate({"strikes": activity, "chance": "3 %", "lost": "2 h", "then": "give up the rest"})


def test_what_can_be_given_up_is_not() -> None:
    """A stage, plugs, days of flowback."""
    for activity in CAN_BE_GIVEN_UP:
        Trouble.model_validate({"strikes": activity, "chance": "3 %", "lost": "2 h", "then": "give up the rest"})
