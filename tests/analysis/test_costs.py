"""Every cost re-added by hand from raw log rows, and what prices may and may not change."""

from __future__ import annotations

from collections import Counter

import pytest
from priced import PRICES, hours, log_of, of_one, played, priced_pad

from analysis.pricing.cost_lines import cost_lines
from analysis.pricing.fuel_use import fuel_amounts
from analysis.pricing.ledger import reckon
from analysis.pricing.money import Money
from analysis.pricing.tariff import Tariff
from sim.log import Interval, Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from sim.scenario.treating import held_rates
from tests.pads import NOW, pad, units, well

GALLONS_PER_HPH = 2544.4335 / 0.35 / 138_000


def money_of(scenario: Scenario, log: Log) -> Money:
    found = reckon(of_one(scenario, log)).money
    assert found is not None
    return found


def by(money: Money, column: str) -> dict[str, float]:
    return money.lines_of(int(money.amounts["replication"].iloc[0])).groupby(column)["cost"].sum().to_dict()


@pytest.mark.parametrize("replication", range(3))
def test_every_category_from_raw_rows(replication: int) -> None:
    """Hours times rates, stages, plugs, wells, barrels, pounds and gallons, straight from the rows of the log."""
    scenario, log = priced_pad(), log_of(replication)
    found = by(money_of(scenario, log), "category")
    rows = [row for row in log.intervals if row.unit and row.activity != "arrive"]
    pumped = Counter(row.well for row in rows if row.activity == "pump stage" and row.kind == "work")
    runs = Counter(row.well for row in rows if row.activity == "plug and perforate" and row.kind == "work")
    assert pumped == {"w1": 3, "w2": 4, "w3": 5}
    rates = {"Fleet": 2000, "Wireline": 500, "Milling rig": 1000, "Flowback spread": 100, "Preparation crew": 200}
    worked = {unit: hours(log, unit, "work", "trouble") for unit in rates}
    waited = {unit: hours(log, unit, "wait") for unit in rates}
    standby = rates | {"Fleet": 1000}
    assert found["day rates"] == pytest.approx(sum(rates[unit] * worked[unit] for unit in rates))
    assert found["standby"] == pytest.approx(sum(standby[unit] * waited[unit] for unit in rates))
    assert found["mobilisation"] == 5000
    assert found["by the stage"] == 900 * 12
    assert found["by the plug"] == 300 * sum(runs.values()) + 50 * (12 - 3)
    assert found["by the well"] == 700 * 3
    assert found["water"] == pytest.approx(0.50 * 2000 * 12)
    assert found["proppant"] == pytest.approx(40 * 100_000 / 2000 * 12)
    open_h = max(row.end_h for row in rows) - min(row.start_h for row in rows)
    assert found["crews"] == pytest.approx(100 * open_h)
    assert found["overheads"] == pytest.approx(10 * open_h)


@pytest.mark.parametrize("replication", range(3))
def test_fuel_from_raw_rows(replication: int) -> None:
    """Pressure times volume of every stage, hours of the rig, hours of the fleet times its trucks."""
    scenario, log = priced_pad(), log_of(replication)
    burnt = fuel_amounts(scenario, of_one(scenario, log).amounts).groupby("subject")["amount"].sum()
    fleet = scenario.units.pumping_fleets[0]
    psi_bbl = sum(held_rates(well, fleet, 1).surface_psi.sum() * 2000 for well in scenario.wells)
    assert burnt["Fleet"] == pytest.approx(psi_bbl / (40.8 * 60) * GALLONS_PER_HPH)
    assert burnt["Milling rig"] == pytest.approx(21 * hours(log, "Milling rig", "work", "wait", "trouble"))
    assert burnt["Trucks"] == pytest.approx(2 * hours(log, "Fleet", "work", "wait", "trouble"))
    assert by(money_of(scenario, log), "category")["fuel"] == pytest.approx(4 * burnt.sum())


