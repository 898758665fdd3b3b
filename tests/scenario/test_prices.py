"""Prices, fuel and production at the door: what is taken, and what is refused by file, line and field."""

from __future__ import annotations

from pathlib import Path

import pytest
from files import BASE, changed, said

from sim.scenario import ScenarioError, defaults_used, load
from sim.scenario.loading import read, stated
from sim.scenario.price_checks import price_keys
from sim.scenario.repricing import repriced

PRICES = """prices:
  units:
    Fleet A: {day: 72 kUSD/day, standby_day: 2000 USD/h, per_stage: 9000 USD/stage}
    wireline_units: {day: 12 kUSD/day}
  water_by_source: {River intake: 0.42 USD/bbl}
  proppant: 50 USD/ton
  diesel: 4.20 USD/gal
  gas: 2.50 USD/mcf
  power: 0.08 USD/kWh
  royalty: 18.75 %
"""
FUEL = "fuel: {per_hour: {milling_rigs: 21 gal/h}}\n"
LINES = BASE.count("\n")


def test_prices_become_plain_numbers(tmp_path: Path) -> None:
    """USD by the hour, barrel, pound, mcf and mmBtu; a barrel has 42 gallons, a ton 2000 lb, a kWh 3412.14 Btu."""
    file = tmp_path / "pad.yaml"
    file.write_text(BASE + PRICES + FUEL)
    scenario = load(file)
    prices = scenario.prices
    assert prices is not None
    fleet = prices.units["Fleet A"]
    assert (fleet.day, fleet.standby_day, fleet.per_stage) == (pytest.approx(3000), 2000, 9000)
    assert prices.proppant == pytest.approx(0.025)
    assert prices.diesel == pytest.approx(4.2 * 42)
    assert (prices.gas, prices.oil) == (pytest.approx(2.5), None)
    assert prices.power == pytest.approx(0.08 * 1e6 / 3412.14163, rel=1e-6)
    assert prices.royalty == 0.1875
    assert scenario.fuel is not None
    assert scenario.fuel.per_hour["milling_rigs"] == pytest.approx(0.5)
    assert "prices.discount" in {default.path for default in defaults_used(scenario)}


@pytest.mark.parametrize(
    ("old", "new", "line", "expected"),
    [
        ("72 kUSD/day", "-5 USD/day", 3, "prices.units.Fleet A.day: negative; expected money per time such as"),
        ("72 kUSD/day", "72000 USD", 3, "prices.units.Fleet A.day: 'USD' is an amount of money; expected money per"),
        ("72 kUSD/day", "72000", 3, "prices.units.Fleet A.day: a number without a unit; expected money per time"),
        ("72 kUSD/day", "72 MUSD/day", 3, "prices.units.Fleet A.day: unit 'MUSD/day' is not known"),
        ("Fleet A:", "Flet A:", 3, "prices.units.Flet A: no unit or kind of units is called Flet A"),
        ("River intake:", "Rivr:", 5, "prices.water_by_source.Rivr: no source of water is called Rivr"),
        ("18.75 %", "120 %", 10, "prices.royalty: more than all; expected a percentage from '0 %' to '100 %'"),
        ("  royalty: 18.75 %", "  discount: 900 %", 10, "prices.discount: more than all; expected a percentage"),
        (
            "  royalty:",
            "  royalties:",
            10,
            "prices.royalties: unknown key; did you mean 'royalty'; known keys: units",
        ),
        ("milling_rigs: 21", "coil: 21", 11, "fuel.per_hour.coil: no unit or kind of units is called coil"),
    ],
)
def test_prices_that_cannot_be(old: str, new: str, line: int, expected: str, tmp_path: Path) -> None:
    """Each slip is named once, with its line, its field and what was expected."""
    found = said(tmp_path, BASE + changed((old, new), text=PRICES + FUEL))
    assert len(found) == 1
    at, _, message = found[0].partition(": ")
    assert at == f"pad.yaml:{LINES + line}"
    assert message.startswith(expected)


