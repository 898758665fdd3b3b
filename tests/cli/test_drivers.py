"""`padtempo drivers` from the file to the answer, the table and the picture."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from desk import PAD, assert_readable, changed, contents, file_of, flat, padtempo

SECTION = """\
uncertain:
  water.sources.River.rate: {uniform: [20 kbbl/day, 40 kbbl/day]}
  units.flowback_spreads.rig_up: {triangular: [10 h, 12 h, 60 h]}
  well_defaults.stage_design.proppant: {uniform: [300 klb, 500 klb]}
"""
FEW = ("--samples", "32", "--replications", "10", "--workers", "1")


def drivers(file: str, *options: str) -> tuple[int, str, str]:
    done = padtempo("drivers", file, *FEW, *options)
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One finished study, `out`."""
    here = tmp_path_factory.mktemp("drivers")
    code, said, problems = drivers(file_of(here, PAD + SECTION), "--out", str(here / "out"))
    assert code == 0, problems
    (here / "said.txt").write_text(said, encoding="utf-8")
    return here


def test_answer_names_what_counts_luck_and_what_was_held(folder: Path) -> None:
    """First sentences, then the table; proppant does not enter the stage's hours, and is held."""
    said = (folder / "said.txt").read_text(encoding="utf-8")
    answer = flat(said.partition("\n\n")[0])
    assert answer.startswith("Curlew Flat: ")
    assert "Of what is uncertain, " in answer
    assert "which no better data could remove" in answer
    assert "Held at the middle" in answer
    assert "well_defaults.stage_design.proppant" in answer.partition("Held at the middle")[2]
    assert_readable(said, 130)


def test_shares_and_swings_are_kept(folder: Path) -> None:
    """Less water is later, and longer rig-up is later; the share of luck lies within its interval."""
    with (folder / "out" / "effects.csv").open(encoding="utf-8") as file:
        rows = {row["input"]: row for row in csv.DictReader(file)}
    assert float(rows["water.sources.River.rate"]["change hours"]) < 0
    assert float(rows["units.flowback_spreads.rig_up"]["change hours"]) > 0
    assert float(rows["well_defaults.stage_design.proppant"]["change hours"]) == 0
    assert rows["well_defaults.stage_design.proppant"]["share alone"] == ""
    assert rows["water.sources.River.rate"]["low (10 % quantile)"] == "22 kbbl/day"
    summary = json.loads((folder / "out" / "summary.json").read_text(encoding="utf-8"))
    luck = summary["luck_no_data_could_remove"]
    assert 0 <= luck["low"] <= luck["share"] <= luck["high"] <= 1
    assert summary["plays"] == 12 * 4 + 32 * 5 + 7 * 10
    assert (folder / "out" / "pictures" / "tornado.png").stat().st_size > 10_000


@pytest.mark.slow
def test_equal_studies_leave_equal_bytes(folder: Path) -> None:
    """Whatever the number of workers, and with nought for a seed."""
    told = ("--out", str(folder / "again"), "--workers", "2")
    assert drivers(str(folder / "pad.yaml"), *told)[0] == 0
    assert contents(folder / "again") == contents(folder / "out")


def test_nothing_that_counts_is_said_to_be_so(tmp_path: Path) -> None:
    """An input that the date does not answer to leaves luck alone, and takes no further plays."""
    section = "uncertain: {well_defaults.stage_design.proppant: {uniform: [300 klb, 500 klb]}}\n"
    code, said, _ = drivers(file_of(tmp_path, PAD + section), "--out", str(tmp_path / "out"))
    assert code == 0
    assert "nothing moves every well on production: its spread is luck alone" in flat(said)
    assert json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))["plays"] == 12 * 2 + 30


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (PAD, "uncertain: nothing is stated as uncertain; expected for example uncertain: {water.transfer.limit"),
        (PAD + "uncertain: {horizn: {uniform: [1 day, 2 day]}}\n", "did you mean 'horizon'"),
        (
            PAD + "uncertain: {water.storage.capacity: {uniform: [1 kbbl, 12 kbbl]}}\n",
            "(with water.storage.capacity at 2.1 kbbl)",
        ),
        (
            changed(("horizon: 90 day", "horizon: 20 day")) + SECTION,
            "is not reached by the horizon, and what is not reached has no variance; expected a longer horizon",
        ),
    ],
)
def test_what_cannot_be_asked_is_told(tmp_path: Path, text: str, message: str) -> None:
    """With what was expected; exit code 2, and nothing that looks like an answer."""
    code, said, problems = drivers(file_of(tmp_path, text))
    assert (code, said) == (2, "")
    assert message in flat(problems)


def test_luck_that_is_taken_away_is_said_to_be_so(folder: Path, tmp_path: Path) -> None:
    """A duration with a distribution loses its luck as an uncertain input; a number of that distribution does not."""
    said = flat((folder / "said.txt").read_text(encoding="utf-8"))
    assert "Mind: " not in said  # rig-up takes a fixed time where nothing is stated
    unstated = "uncertain: {units.flowback_spreads.turn_in_line: {uniform: [1 h, 9 h]}}\n"
    assert "states units.flowback_spreads.turn_in_line as luck" in flat(drivers(file_of(tmp_path, PAD + unstated))[1])
    inside = "uncertain: {units.flowback_spreads.duration: {uniform: [4 day, 8 day]}}\n"
    text = PAD.replace("{triangular: [4 day, 5 day, 9 day]}", "{lognormal: {mean: 5 day, cv: 0.3}}")
    assert "Mind: " in drivers(file_of(tmp_path, text + inside))[1]
    assert "Mind: " not in drivers(file_of(tmp_path, text + inside.replace("duration:", "duration.lognormal.mean:")))[1]