def test_lines_are_amounts_times_prices_and_months_only_share_them_out() -> None:
    """Each line multiplies; all categories and all months sum to the total of each replication."""
    forecast = played()
    lines = cost_lines(forecast.scenario, forecast.amounts)
    assert (lines["cost"] == lines["amount"] * lines["price"]).all()
    money = reckon(forecast).money
    assert money is not None
    assert set(lines["month"]) <= set(money.cash.months)
    assert len(set(lines["month"])) > 1
    totals = lines.groupby("replication")["cost"].sum()
    assert money.cash.paid.sum(axis=1) == pytest.approx(totals.to_numpy())
    assert money.total.mean.mean == pytest.approx(totals.mean())
    assert sum(cost.mean.mean for cost in money.categories.values()) == pytest.approx(totals.mean())


def test_waiting_is_booked_by_its_cause() -> None:
    """The sum over causes is all standby; each cause is the hours of its rows."""
    log = log_of(0)
    found = money_of(priced_pad(), log)
    fleet = sum(
        1000 * (row.end_h - row.start_h)
        for row in log.intervals
        if row.unit == "Fleet" and row.kind == "wait" and row.cause == "wireline" and row.activity != "arrive"
    )
    others = sum(
        rate * (row.end_h - row.start_h)
        for unit, rate in {
            "Wireline": 500,
            "Milling rig": 1000,
            "Flowback spread": 100,
            "Preparation crew": 200,
        }.items()
        for row in log.intervals
        if row.unit == unit and row.kind == "wait" and row.cause == "wireline" and row.activity != "arrive"
    )
    assert found.waiting["wireline"].mean.mean == pytest.approx(fleet + others)
    assert sum(cost.mean.mean for cost in found.waiting.values()) == pytest.approx(by(found, "category")["standby"])


def test_nights_and_crew_changes_are_in_the_day_rate() -> None:
    """A crew on day shift that pauses for the night is on its day rate, not kept waiting by anybody."""
    wells = [well("w1", 1, NOW, "1 h", toe=True, preparation={"nipple_up": "20 h", "pressure_test": NOW})]
    some = units(preparation_crews={"hours": "06:00-18:00", "arrives": "2027-03-01 06:00"})
    prices = {"units": {"preparation_crews": {"day": "2400 USD/day", "standby_day": "24 USD/day"}}}
    scenario = pad(wells, {}, units=some, start="2027-03-01 06:00", prices=prices)
    found = money_of(scenario, simulate(scenario))
    assert by(found, "category") == {"day rates": pytest.approx(100 * (12 + 12 + 8))}
    assert found.missing[0] == "prices.units.pumping_fleets"


def test_a_price_changes_nothing_but_its_own_lines() -> None:
    """Twice the price, twice the cost; no price is in the log or among the amounts."""
    forecast = played()
    dear = priced_pad(prices=PRICES | {"proppant": "80 USD/ton"})
    lines, dearer = cost_lines(forecast.scenario, forecast.amounts), cost_lines(dear, forecast.amounts)
    once, twice = lines.groupby("category")["cost"].sum(), dearer.groupby("category")["cost"].sum()
    assert twice["proppant"] == pytest.approx(2 * once["proppant"])
    assert (twice.drop("proppant") == once.drop("proppant")).all()
    assert log_of(0).intervals == simulate_without_prices()


def simulate_without_prices() -> list[Interval]:
    return simulate(priced_pad(prices=None, fuel=None), 0).intervals


def test_what_is_not_stated_is_named() -> None:
    """One missing price, and the rest still comes; without oil there is no value."""
    some = {key: price for key, price in PRICES.items() if key not in {"proppant", "oil", "water", "diesel"}}
    few = {kind: rates for kind, rates in PRICES["units"].items() if kind != "milling_rigs"}
    scenario = priced_pad(prices=some | {"units": few})
    found = money_of(scenario, log_of(0))
    missing = ("units.milling_rigs", "proppant", "diesel", "water", "oil")
    assert found.missing == tuple(f"prices.{each}" for each in missing)
    assert (found.value, found.later_day) == (None, None)
    assert found.total.mean.mean > 0


