"""`padtempo compare` from end to end: the answer, the numbers behind it, the files, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from desk import PAD, assert_readable, changed, contents, file_of, flat, padtempo

from analysis.comparing import comparison_pictures
from analysis.comparing.comparison import compare
from analysis.comparing.plans import plans_of
from analysis.measures import measure
from analysis.runs.run_directory import read_manifest
from sim.pad import simulate
from sim.replications import play
from sim.scenario import load

SEQUENTIAL = "  sequential: {strategy.wells_in_rotation: 1}\n"
ALTERNATIVES = (
    SEQUENTIAL
    + "  sequential, same order: {strategy.wells_in_rotation: 1}\n"
    + "  two spreads: {units.flowback_spreads.count: 2}\n"
    + "  same again: {title: Curlew Flat once more}\n"
)
SEVERAL = changed((SEQUENTIAL, ALTERNATIVES))
N = 24


def told(file: str, *options: str, n: int = N) -> tuple[int, str, str]:
    """Exit code, output and errors of a short comparison in this process."""
    done = padtempo("compare", file, "--replications", str(n), "--workers", "1", *options)
    return done.exit_code, done.stdout, done.stderr


@pytest.fixture(scope="module")
def compared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A comparison with files, and what it printed."""
    folder = tmp_path_factory.mktemp("compared")
    code, said, errors = told(file_of(folder, SEVERAL), "--out", str(folder / "out"))
    assert (code, errors) == (0, "")
    return folder, said


def test_answer_comes_first(compared: tuple[Path, str]) -> None:
    said = flat(compared[1])
    assert said.startswith("Curlew Flat, last well on production: earliest under 'two spreads', ")
    assert "earlier than 'base plan' in the mean [" in said
    assert "replications under the same luck." in said
    assert "With 95 % confidence for all pairs at once 'two spreads' is the best of five plans, by its mean." in said
    assert "P90: 90 % chance done by that date" in said


def test_numbers_are_those_of_the_simulator(compared: tuple[Path, str]) -> None:
    """The mean difference of the summary is that of replications played one by one; it is paired by replication."""
    folder, _ = compared
    summary = json.loads((folder / "out" / "summary.json").read_text(encoding="utf-8"))
    pair = next(each for each in summary["pairs"] if (each["a"], each["b"]) == ("base plan", "sequential"))
    ends = [
        [measure(simulate(load(folder / "pad.yaml", name), k, 0)).pad.all_on_production_h for k in range(N)]
        for name in (None, "sequential")
    ]
    difference = np.array(ends[0]) - np.array(ends[1])
    assert pair["mean"]["mean"] == pytest.approx(difference.mean(), rel=1e-12)
    assert pair["a_better"]["surely"] == int((difference < 0).sum())
    assert pair["correlation"] == pytest.approx(np.corrcoef(ends)[0, 1])
    assert pair["variance_against_independent_runs"] == pytest.approx(
        (np.var(ends[0], ddof=1) + np.var(ends[1], ddof=1)) / difference.var(ddof=1)
    )


def test_equal_plans_are_level(compared: tuple[Path, str]) -> None:
    """Another title changes nothing: level in every replication, no mean difference, no variance to speak of."""
    summary = json.loads((compared[0] / "out" / "summary.json").read_text(encoding="utf-8"))
    pair = next(each for each in summary["pairs"] if (each["a"], each["b"]) == ("base plan", "same again"))
    assert (pair["level"], pair["mean"]["mean"], pair["variance_against_independent_runs"]) == (N, 0.0, None)


def test_files_say_what_was_compared(compared: tuple[Path, str]) -> None:
    folder, _ = compared
    names = {name for name in contents(folder / "out") if not name.startswith("tables/compared/part-")}
    assert names == {
        "manifest.json", "summary.json", "pictures/comparison.png", "pictures/comparison.svg",
    }  # fmt: skip
    manifest = read_manifest(folder / "out")
    assert manifest["plans"] == ["base plan", "sequential", "sequential, same order", "two spreads", "same again"]
    assert (manifest["seed"], manifest["replications_done"]["two spreads"]) == (0, N)
    assert len(manifest["scenario_hash"]) == 64


@pytest.mark.slow
def test_numbers_do_not_depend_on_workers(compared: tuple[Path, str]) -> None:
    folder, _ = compared
    plans = plans_of(folder / "pad.yaml", "sequential").plans
    alone, together = (compare(plans, N, 0, workers) for workers in (1, 2))
    assert all(alone.pads[name].equals(together.pads[name]) for name in plans)


