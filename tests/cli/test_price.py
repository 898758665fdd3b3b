"""`padtempo price`, and money in a forecast, as their user meets them."""

from __future__ import annotations

import csv
from math import log
from pathlib import Path
from typing import Any

import pytest
from desk import CONVENTION, PAD, PRICES, assert_readable, block, changed, contents, file_of, flat, forecast, padtempo

from sim import pad

PRODUCING = changed(
    (
        "{fluid: 9000 bbl, proppant: 400 klb}\n",
        "{fluid: 9000 bbl, proppant: 400 klb}\n  production: {peak: 900 bbl/day}\n",
    ),
    text=PAD,
)
TABLES = ["cash.csv", "cost_lines.csv", "costs.csv", "production.csv"]


@pytest.fixture(scope="module")
def run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A finished run of a pad with prices and production, without pictures."""
    from analysis.forecasting import pictures

    folder = tmp_path_factory.mktemp("priced")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pictures, "draw", lambda *_: None)
        done = forecast(file_of(folder, PRODUCING + PRICES), "--out", str(folder / "run"))
    assert (done.exit_code, done.stderr) == (0, "")
    (folder / "printed.txt").write_text(done.stdout, encoding="utf-8")
    return folder / "run"


def test_forecast_ends_with_money(run: Path) -> None:
    """In a sentence after the dates, then tables; every sum with its convention; no word is cut off."""
    printed = (run.parent / "printed.txt").read_text(encoding="utf-8")
    assert_readable(printed, 130)
    said = flat(printed)
    assert "The work costs " in said
    assert "USD (P50), no more than" in said
    assert "90 % chance of no more than that" in said
    assert CONVENTION in said
    assert block(printed, "Costs, thousand USD")
    assert {"plan.xlsx", "plan.ics", "stages.csv", *TABLES} <= {path.name for path in run.iterdir()}


def test_price_says_what_the_forecast_said(run: Path) -> None:
    """The same sentences from the same tables, and nothing is played."""
    printed = flat((run.parent / "printed.txt").read_text(encoding="utf-8"))
    done = padtempo("price", str(run))
    assert (done.exit_code, done.stderr) == (0, "")
    assert_readable(done.stdout, 130)
    for sentence in ("The work costs", "Discounted at 10 % a year"):
        start = printed.index(sentence)
        assert printed[start : start + 120] in flat(done.stdout)
    for title in ("Costs by unit, thousand USD", "Cost of waiting, thousand USD", "Cash, thousand USD"):
        assert block(done.stdout, title)


def test_other_prices_never_play_again(run: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Twice every price of the forecast is twice its cost; the run is left as it was."""

    def refuse(*_: Any) -> Any:
        raise AssertionError("played again")

    monkeypatch.setattr(pad, "simulate", refuse)
    monkeypatch.setattr("sim.replications.simulate", refuse)
    dear = tmp_path / "dear.yaml"
    dear.write_text(PRICES.replace("60 k", "120 k").replace("40 k", "80 k").replace("0.5 USD", "1 USD"))
    before = contents(run)
    sums = []
    for options in ((), ("--prices", str(dear))):
        out = tmp_path / f"tables{len(sums)}"
        done = padtempo("price", str(run), *options, "--out", str(out))
        assert (done.exit_code, done.stderr) == (0, "")
        assert sorted(path.name for path in out.iterdir()) == TABLES
        with (out / "cost_lines.csv").open(encoding="utf-8") as file:
            sums.append({row["item"]: 0.0 for row in csv.DictReader(file)})
        with (out / "cost_lines.csv").open(encoding="utf-8") as file:
            for row in csv.DictReader(file):
                sums[-1][row["item"]] += float(row["cost"])
    once, twice = sums
    assert once.keys() == twice.keys()
    for item in once:
        factor = 2 if item in {"Fleet A", "water"} else 1
        assert twice[item] == pytest.approx(factor * once[item])
    assert contents(run) == before


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("prices: {oil: -1 USD/bbl}\n", "prices.yaml:1: prices.oil: negative; expected money per volume"),
        ("prices: {discount: 900 %}\n", "prices.yaml:1: prices.discount: more than all; expected a percentage"),
        ("price: {}\n", "prices.yaml:1: price: unknown key; did you mean 'prices'"),
        ("", "prices.yaml:1: empty; expected"),
    ],
)
def test_prices_that_cannot_be_read(text: str, expected: str, run: Path, tmp_path: Path) -> None:
    """File, line and field; exit code 2; nothing is written."""
    file = tmp_path / "prices.yaml"
    file.write_text(text)
    done = padtempo("price", str(run), "--prices", str(file), "--out", str(tmp_path / "out"))
    assert done.exit_code == 2
    assert expected in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_places_that_hold_no_run(tmp_path: Path, run: Path) -> None:
    """No run, no such file, tables that would be replaced unasked."""
    done = padtempo("price", str(tmp_path))
    assert (done.exit_code, "holds no run" in done.stderr) == (2, True)
    done = padtempo("price", str(run), "--prices", str(tmp_path / "none.yaml"))
    assert (done.exit_code, "none.yaml" in done.stderr) == (2, True)
    assert padtempo("price", str(run), "--out", str(tmp_path / "t")).exit_code == 0
    again = padtempo("price", str(run), "--out", str(tmp_path / "t"))
    assert again.exit_code == 2
    assert "add --overwrite" in again.stderr
    assert padtempo("price", str(run), "--out", str(tmp_path / "t"), "--overwrite").exit_code == 0


