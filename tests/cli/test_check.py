"""`padtempo check`: what a planner reads before running anything, in full on any screen."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from desk import PAD, SCENARIOS, assert_readable, block, changed, file_of, flat, padtempo, process

from analysis.cautions import FULL
from sim.scenario import defaults_used, load

SHIPPED = sorted(SCENARIOS.glob("*.yaml"))


@pytest.mark.parametrize("columns", [80, 130])
@pytest.mark.parametrize("scenario", SHIPPED, ids=lambda path: path.stem)
def test_every_default_is_readable(scenario: Path, columns: int) -> None:
    """Each path, value, source and meaning stands there in full, a path at the start of its line."""
    printed = padtempo("check", str(scenario), columns=columns).stdout
    assert_readable(printed, columns)
    lines = printed.splitlines()
    for path, value, source, meaning in defaults_used(load(scenario)):
        assert any(line.startswith(f"{path}: ") for line in lines), path
        assert f"{path}: {value}" in flat(printed)
        assert source in flat(printed)
        assert flat(meaning).replace("_", " ") in flat(printed).replace("_", " ")


@pytest.mark.parametrize("columns", [80, 130])
def test_check_fits_the_screen(columns: int, tmp_path: Path) -> None:
    """Numbers of wells with long names and large volumes are never cut off."""
    name = "A well with a name as long as names may ever become here"
    text = changed(("name: Curlew 1", f"name: {name}"), ("proppant: 400 klb", "proppant: 900 million lb"))
    printed = padtempo("check", file_of(tmp_path, text), columns=columns).stdout
    assert_readable(printed, columns)
    assert "4,500,000,000" in block(printed, "Volumes")


def test_check_says_what_the_plan_amounts_to(tmp_path: Path) -> None:
    """Strategy, volumes, hours, paces, what averages promise: five stages of 9000 bbl in two wells."""
    done = padtempo("check", file_of(tmp_path))
    assert done.exit_code == 0
    assert done.stderr == ""
    assert done.stdout.startswith("Curlew Flat, zipper of two. Wells in rotation: Curlew 1, Curlew 2.")
    assert "90,000" in block(done.stdout, "Volumes")
    assert "Stages a day that each could keep up: fleet " in done.stdout
    assert "A spreadsheet of averages would promise: fracturing 7 Mar" in done.stdout


def test_check_applies_an_alternative(tmp_path: Path) -> None:
    """The plan as patched, not as it stands."""
    done = padtempo("check", file_of(tmp_path), "--alternative", "sequential")
    assert "one well at a time. Wells in rotation: Curlew 1; then Curlew 2." in done.stdout


def test_check_prints_every_caution(tmp_path: Path) -> None:
    """The practices that govern the work, and that a plan of time never says work is safe."""
    said = flat(padtempo("check", file_of(tmp_path)).stdout)
    for caution in FULL:
        assert flat(caution) in said
    for practice in ("API RP 67", "API RP 54", "API RP 100-1", "API RP 100-2", "Silica", "H2S", "Lightning"):
        assert practice in said
    assert "does not say that any work is safe" in said


def test_check_warns(tmp_path: Path) -> None:
    """What is valid but unwise is said in so many words."""
    text = changed(("rate: 50 kbbl/day", "rate: 5 kbbl/day"), ("wireline_units: {}", "wireline_units: {count: 3}"))
    said = flat(padtempo("check", file_of(tmp_path, text)).stdout)
    assert "Warning: Water carries 0.6 stages a day" in said
    assert "Warning: Wireline 1, Wireline 2, Wireline 3: some will have nothing to do" in said


@pytest.mark.parametrize("name", ["Pad [bold red]", "Pad [/x]", "Pad :warning:", "Pad {0} %s \\"])
def test_names_are_printed_as_they_stand(name: str, tmp_path: Path) -> None:
    """Brackets and colons in a name are letters, not orders to the terminal."""
    text = changed(("title: Curlew Flat", f"title: '{name}'"), ("name: Curlew 2", f"name: '{name} 2'"))
    done = padtempo("check", file_of(tmp_path, text))
    assert done.exit_code == 0
    assert done.stdout.startswith(f"{name}, zipper of two. Wells in rotation: Curlew 1, {name} 2.")


def test_entries_without_a_name_keep_their_place(tmp_path: Path) -> None:
    """Where only one of several unnamed entries rests on a default, the path says which."""
    text = changed(("wireline_units: {}", "wireline_units: [{turnaround: 30 min}, {run_in: 200 ft/min}]"))
    assert "units.wireline_units[item 1].run_in: 250 ft/min" in padtempo("check", file_of(tmp_path, text)).stdout


def test_ages_do_not_break_the_calendar(tmp_path: Path) -> None:
    """A slip that makes stages last for centuries is told in words, with a warning."""
    text = changed(
        ("fluid: 9000 bbl", "fluid: 900 million bbl, rate: 1 bbl/day"), ("capacity: 40 kbbl", "capacity: 1e9 bbl")
    )
    done = padtempo("check", file_of(tmp_path, text))
    assert done.exit_code == 0
    assert "last well after the year 9999" in flat(done.stdout)
    assert "Warning: Even on averages" in done.stdout


FIELD = """\
troubles:
  screen-out: {}
  bad luck: {strikes: flow back, every: 100 h, lost: 3 h}
