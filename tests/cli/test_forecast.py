"""`padtempo forecast` from the file to the answer and the run directory."""

from __future__ import annotations

import re
from math import isinf
from pathlib import Path

import pytest
from desk import (
    CONVENTION,
    SCENARIOS,
    assert_readable,
    block,
    blocks,
    changed,
    contents,
    file_of,
    flat,
    forecast,
    padtempo,
)

from analysis.runs.run_directory import read_table

BRACKET = re.compile(r"\[(\?|beyond|\d+\.\d), (\?|beyond|\d+\.\d)\]")


def test_printed_dates_are_those_of_the_tables(desk: Path, printed: str) -> None:
    """The P50 on the screen is the fourth of eight values in the table."""
    last = sorted(read_table(desk / "first", "pads")["all_on_production_h"])
    assert f"day {last[3] / 24:.1f} " in block(printed, "The pad").splitlines()[9]


def test_answer_comes_first_and_cautions_last(printed: str) -> None:
    """The answer opens; at the end stand the cautions and where the files are."""
    first, *_, cautions, files = blocks(printed)
    assert first.startswith("Curlew Flat, zipper of two: first production by ")
    assert "A plan of averages promises" in first
    assert "Fleet A pumps" in first
    assert cautions.startswith("This plans time; it does not say that any work is safe.")
    assert files.startswith("In ")


def test_every_table_of_percentiles_says_what_they_are(printed: str) -> None:
    """The convention stands below each, for reserves people read it the other way round."""
    tables = [each for each in blocks(printed) if re.search(r"\bP[159]0\b", each)][1:]  # the answer says it in words
    *dates, volumes = tables
    assert len(dates) == 3
    for table in dates:
        assert CONVENTION in flat(table)
    assert "P50, below it P10 to P90: 10, 50, 90 % chance of no more than that." in flat(volumes)
    assert "with 90 % confidence (P90)" in flat(blocks(printed)[0])


def test_every_estimate_carries_its_interval(printed: str) -> None:
    """Three quantiles and a mean of four milestones in brackets and behind ±, and the shares of every unit."""
    pad = block(printed, "The pad")
    assert len(BRACKET.findall(pad)) == 12
    assert len(re.findall(r"day \d+\.\d ± \d+\.\d", pad)) == 4
    assert "95 % confidence interval" in flat(pad)
    units, _, below = block(printed, "The units").partition("On location")
    assert len(re.findall(r"\d %", units)) >= 7
    assert len(re.findall(r"\d %", units)) == len(re.findall(r"\d ± \d+\.\d %", units))
    assert re.search(r"stages a day \d+\.\d\d ± \d+\.\d\d", flat(below))


@pytest.mark.parametrize("columns", [80, 130])
@pytest.mark.parametrize("horizon", ["90 day", "16 day"])
def test_output_fits_the_screen(columns: int, horizon: str, tmp_path: Path) -> None:
    """Whatever the width, all is readable, long names and what the horizon hides included."""
    name = "A well with a name as long as names may ever become here"
    text = changed(("name: Curlew 2", f"name: {name}"), ("horizon: 90 day", f"horizon: {horizon}"))
    said = forecast(file_of(tmp_path, text), columns=columns).stdout
    assert_readable(said, columns)
    assert "Curlew 1 " in block(said, "The wells")


@pytest.mark.parametrize("columns", [80, 130])
def test_six_wells_fit_the_screen(columns: int, tmp_path: Path) -> None:
    """The shipped pad, with dates into another year."""
    text = (SCENARIOS / "six_well_pad.yaml").read_text(encoding="utf-8")
    autumn = text.replace("2027-03", "2027-11").replace("2027-02", "2027-10")
    said = forecast(file_of(tmp_path, autumn), columns=columns).stdout
    assert_readable(said, columns)
    assert "Jan 2028" in said
    for number in range(1, 7):
        assert f"Larkspur {number} " in block(said, "The wells")


def test_troubles_and_waits_are_told_apart(tmp_path: Path) -> None:
    """What goes wrong at a unit is its own; what goes wrong elsewhere is what others wait for."""
    stated = "troubles:\n  screen-out: {chance: 60 %}\n"
    said = forecast(file_of(tmp_path, changed(("strategy:\n", f"{stated}strategy:\n")))).stdout
    units = {line.split("  ")[0]: line for line in block(said, "The units").splitlines()}
    assert re.search(r"own screen-out \d", units["Fleet A"])
    assert re.search(r"(?<!own )screen-out \d", units["Wireline"])
    assert "troubles of its own take" in flat(said)
    assert "Own: trouble of the unit itself" in flat(said)


def test_another_seed_gives_other_luck(desk: Path) -> None:
    """The dates differ, and are the same again with the same seed."""
    one, again, other = (forecast(str(desk / "pad.yaml"), "--seed", seed).stdout for seed in ("1", "1", "2"))
    assert one == again
    assert block(one, "The pad") != block(other, "The pad")