def test_a_run_without_prices_can_be_priced_later(desk: Path, tmp_path: Path) -> None:
    """It says that nothing is stated; a file of prices is enough, and what is missing is named."""
    done = padtempo("price", str(desk / "first"))
    assert done.exit_code == 0
    assert "states neither prices nor production nor fuel" in flat(done.stdout)
    file = tmp_path / "few.yaml"
    file.write_text("prices: {units: {pumping_fleets: {day: 60 kUSD/day}}}\n")
    priced = flat(padtempo("price", str(desk / "first"), "--prices", str(file)).stdout)
    assert "The work costs" in priced
    assert "Not stated, hence not priced: prices.units.preparation_crews, prices.units.wireline_units" in priced
    assert "Without production and the price of oil there is no value." in priced


def test_sections_that_state_nothing(tmp_path: Path) -> None:
    """Empty prices and fuel are no mistake: it says what would have to be stated."""
    said = flat(forecast(file_of(tmp_path, f"{PAD}prices: {{}}\nfuel: {{}}\n"), replications=2).stdout)
    assert "Not stated, hence not priced: prices.units.preparation_crews, prices.units.pumping_fleets" in said
    assert "wells.*.production" in said
    assert (
        "No fuel can be counted: the pressure of Curlew 1, Curlew 2 is not stated, which pumping energy needs;" in said
    )


def test_check_warns_of_what_has_no_price(tmp_path: Path) -> None:
    """Before anything is played; without prices there is nothing to warn of."""
    few = "prices: {units: {pumping_fleets: {day: 60 kUSD/day}}, oil: 60 USD/bbl}\n"
    said = flat(padtempo("check", file_of(tmp_path, PRODUCING + few)).stdout)
    assert "Prices miss prices.units.preparation_crews, prices.units.wireline_units" in said
    assert "prices.proppant, prices.water: what they are for will be left out of every sum." in said
    assert "Prices miss" not in padtempo("check", file_of(tmp_path, PRODUCING + PRICES)).stdout
    assert "Prices miss" not in padtempo("check", file_of(tmp_path)).stdout


def test_check_shows_oil_and_energy_by_hand(tmp_path: Path) -> None:
    """900 bbl/day, 12 % lost in the first month, harmonic: D = 0.12 / 0.88 a month; diesel from the energy."""
    pressed = changed(("  stages: 5\n", "  stages: 5\n  pressure: {true_vertical_depth: 9500 ft}\n"), text=PRODUCING)
    printed = padtempo("check", file_of(tmp_path, f"{pressed}fuel: {{}}\n")).stdout
    assert_readable(printed, 130)
    nominal = 0.12 / 0.88 / 30.4
    (row,) = [line.split() for line in block(printed, "Oil once on production").splitlines() if "Curlew 1" in line]
    assert row[2] == "900"
    assert row[3] == f"{900 / (1 + nominal * 30):,.0f}"
    assert row[-1] == f"{900 / nominal * log(1 + nominal * 365):,.0f}"
    (row,) = [line.split() for line in block(printed, "Pumping by Fleet A").splitlines() if "Curlew 2" in line]
    energy, gallons = (float(number.replace(",", "")) for number in row[2:])
    assert gallons == pytest.approx(energy * 2544.4335 / 0.35 / 138_000, abs=1)


def test_wells_beyond_the_horizon_give_nothing(tmp_path: Path) -> None:
    """And the answer says in how many replications."""
    text = changed(("horizon: 90 day", "horizon: 12 day"), text=PRODUCING)
    said = flat(forecast(file_of(tmp_path, text), replications=3).stdout)
    assert "the pad gives 0.00 bbl of oil" not in said
    assert "What is not on production by then, in 3 of 3 replications, gives nothing." in said