def test_a_day_of_standing_still() -> None:
    """Standby of fleet and wireline, with crews and overheads: 24,000 + 12,000 + 2400 + 240 USD."""
    assert money_of(priced_pad(), log_of(0)).standby_day == pytest.approx(38_640)


def test_gas_and_grid_instead_of_diesel() -> None:
    """A blend splits the same heat; the grid takes kWh, whose carbon is stated."""
    amounts = played().amounts
    heat = {}
    for pumping in ("diesel", "gas blend", "grid power"):
        scenario = priced_pad(fuel={"pumping": pumping, "gas_share": "60 %"})
        burnt = fuel_amounts(scenario, amounts).groupby("what")["amount"].sum()
        heat[pumping] = burnt.to_dict()
    total = heat["diesel"]["diesel gal"] * 0.138
    assert heat["gas blend"]["fuel gas mmBtu"] == pytest.approx(0.6 * total)
    assert heat["gas blend"]["diesel gal"] == pytest.approx(0.4 * total / 0.138)
    assert heat["grid power"] == {"grid power kWh": pytest.approx(total * 1e6 / 3412.14163 * 0.35 / 0.8, rel=1e-6)}


def test_a_unit_goes_before_its_entry_and_its_kind() -> None:
    """Of two fleets of one entry, one has a price of its own."""
    some = {
        "Fleet A 2": {"day": "24 USD/day"},
        "Fleet A": {"day": "48 USD/day"},
        "pumping_fleets": {"day": "72 USD/day"},
    }
    fleets = {"name": "Fleet A", "count": 2, "rig_up": NOW, "rig_down": NOW}
    scenario = priced_pad(units=units(pumping_fleets=fleets), prices={"units": some})
    tariff = Tariff(scenario)
    rates = {name: tariff.of_unit(name) for name in ("Fleet A 1", "Fleet A 2", "Wireline")}
    assert {name: each and each.day for name, each in rates.items()} == {
        "Fleet A 1": 2,
        "Fleet A 2": 1,
        "Wireline": None,
    }


def test_wells_pumped_together_are_paid_once() -> None:
    """Hours of the fleet are those of the table of units; each well counts its stages, at the pressure of a pair."""
    scenario = priced_pad(4, strategy={"wells_in_rotation": 4, "pumped_together": 2})
    log = simulate(scenario)
    found = of_one(scenario, log)
    assert sum(row.activity == "pump stage" for row in log.intervals) == 3 + 4 + 5 + 6
    per_hour = found.amounts[found.amounts["what"].str.endswith(" h") & (found.amounts["subject"] != "")]
    hours_of = per_hour[per_hour["what"] != "hydraulic hp h"].groupby("subject")["amount"].sum()
    assert hours_of.to_dict() == pytest.approx(found.units.groupby("unit")["hours"].sum().to_dict())
    counted = found.amounts[found.amounts["what"] == "stage"].groupby("subject")["amount"].sum()
    assert counted["Fleet"] == 18
    fleet = scenario.units.pumping_fleets[0]
    together = {(row.well, row.stage): 0 for row in log.intervals if row.activity == "pump stage"}
    ends = Counter(row.end_h for row in log.intervals if row.activity == "pump stage")
    for row in log.intervals:
        if row.activity == "pump stage":
            together[row.well, row.stage] = ends[row.end_h]
    assert set(together.values()) == {1, 2}
    wells = {well.name: well for well in scenario.wells}
    expected = sum(
        held_rates(wells[name], fleet, many).surface_psi[stage - 1] * 2000 / (40.8 * 60)
        for (name, stage), many in together.items()
    )
    energy = found.amounts.loc[found.amounts["what"] == "hydraulic hp h", "amount"].sum()
    assert energy == pytest.approx(expected)