trouble_factor: 2
weather:
  spells: {other_months: {good: 90 h, bad: 9 h}}
  stops: {crane: bad weather}
"""


def test_check_shows_troubles_and_weather(tmp_path: Path) -> None:
    """Usual figures in numbers, beside stated ones; conditions in words."""
    printed = padtempo("check", file_of(tmp_path, f"{PAD}{FIELD}"), columns=130).stdout
    assert re.search(r"screen-out +pump stage +1.5 % of jobs +14 +resume +usual", printed)
    assert re.search(r"bad luck +flow back +each 100 h +3 +resume +stated", printed)
    assert "Troubles, 2 times as often" in printed
    assert re.search(r"crane +bad weather", printed)


@pytest.mark.parametrize(
    "stated",
    ["lightning", "wind > 35 mph", "wind >= 15 m/s or lightning", "rain > 0.5 in/day", "temperature < 23 degF"],
)
def test_conditions_of_weather_are_printed_as_stated(stated: str, tmp_path: Path) -> None:
    """In the unit of whoever stated them."""
    text = f"{PAD}{FIELD}".replace("{crane: bad weather}", f"{{crane: '{stated}'}}")
    text = text.replace("spells: {other_months: {good: 90 h, bad: 9 h}}", "table: past.csv")
    dates = [(date(2020, 1, 1) + timedelta(days=day)).isoformat() for day in range(730)]
    rows = "".join(f"{each},3,0,15,no\n" for each in dates)
    (tmp_path / "past.csv").write_text(f"date,wind [m/s],rain [mm],temperature [degC],lightning\n{rows}")
    printed = padtempo("check", file_of(tmp_path, text), columns=130).stdout
    assert re.search(rf"crane +{re.escape(stated)} *$", printed, re.MULTILINE)


@pytest.mark.parametrize(
    ("stated", "origin"),
    [
        ("screen-out: {}", "usual"),
        ("screen-out: {strikes: pump stage}", "usual"),
        ("screen-out: {chance: 3 %}", "some usual"),
        ("screen-out: {every: 90 h, lost: 4 h}", "stated"),
        ("misrun: {chance: 3 %, lost: 2 h}", "some usual"),
        ("misrun: {chance: 3 %, lost: 2 h, then: repeat}", "stated"),
        ("pump failure: {}", "usual"),
        ("pump failure: {every: 90 h}", "some usual"),
        ("pump failure: {every: 90 h, repair: 5 h, repair_crews: 1}", "stated"),
        ("bad luck: {strikes: flow back, every: 100 h, lost: 3 h}", "stated"),
    ],
)
def test_check_says_where_figures_of_troubles_come_from(stated: str, origin: str, tmp_path: Path) -> None:
    """Usual where nothing is stated, stated where nothing of what is usual is left."""
    printed = padtempo("check", file_of(tmp_path, f"{PAD}troubles:\n  {stated}\n"), columns=130).stdout
    table = block(printed, "Troubles")
    assert re.search(rf"(?<!some) {origin} *$", table, re.MULTILINE)


def test_check_shows_pressures_and_rates(tmp_path: Path) -> None:
    """Where pressures are stated: the rate that fleet and rating allow, and how near the rating it comes."""
    text = changed(("proppant: 400 klb}", "proppant: 400 klb}\n  pressure: {true_vertical_depth: 9000 ft}"))
    printed = padtempo("check", file_of(tmp_path, text), columns=130).stdout
    assert re.search(r"Curlew 1 +90 +\d+ +\d+ +\w+ +\d,\d{3} +10,000", block(printed, "Rates that Fleet A can hold"))


@pytest.mark.parametrize("columns", [80, 130])
def test_explanation_of_a_stage_fits_the_screen(columns: int) -> None:
    """The arithmetic of one stage in lines of words, and the cautions."""
    pad = str(SCENARIOS / "six_well_pad.yaml")
    done = padtempo("explain", pad, "--well", "Larkspur 1", "--stage", "3", columns=columns)
    assert (done.exit_code, done.stderr) == (0, "")
    assert_readable(done.stdout, columns)
    assert "does not say that any work is safe" in flat(done.stdout)


def test_check_in_a_process_of_its_own(tmp_path: Path) -> None:
    """Into a pipe: success, nothing on standard error, 130 columns without escape codes."""
    done = process("check", file_of(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")
    assert_readable(done.stdout, 130)
