"""Whose night a unit that stands by is paid for: its own by the day rate, that of another as standby."""

from __future__ import annotations

from typing import Any

import pytest
from priced import PRICES, of_one

from analysis.pricing.ledger import reckon
from analysis.pricing.money import Money
from analysis.pricing.nights import Nights
from sim.log import Interval
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import pad, units, well

FLEET = {"Fleet": {"day": "48000 USD/day", "standby_day": "24000 USD/day"}}


def day_shift(fleet: str = "around the clock", **more: Any) -> Scenario:
    """A preparation crew that needs two days of twelve hours, and a fleet that waits for it."""
    stated = well("w", 2, "1 h", "1 h", toe=True, preparation={"nipple_up": "8 h", "pressure_test": "10 h"})
    crew = {"hours": "06:00-18:00"}
    prices = PRICES | {"units": FLEET | {"preparation_crews": {"day": "4800 USD/day", "standby_day": "2400 USD/day"}}}
    spreads = {"rig_up": "1 h", "duration": "2 day", "turn_in_line": "1 h"}
    pumping = {"name": "Fleet", "arrives": "2027-03-01 06:00", "rig_up": "0 h", "hours": fleet}
    some = units(flowback_spreads=spreads, preparation_crews=crew, pumping_fleets=pumping)
    return pad([stated], {"wells_in_rotation": 1}, start="2027-03-01 06:00", units=some, prices=prices, **more)


def priced(scenario: Scenario) -> tuple[Money, list[Interval]]:
    log = simulate(scenario)
    money = reckon(of_one(scenario, log)).money
    assert money is not None
    return money, log.intervals


def costs(money: Money, item: str) -> dict[tuple[str, str], float]:
    lines = money.lines_of(0)
    lines = lines[lines["item"] == item]
    return lines.groupby(["category", "reason"])["cost"].sum().to_dict()


def row(unit: str, start_h: float, end_h: float, activity: str = "stand by", cause: str = "outside hours") -> Interval:
    return Interval(start_h, end_h, unit, activity, "", 0, "wait", cause, -1)


def test_the_night_of_a_crew_is_standby_of_the_fleet_that_waits_for_it() -> None:
    """A fleet around the clock has no night of its own; the crew has, and is paid its day rate."""
    money, rows = priced(day_shift())
    nights = [each for each in rows if each.cause == "outside hours"]
    waited = sum(each.end_h - each.start_h for each in nights if each.unit == "Fleet")
    assert waited >= 12
    assert {each.activity for each in nights if each.unit == "Fleet"} == {"stand by"}
    found = costs(money, "Fleet")
    assert found["standby", "outside hours of others"] == pytest.approx(1000 * waited)
    assert ("day rates", "outside hours") not in found
    assert money.waiting["outside hours of others"].middle == pytest.approx(1000 * waited)
    crew = costs(money, "Preparation crew")
    own = sum(each.end_h - each.start_h for each in nights if each.unit == "Preparation crew")
    assert crew["day rates", "outside hours"] == pytest.approx(200 * own)
    assert ("standby", "outside hours of others") not in crew


def test_nights_are_parted_at_the_stated_hours() -> None:
    """Start at 06:00: a fleet from 09:00 to 21:00 waits three hours of a crew's night on either side of its own."""
    nights = Nights(day_shift("09:00-21:00"))
    parted = [(12, 15, "outside hours of others"), (15, 27, "outside hours"), (27, 30, "outside hours of others")]
    assert nights.told(row("Fleet", 12, 30)) == parted
    assert nights.told(row("Preparation crew", 12, 24)) == [(12, 24, "outside hours")]
    assert nights.told(row("Fleet", 12, 24, "pump stage")) == [(12, 24, "outside hours")]
    assert nights.told(row("Fleet", 12, 24, cause="wireline")) == [(12, 24, "wireline")]
    around = Nights(day_shift())
    assert around.told(row("Fleet", 12, 24)) == [(12, 24, "outside hours of others")]


def test_a_crew_change_is_part_of_the_day_only_at_work() -> None:
    """Who stands by through one waits for the work that it holds up."""
    nights = Nights(day_shift(shifts={"crew_change": "30 min", "first_at": "06:00", "every": "12 h"}))
    assert nights.told(row("Fleet", 12, 12.5, cause="crew change")) == [(12, 12.5, "crew change of others")]
    assert nights.told(row("Fleet", 12, 12.5, "swap", "crew change")) == [(12, 12.5, "crew change")]


def test_a_unit_on_the_same_shift_is_off_with_the_one_it_waits_for() -> None:
    """Nobody keeps a fleet whose own night it is."""
    money, rows = priced(day_shift("06:00-18:00"))
    found = costs(money, "Fleet")
    assert any(each.cause == "outside hours" and each.activity == "stand by" for each in rows if each.unit == "Fleet")
    assert found["day rates", "outside hours"] > 0
    assert ("standby", "outside hours of others") not in found