def test_run_without_out_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only the screen is written to."""
    file = file_of(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert forecast(file).exit_code == 0
    assert list(contents(tmp_path)) == ["pad.yaml"]


@pytest.mark.usefixtures("undrawn")
def test_horizon_too_short_is_never_silent(tmp_path: Path) -> None:
    """Dates beyond it are said to be so, and the unfinished are counted as the tables have them."""
    file = file_of(tmp_path, changed(("horizon: 90 day", "horizon: 16 day")))
    done = forecast(file, "--out", str(tmp_path / "run"), replications=12)
    pads = read_table(tmp_path / "run", "pads")
    first, last = (sum(map(isinf, pads[f"{which}_production_h"])) for which in ("first", "all_on"))
    assert 6 < first < last == 12
    said = flat(done.stdout)
    assert "both wells more likely than not beyond the horizon" in said
    assert "In 12 of 12 replications not every well is on production by the horizon, 17 Mar" in said
    for number in (first, last):
        assert f"{number} of 12 unfinished" in block(done.stdout, "The pad")
        assert f'"unfinished": {number}' in (tmp_path / "run" / "summary.json").read_text(encoding="utf-8")
    assert "beyond the horizon" in (tmp_path / "run" / "dates.csv").read_text(encoding="utf-8")


def test_horizon_of_an_hour(tmp_path: Path) -> None:
    """Even where nothing is finished at all there is an answer, with files and pictures."""
    text = changed(
        ("horizon: 90 day", "horizon: 1 h"), (", arrives: 2027-03-05", ""), (", rig_release: 2027-03-02", "")
    )
    done = forecast(file_of(tmp_path, text), "--out", str(tmp_path / "run"), replications=2)
    assert (done.exit_code, done.stderr) == (0, "")
    assert "first production more likely than not beyond the horizon" in flat(done.stdout)
    assert (tmp_path / "run" / "pictures" / "gantt_by_well.png").exists()


@pytest.mark.usefixtures("undrawn")
def test_one_well(tmp_path: Path) -> None:
    """One date in the answer; the hand-worked well comes on production when its comments say."""
    done = forecast(str(SCENARIOS / "one_well_by_hand.yaml"), "--out", str(tmp_path / "run"))
    assert done.stdout.startswith("One well by hand, one well at a time: on production by 11 Mar (P50)")
    assert set(read_table(tmp_path / "run", "wells")["on_production_h"]) == {234.0}


def test_one_replication_claims_no_interval(tmp_path: Path) -> None:
    """A single replication bounds nothing, and what stands instead is explained."""
    said = forecast(file_of(tmp_path), replications=1).stdout
    assert set(BRACKET.findall(said)) == {("?", "?")}
    assert "?: too few replications for that bound." in flat(said)


def test_bounds_that_are_known_need_no_explanation(tmp_path: Path) -> None:
    """Thirty-six replications bound P10 and P90 on both sides."""
    said = forecast(file_of(tmp_path), replications=36).stdout
    assert "?" not in said


def test_names_with_brackets(tmp_path: Path) -> None:
    """A well may be called whatever its planner likes."""
    text = changed(
        ("name: Curlew 2", "name: 'Curlew [bold] :warning: [/x]'"), ("name: Fleet A", "name: 'Fleet [red]A'")
    )
    done = forecast(file_of(tmp_path, text))
    assert done.exit_code == 0
    assert "Fleet [red]A pumps" in done.stdout
    assert "Curlew [bold] :warning: [/x]" in block(done.stdout, "The wells")


@pytest.mark.parametrize(
    "options",
    [
        ("--replications", "0"),
        ("--replications", "many"),
        ("--workers", "0"),
        ("--seed", "-1"),
        ("--colour", "red"),
    ],
)
def test_wrong_options(options: tuple[str, str], tmp_path: Path) -> None:
    """Refused with what was expected, before anything else is looked at."""
    done = padtempo("forecast", str(tmp_path / "missing.yaml"), *options)
    assert (done.exit_code, done.stdout) == (2, "")
    assert options[0] in done.stderr


@pytest.mark.slow
def test_a_pad_that_is_hard_to_supply(tmp_path: Path) -> None:
    """What the fleet waits for is told by supply and part; what each store, pond and source went through is kept."""
    done = forecast(str(SCENARIOS / "thirsty_pad.yaml"), "--out", str(tmp_path / "run"), replications=8)
    assert done.exit_code == 0, done.stderr
    assert "it waits most for proppant" in flat(done.stdout)
    supplies = block(done.stdout, "The supplies")
    for name in ("water", "  Shallow wells", "  Sorrel pond", "  River intake", "proppant"):
        assert any(line.startswith(name) for line in supplies.splitlines()), name
    table = read_table(tmp_path / "run", "supplies")
    assert list(table.groupby("supply", sort=False)["kind"].first()[["Sorrel pond", "River intake"]]) == [
        "pond",
        "source",
    ]
    shortages = read_table(tmp_path / "run", "shortages")
    parts = set(shortages.loc[shortages["supply"] == "proppant", "part"])
    assert {"road hours", "unload spots", "trucks"} <= parts
    lines = (tmp_path / "run" / "supplies.csv").read_text(encoding="utf-8").splitlines()
    assert sum(line.startswith("proppant,store,") for line in lines) == 6 + len(parts)
    assert (tmp_path / "run" / "pictures" / "supply_levels.png").exists()