@pytest.mark.parametrize(
    ("production", "expected"),
    [
        ("decline: 0 %", "production.decline: never declines, so it would produce without end; expected more than 0 %"),
        ("b: 1.2, terminal_decline: 0 %", "production.terminal_decline: with b 1.2 the volume never comes to an end"),
        ("days_to_peak: 9 day, choke_steps: [{lasts: 3 day, share: 40 %}]", "production.choke_steps: stand beside"),
        ("water_cut: 50 %, water_oil_ratio: 1", "production.water_cut: stands beside water_oil_ratio"),
        ("water_cut: 100 %", "production.water_cut: expected less than 100 %"),
        ("gas_oil_ratio: 900", "production.gas_oil_ratio: a number without a unit; expected gas per volume of oil"),
        ("factor: {normal: 1}", "production.factor: not a factor; expected a number such as 1.1"),
    ],
)
def test_production_that_cannot_be(production: str, expected: str, tmp_path: Path) -> None:
    """What would flow for ever, or is stated twice, is named where it stands."""
    line = "  - {name: Heron 1, rig_release: 2027-02-10"
    text = changed((f"{line}}}", f"{line}, production: {{peak: 900 bbl/day, {production}}}}}"), text=BASE)
    found = said(tmp_path, text)
    assert len(found) == 1
    assert found[0].startswith(f"pad.yaml:11: wells.Heron 1.{expected}")


def test_a_decline_that_ends_is_taken(tmp_path: Path) -> None:
    """Without a terminal decline, as long as b is below 1."""
    file = tmp_path / "pad.yaml"
    line = "  - {name: Heron 1, rig_release: 2027-02-10"
    production = "production: {peak: 900 bbl/day, b: 0.9, terminal_decline: 0 %}"
    file.write_text(changed((f"{line}}}", f"{line}, {production}}}"), text=BASE))
    assert load(file).wells[0].production is not None


def test_alternatives_reach_prices(tmp_path: Path) -> None:
    """A price is patched like everything else."""
    file = tmp_path / "pad.yaml"
    file.write_text(
        f"{BASE}{PRICES}alternatives:\n  dear: {{prices.units.Fleet A.day: 96 kUSD/day, prices.gas: 5 USD/mcf}}\n"
    )
    prices = load(file, "dear").prices
    assert prices is not None
    assert (prices.units["Fleet A"].day, prices.gas) == (pytest.approx(4000), pytest.approx(5))


def test_one_entry_for_several_units_is_priced_by_its_name(tmp_path: Path) -> None:
    """The entry Fleet A of two units prices both; each may have prices of its own, and the kind comes last."""
    file = tmp_path / "pad.yaml"
    two = changed(("{name: Fleet A,", "{name: Fleet A, count: 2,"), text=BASE)
    file.write_text(changed(("    Fleet A: {", "    Fleet A 2: {day: 1 USD/h}\n    Fleet A: {"), text=two + PRICES))
    keys = price_keys(load(file))
    assert keys["Fleet A 1"] == ("Fleet A 1", "Fleet A", "pumping_fleets")
    assert keys["Wireline 2"] == ("Wireline 2", "wireline_units")


def test_time_zone(tmp_path: Path) -> None:
    """One of the time zone database, or a refusal."""
    file = tmp_path / "pad.yaml"
    file.write_text(f"{BASE}time_zone: America/Denver\n")
    assert load(file).time_zone == "America/Denver"
    for wrong in ("Denver", "../etc", "''"):
        (found,) = said(tmp_path, f"{BASE}time_zone: {wrong}\n")
        assert "time_zone: not a time zone known here; expected for example America/Denver" in found


def test_other_prices_for_a_plan_that_was_played(tmp_path: Path) -> None:
    """They replace the section; all else stays; slips are named by lines of their own file."""
    file, other = tmp_path / "pad.yaml", tmp_path / "prices.yaml"
    file.write_text(BASE + PRICES)
    plan = stated(read(file))
    assert repriced(plan) == load(file)
    other.write_text("prices:\n  oil: 70 USD/bbl\n")
    again = repriced(plan, other)
    assert again.prices is not None
    assert (again.prices.oil, again.prices.units) == (70, {})
    assert again.wells == load(file).wells
    other.write_text("prices:\n  oil: -1 USD/bbl\n  units: {Fleet Z: {}}\nwells: []\n")
    with pytest.raises(ScenarioError) as refused:
        repriced(plan, other)
    lines = str(refused.value).splitlines()
    assert [line.partition(": ")[0] for line in lines] == [f"{other}:2", f"{other}:4"]
    other.write_text("prices:\n  units: {Fleet Z: {}}\n")
    with pytest.raises(ScenarioError, match=r"prices\.yaml:2: prices\.units\.Fleet Z: no unit or kind"):
        repriced(plan, other)
