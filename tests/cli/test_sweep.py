"""`padtempo sweep` from what is typed to the answer, the table and the picture."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from desk import CONVENTION, assert_readable, changed, contents, file_of, flat, padtempo

from analysis.runs import kept_plays

RATE = "water.sources.River.rate=10 kbbl/day..70 kbbl/day:7"
FEW = ("--replications", "20", "--workers", "1")


def sweep(file: str, *vary: str, options: tuple[str, ...] = ()) -> tuple[int, str, str]:
    told = [word for each in vary for word in ("--vary", each)]
    done = padtempo("sweep", file, *told, *FEW, *options)
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A sweep over the rate of the river, `lines`, and one over rate and storage, `map`."""
    here = tmp_path_factory.mktemp("sweep")
    file = file_of(here)
    for name, vary in (
        ("lines", [RATE]),
        ("map", ["water.storage.capacity=15 kbbl,40 kbbl", RATE.replace(":7", ":3")]),
    ):
        code, said, _ = sweep(file, *vary, options=("--out", str(here / name)))
        assert code == 0
        (here / f"{name}.txt").write_text(said, encoding="utf-8")
    return here


def test_answer_comes_first_with_the_knee(folder: Path) -> None:
    """In a sentence each; the knee with its interval, or why there is none."""
    said = (folder / "lines.txt").read_text(encoding="utf-8")
    answer = flat(said.partition("\n\n")[0])
    assert answer.startswith("Curlew Flat: P90 of every well on production goes from ")
    assert "The knee is at" in answer
    assert "kbbl/day more moves P90 by -" in answer
    assert CONVENTION in flat(said)
    assert_readable(said, 130)


