"""`padtempo size` from the file to the answer, the table and the picture."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from desk import CONVENTION, PAD, assert_readable, changed, contents, file_of, flat, padtempo

CHOICES = """\
choices:
  promise: {milestone: first production, chance: 80 %, by: 2027-03-21}
  cheapest_of:
    water.sources.River.rate:
      - {value: 8 kbbl/day, cost: 0}
      - {value: 50 kbbl/day, cost: 90000 USD}
    units.wireline_units.count:
      - {value: 1, cost: 0}
      - {value: 2, cost: 20 thousand USD}
"""
FEW = ("--replications", "100", "--workers", "1")


def size(file: str, *options: str) -> tuple[int, str, str]:
    done = padtempo("size", file, *FEW, *options)
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One finished study, `out`."""
    here = tmp_path_factory.mktemp("size")
    code, said, problems = size(file_of(here, PAD + CHOICES), "--out", str(here / "out"))
    assert code == 0, problems
    (here / "said.txt").write_text(said, encoding="utf-8")
    return here


def test_answer_names_the_cheapest_how_sure_it_is_and_the_runner_up(folder: Path) -> None:
    """In sentences; little water breaks the promise whatever the wireline."""
    said = (folder / "said.txt").read_text(encoding="utf-8")
    answer = flat(said.partition("\n\n")[0])
    assert answer.startswith(
        "Curlew Flat: The cheapest choice shown to keep the promise, first production by 2027-03-21"
    )
    assert "costs 90 000 USD: River.rate 50 kbbl/day, wireline_units.count 1." in answer
    assert (
        "confidence that its chance is 80 % or more. That all verdicts below are right has 95 % confidence." in answer
    )
    assert "The runner-up costs 110 000 USD, 20 000 USD more: River.rate 50 kbbl/day, wireline_units.count 2." in answer
    assert "All that cost less are shown to break it" in answer
    assert CONVENTION in flat(said)
    assert_readable(said, 130)


def test_candidates_are_kept_cheapest_first(folder: Path) -> None:
    """With their counts and verdicts; none was played beyond its verdict."""
    with (folder / "out" / "candidates.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [float(row["cost"]) for row in rows] == [0, 20_000, 90_000, 110_000]
    assert [row["verdict"] for row in rows] == ["breaks it", "breaks it", "keeps it", "keeps it"]
    assert all(int(row["replications"]) in {50, 100} for row in rows)
    summary = json.loads((folder / "out" / "summary.json").read_text(encoding="utf-8"))
    assert summary["cheapest"]["cost"] == "90 000 USD"
    assert summary["runner_up"]["values"]["units.wireline_units.count"] == 2
    assert (folder / "out" / "pictures" / "candidates.png").stat().st_size > 10_000


@pytest.mark.slow
def test_equal_studies_leave_equal_bytes(folder: Path) -> None:
    """Whatever the number of workers."""
    assert size(str(folder / "pad.yaml"), "--out", str(folder / "again"), "--workers", "2")[0] == 0
    assert contents(folder / "again") == contents(folder / "out")


def test_a_promise_that_none_can_keep_is_said_to_be_so(tmp_path: Path) -> None:
    """With the nearest."""
    text = changed(("by: 2027-03-21", "by: 2027-03-06"), text=CHOICES)
    code, said, _ = size(file_of(tmp_path, PAD + text))
    assert code == 0
    assert "No choice is shown to keep the promise" in said
    assert "0.0 % [0.0, " in flat(said)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (PAD, "choices: nothing is stated that can be chosen; expected choices: {promise: {by: 2027-06-01}"),
        (
            PAD + changed(("{value: 8 kbbl/day, cost: 0}", "{value: 0 kbbl/day, cost: 0}"), text=CHOICES),
            "(with water.sources.River.rate at 0 kbbl/day, units.wireline_units.count at 1)",
        ),
        (
            PAD + CHOICES.replace("{value: 2, cost", "{value: 2, cots"),
            "did you mean 'cost'",
        ),
    ],
)
def test_what_cannot_be_chosen_is_told(tmp_path: Path, text: str, message: str) -> None:
    """Before anything is played; exit code 2, nothing written."""
    code, said, problems = size(file_of(tmp_path, text), "--out", str(tmp_path / "out"))
    assert (code, said) == (2, "")
    assert message in flat(problems)
    assert not (tmp_path / "out").exists()


def test_more_candidates_than_can_be_listed_are_counted_and_refused(tmp_path: Path) -> None:
    """15 x 15 of them."""
    values = ", ".join(f"{{value: {number} day}}" for number in range(91, 106))
    counts = ", ".join(f"{{value: {number}}}" for number in range(1, 16))
    section = (
        "choices:\n  promise: {by: 2027-03-21}\n"
        f"  cheapest_of: {{horizon: [{values}], units.wireline_units.count: [{counts}]}}\n"
    )
    code, _, problems = size(file_of(tmp_path, PAD + section))
    assert code == 2
    assert "225 candidates; expected at most 200" in problems