def test_named_alternatives_may_hold_commas(tmp_path: Path) -> None:
    """The longest known name wins; the base plan is always among them."""
    file = Path(file_of(tmp_path, SEVERAL))
    assert list(plans_of(file, "sequential,same order, two spreads").plans) == [
        "base plan", "sequential, same order", "two spreads",
    ]  # fmt: skip
    assert list(plans_of(file, "two spreads, base plan,two  spreads").plans) == ["base plan", "two spreads"]


def test_unfinished_work_is_counted_and_ranks_are_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A horizon that sequential fracturing often misses: no means, and why; chances all the same."""
    monkeypatch.setattr(comparison_pictures, "draw", lambda *_: None)
    text = changed(("horizon: 90 day", "horizon: 24 day"))
    code, said, _ = told(file_of(tmp_path, text), "--out", str(tmp_path / "out"), n=40)
    summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    unfinished = {name: plan["unfinished"] for name, plan in summary["plans"].items()}
    assert code == 0
    assert 0 < unfinished["sequential"] <= 40
    assert f"{unfinished['sequential']} of 40 under 'sequential'" in flat(said)
    assert "None is dropped" in flat(said)
    assert "undecided, with 'sequential' ahead" in flat(said)
    assert "earlier than 'base plan' in" in flat(said)
    assert summary["pairs"][0]["mean"] is None
    assert summary["ranking"]["by"] == "which of two is likelier to do better"
    assert summary["pairs"][0]["a_better"]["surely"] + summary["pairs"][0]["a_better"]["hidden_by_horizon"] <= 40


@pytest.mark.parametrize("columns", [80, 130])
def test_fits_the_screen(tmp_path: Path, columns: int) -> None:
    """No line is longer than the screen, and no word is broken."""
    options = ("--replications", "12", "--workers", "1", "--alternatives", "sequential,two spreads")
    said = padtempo("compare", file_of(tmp_path, SEVERAL), *options, columns=columns).stdout
    assert_readable(said, columns)
    assert said.count("sequential ") >= 3
    assert ("(continued)" in said) == (columns == 80)


@pytest.mark.parametrize("name", ["stages per day", "Days of fracturing", "first_flowback", "every well on production"])
def test_measures_as_a_planner_types_them(tmp_path: Path, name: str) -> None:
    code, said, _ = told(file_of(tmp_path), "--measure", name, n=6)
    assert code == 0
    assert said.startswith("Curlew Flat, ")


@pytest.mark.slow
def test_selects_with_fewer_replications_and_the_same_for_any_workers(tmp_path: Path) -> None:
    file = file_of(tmp_path, SEVERAL)
    options = ("compare", file, "--select", "--indifference", "3 h", "--at-most", "400")
    folders = [tmp_path / f"out {workers}" for workers in (1, 2)]
    for workers, folder in zip("12", folders, strict=True):
        done = padtempo(*options, "--workers", workers, "--out", str(folder))
        assert done.exit_code == 0
        assert "'two spreads' is chosen as the earliest of five plans" in flat(done.stdout)
    assert contents(folders[0]) == contents(folders[1])
    summary = json.loads((folders[0] / "summary.json").read_text(encoding="utf-8"))
    played = [plan["replications"] for plan in summary["plans"].values()]
    assert summary["replications_saved"] == 5 * max(played) - sum(played)
    assert summary["replications_saved"] >= 0


def test_selection_says_that_it_is_not_decided(tmp_path: Path) -> None:
    """Two plans that hardly differ, a lead of a minute that would matter, and little to go by."""
    text = changed((SEQUENTIAL, "  longer swap: {strategy.swap.time: 31 min}\n"))
    options = ("--select", "--indifference", "1 min", "--at-most", "20", "--workers", "1")
    done = padtempo("compare", file_of(tmp_path, text), *options)
    assert done.exit_code == 0
    said = flat(done.stdout)
    assert (
        "not decided after 20 replications, the most that was asked for; still in: 'base plan', 'longer swap'" in said
    )
    assert "Until it has, nothing is promised." in said


def test_equal_plans_are_chosen_level(tmp_path: Path) -> None:
    text = changed((SEQUENTIAL, "  same again: {title: Once more}\n"))
    options = ("--select", "--indifference", "1 day", "--workers", "1")
    done = padtempo("compare", file_of(tmp_path, text), *options)
    assert "'base plan' is chosen as the earliest of two plans, level with one other" in flat(done.stdout)


def test_selection_refuses_what_has_no_means(tmp_path: Path) -> None:
    text = changed(("horizon: 90 day", "horizon: 20 day"))
    done = padtempo("compare", file_of(tmp_path, text), "--select", "--indifference", "1 day", "--workers", "1")
    assert done.exit_code == 2
    assert "unfinished at its horizon in" in done.stderr
    assert "compare without --select" in done.stderr


REFUSALS = {
    "unknown alternatives": (
        ("--alternatives", "sequentail,two spread,lunch"),
        ["'sequential' (got 'sequentail')", "did you mean 'two spreads' (got 'two spread')", "(got 'lunch')"],
    ),
    "none named": (
        ("--alternatives", " , "), ["names nothing to compare the plan with", "known alternatives: "],
    ),
    "the base plan only": (("--alternatives", "base plan"), ["names nothing to compare", "(got 'base plan')"]),
    "unknown measure": (("--measure", "lunch"), ["--measure: no such measure; known: first production, last well"]),
    "both at once": (
        ("--measure", "frist production", "--alternatives", "lunch"),
        ["did you mean 'first production'", "no such alternative (got 'lunch')"],
    ),
    "indifference without unit": (
        ("--select", "--indifference", "1"), ["--indifference: a number without a unit; expected a time such as"],
    ),
    "indifference of a pace": (
        ("--select", "--indifference", "1 day", "--measure", "stages per day"),
        ["--indifference: expected for example '0.2 stages per day' (got '1 day')"],
    ),
    "nothing to select by": (("--select",), ["--select needs --indifference, the smallest lead that matters"]),
    "indifference alone": (("--indifference", "1 day"), ["--indifference needs --select"]),
    "ceiling alone": (("--at-most", "100"), ["--at-most needs --select"]),
    "confidence of a lot": (("--select", "--indifference", "1 day", "--confidence", "10"), ["--confidence"]),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSALS)
def test_refused_with_a_plain_message_and_nothing_written(tmp_path: Path, case: str) -> None:
    options, expected = REFUSALS[case]
    done = padtempo("compare", file_of(tmp_path, SEVERAL), "--out", str(tmp_path / "out"), *options)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert not [text for text in expected if text not in flat(done.stderr)]
    assert list(contents(tmp_path)) == ["pad.yaml"]


def test_replications_do_not_go_with_a_rule(tmp_path: Path) -> None:
    code, _, errors = told(file_of(tmp_path), "--select", "--indifference", "1 day")
    assert (code, "--replications does not go with --select" in errors) == (2, True)


def test_plan_without_alternatives_is_refused(tmp_path: Path) -> None:
    code, _, errors = told(file_of(tmp_path, PAD[: PAD.index("alternatives:")]))
    assert code == 2
    assert "states no alternatives; expected at least one to compare the plan with" in errors


class StoppedBySomebody:
    """Chunks that come until Ctrl-C does."""

    def __init__(self, after: int) -> None:
        self._after = after

    def __call__(self, *arguments: Any, **named: Any) -> Iterator[Any]:
        for number, chunk in enumerate(play(*arguments, **named)):
            if number == self._after:
                raise KeyboardInterrupt
            yield chunk


def test_stopped_run_shows_what_all_plans_have(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of 24 replications, at first in chunks of one, seven chunks of two plans are done: three are paired."""
    monkeypatch.setattr("analysis.runs.kept_plays.play", StoppedBySomebody(7))
    code, said, errors = told(file_of(tmp_path))
    assert (code, errors) == (130, "")
    assert "Stopped: 3 of 24 replications of each plan were done." in said
    monkeypatch.setattr("analysis.runs.kept_plays.play", StoppedBySomebody(1))
    code, said, errors = told(file_of(tmp_path))
    assert (code, said, errors) == (130, "", "stopped before every plan had its first replications\n")


def test_stopped_selection_promises_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = changed((SEQUENTIAL, "  longer swap: {strategy.swap.time: 31 min}\n"))
    options = ("compare", file_of(tmp_path, text), "--select", "--indifference", "1 min", "--workers", "1")
    monkeypatch.setattr("analysis.runs.kept_plays.play", StoppedBySomebody(6))
    done = padtempo(*options)
    assert done.exit_code == 130
    assert "not decided after 30 replications, the run was stopped" in flat(done.stdout)
    monkeypatch.setattr("analysis.runs.kept_plays.play", StoppedBySomebody(3))
    assert padtempo(*options).exit_code == 130


def test_occupied_place_is_refused_before_any_work(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("analysis.comparing.comparison_run.compare", lambda *_: pytest.fail("played although refused"))
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "notes.txt").write_text("mine", encoding="utf-8")
    file = file_of(tmp_path)
    for folder, said in (("out", "is not empty"), ("pad.yaml", "is not a directory")):
        code, _, errors = told(file, "--out", str(tmp_path / folder))
        assert (code, said in errors) == (2, True)
    assert set(contents(tmp_path)) == {"pad.yaml", "out/notes.txt"}