def test_points_are_kept_as_numbers(folder: Path) -> None:
    """One line a point; with more water no quantile gets later, for all share the luck."""
    with (folder / "lines" / "points.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [float(row["water.sources.River.rate [kbbl/day]"]) for row in rows] == [10, 20, 30, 40, 50, 60, 70]
    for quantile in ("P10 hours", "P50 hours", "P90 hours"):
        hours = [float(row[quantile]) for row in rows]
        assert hours == sorted(hours, reverse=True)


def test_summary_and_picture_are_left(folder: Path) -> None:
    """The knee in numbers, lines and a map as pictures."""
    summary = json.loads((folder / "lines" / "summary.json").read_text(encoding="utf-8"))
    knee = summary["knee"]
    assert knee["low"] <= knee["place"] <= knee["high"]
    assert (knee["unit"], knee["of"]) == ("kbbl/day", "P90")
    for name in ("lines", "map"):
        assert (folder / name / "pictures" / "sweep.png").stat().st_size > 10_000
        manifest = json.loads((folder / name / "manifest.json").read_text(encoding="utf-8"))
        assert (manifest["command"], manifest["replications_done"]) == ("sweep", 20)


def test_two_numbers_make_a_grid(folder: Path) -> None:
    """Two rows of three, and what each number does with the other held."""
    said = (folder / "map.txt").read_text(encoding="utf-8")
    assert "15 kbbl " in said
    assert "40 kbbl/day" in said
    assert "Over its range, with the other held, it is moved by water.storage.capacity by" in flat(said)


@pytest.mark.usefixtures("undrawn")
def test_a_point_is_the_forecast_of_that_plan(folder: Path, tmp_path: Path) -> None:
    """Common luck with everything else: the P50 at 50 kbbl/day, as planned, is that of the forecast."""
    out = tmp_path / "out"
    assert padtempo("forecast", file_of(tmp_path), *FEW, "--out", str(out)).exit_code == 0
    forecast = json.loads((out / "summary.json").read_text(encoding="utf-8"))["pad"]["Every well on production"]
    with (folder / "lines" / "points.csv").open(encoding="utf-8") as file:
        planned = list(csv.DictReader(file))[4]
    assert float(planned["P50 hours"]) == forecast["P50"]["hours"]


@pytest.mark.slow
def test_equal_sweeps_leave_equal_bytes(folder: Path) -> None:
    """Whatever the number of workers."""
    code, _, _ = sweep(file_of(folder), RATE, options=("--workers", "2", "--out", str(folder / "again")))
    assert code == 0
    assert contents(folder / "again") == contents(folder / "lines")


def test_one_well_can_be_looked_at_and_words_varied(tmp_path: Path) -> None:
    """A milestone of a well over a choice of words; nothing to find a knee in."""
    vary = "strategy.next_well=alternate,first ready"
    code, said, _ = sweep(file_of(tmp_path), vary, options=("--measure", "Curlew 2: Drilled out"))
    assert code == 0
    assert "Curlew 2: drilled out" in said
    assert "knee" not in said.lower()


def test_dates_and_counts_can_be_varied(tmp_path: Path) -> None:
    """A later fleet is a later pad; counts take every whole number."""
    file = file_of(tmp_path)
    code, said, _ = sweep(file, "units.pumping_fleets.Fleet A.arrives=2027-03-05..2027-03-25:3")
    assert code == 0
    assert "2027-03-15 00:00" in said
    code, said, _ = sweep(file, "units.flowback_spreads.count=1..3")
    assert code == 0
    assert "No knee: it takes at least 5 points" in said


@pytest.mark.parametrize(
    ("vary", "message"),
    [
        ("water.sorage.capacity=1 kbbl..2 kbbl", "'sorage'; did you mean 'water.storage.capacity'|called 'sorage'"),
        ("storage.capacity=1 kbbl..2 kbbl", "did you mean 'water.storage.capacity'"),
        ("water.storage.capacity", "no values for a path; expected PATH=LOW..HIGH"),
        ("water.storage.capacity=", "no values for a path"),
        ("water.storage.capacity=40 kbbl", "a single value; expected PATH=LOW..HIGH"),
        ("water.storage.capacity=40 kbbl..20 kbbl", "expected the lower end first"),
        ("water.storage.capacity=40 kbbl..60 h", "'h' is a time; expected a volume"),
        ("water.storage.capacity=40..60", "a number without a unit; expected a volume"),
        ("water.storage.capacity=20 kbbl..60 kbbl:1", "expected 2 to 50 values"),
        ("water.storage.capacity=20 kbbl,,30 kbbl", "not a list of 2 to 50 values"),
        ("water.storage.capacity=20 kbbl,20000 bbl", "a value stands there twice"),
        ("water.storage=1..2", "keys with values of their own"),
        ("strategy.drill_out=a..b", "no numbers to range over"),
        ("strategy.drill_out=after the pad,after the grup", "expected 'after the group' or 'after the pad'"),
        ("units.wireline_units.count=1..4:3", "3 values do not fall on whole numbers"),
        ("units.wireline_units.count=0..3", "expected a whole number|1 or more"),
        ("units.pumping_fleets.arrives=2027-03-09..2027-03-05", "expected the earlier date first"),
        ("water.storage.capacity=5 kbbl..45 kbbl:3", "water.storage.capacity at 5 kbbl"),
    ],
)
def test_what_cannot_be_varied_is_told(tmp_path: Path, vary: str, message: str) -> None:
    """With the path and the value, before anything is played; exit code 2, nothing written."""
    out = tmp_path / "out"
    code, said, problems = sweep(file_of(tmp_path), vary, options=("--out", str(out)))
    assert (code, said) == (2, "")
    assert any(each in flat(problems) for each in message.split("|")), problems
    assert not out.exists()


def test_too_much_at_once_is_refused(tmp_path: Path) -> None:
    """Three paths, one path twice, too many points, and a milestone that does not exist."""
    file = file_of(tmp_path)
    count, storage = "units.wireline_units.count=1..2", "water.storage.capacity=20 kbbl..60 kbbl:50"
    assert "3 paths; expected one, or two for a map" in sweep(file, RATE, count, storage)[2]
    assert "varied twice" in sweep(file, RATE, RATE)[2]
    assert "expected at most 400" in sweep(file, storage, RATE.replace(":7", ":20"))[2]
    code, _, said = sweep(file, count, options=("--measure", "first prodction"))
    assert code == 2
    assert "did you mean 'first production'" in said


def test_what_lies_beyond_the_horizon_is_said(tmp_path: Path) -> None:
    """Points that are never done are beyond the horizon in the table and left out of the knee."""
    file = file_of(tmp_path, changed(("horizon: 90 day", "horizon: 24 day")))
    code, said, _ = sweep(file, RATE, options=("--out", str(tmp_path / "out")))
    assert code == 0
    assert "beyond the horizon" in said
    assert "No knee: it takes at least 5 points within the horizon" in said


def test_few_replications_state_no_knee(tmp_path: Path) -> None:
    """One play, drawn again, would always look sure of itself."""
    done = padtempo("sweep", file_of(tmp_path), "--vary", RATE, "--replications", "1", "--workers", "1")
    assert done.exit_code == 0
    assert "No knee: its interval takes at least 20 replications." in done.stdout


def test_a_sweep_that_is_stopped_shows_what_all_points_have(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Chunks that only some points have are left out; the exit code is that of a stop."""
    whole = kept_plays.play

    def stopped(*arguments: Any, **named: Any) -> Iterator[Any]:
        for number, played in enumerate(whole(*arguments, **named)):
            if number == 5:
                raise KeyboardInterrupt
            yield played

    monkeypatch.setattr(kept_plays, "play", stopped)
    code, said, _ = sweep(file_of(tmp_path), "units.flowback_spreads.count=1..2")
    assert code == 130
    assert "Stopped: 2 of 20 replications of every point." in said


def test_points_that_start_at_other_hours_are_compared_by_the_calendar(tmp_path: Path) -> None:
    """Hour zero earlier by days moves no date where all waits for a fleet of a stated date."""
    out = tmp_path / "out"
    code, said, problems = sweep(
        file_of(tmp_path), "start=2027-02-20 06:00..2027-03-01 06:00:2", options=("--out", str(out))
    )
    assert code == 0, problems
    assert "P90 of every well on production stays at" in flat(said)
    with (out / "points.csv").open(encoding="utf-8") as file:
        first, last = list(csv.DictReader(file))
    assert float(first["P90 hours"]) == pytest.approx(float(last["P90 hours"]), abs=1.0)
    assert first["P90 date (90 % chance done by)"][:10] == last["P90 date (90 % chance done by)"][:10]
