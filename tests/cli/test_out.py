"""The run directory of `padtempo forecast --out`: what it holds, what is refused, what a stopped run leaves."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import time
from pathlib import Path
from typing import Any

import pytest
from desk import (
    REPLICATIONS,
    ROOT,
    assert_readable,
    changed,
    command,
    contents,
    file_of,
    forecast,
    padtempo,
    process,
)
from PIL import Image

from analysis.forecasting import forecast_run
from analysis.forecasting.forecast import forecast as play
from analysis.runs import run_directory
from analysis.runs.point_rows import OF_POINTS
from analysis.runs.run_directory import create, read_manifest, read_table
from analysis.runs.run_tables import SCHEMAS
from sim.scenario import load

PICTURES = ("gantt_by_unit", "gantt_by_well", "chance_done_by", "tank_level")

OF_OTHERS = {
    "chain_ends",
    "chain_pieces",
    "relaxed",
    "relaxed_pairs",
    "compared",
    *OF_POINTS,
}  # tables that other commands leave


def test_run_directory_holds_everything(desk: Path) -> None:
    """Manifest, summary, dates, every table, pictures: and not a file more."""
    names = set(contents(desk / "first"))
    drawn = {f"pictures/{name}.{kind}" for name in PICTURES for kind in ("png", "svg")}
    parts = {name for name in names if re.fullmatch(r"tables/\w+/part-\d{5}\.parquet", name)}
    assert {Path(part).parts[1] for part in parts} == set(SCHEMAS) - OF_OTHERS
    assert names - parts == {
        "manifest.json",
        "summary.json",
        "dates.csv",
        "supplies.csv",
        "plan.xlsx",
        "plan.ics",
        "stages.csv",
        *drawn,
    }


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_are_large_enough_to_print(desk: Path, name: str) -> None:
    """At least 1600 pixels wide, and the same as a drawing."""
    with Image.open(desk / "first" / "pictures" / f"{name}.png") as picture:
        assert picture.width >= 1600
    assert "<svg" in (desk / "first" / "pictures" / f"{name}.svg").read_text(encoding="utf-8")


def test_manifest_says_what_was_run(desk: Path) -> None:
    """Scenario, seed, versions, how many were asked for and done; no wall clock."""
    manifest = read_manifest(desk / "first")
    assert (manifest["seed"], manifest["alternative"]) == (0, None)
    assert (manifest["replications_asked"], manifest["replications_done"]) == (REPLICATIONS, REPLICATIONS)
    assert manifest["scenario"]["title"] == "Curlew Flat"
    assert len(manifest["scenario_hash"]) == 64
    assert {"padtempo", "python", "numpy", "simpy"} <= set(manifest["versions"])


def test_tables_hold_every_replication(desk: Path) -> None:
    """One row of the pad for each, one of every well; the full log of one representative replication."""
    pads, wells = read_table(desk / "first", "pads"), read_table(desk / "first", "wells")
    assert list(pads["replication"]) == list(range(REPLICATIONS))
    assert len(wells) == 2 * REPLICATIONS
    summary = json.loads((desk / "first" / "summary.json").read_text(encoding="utf-8"))
    assert set(read_table(desk / "first", "log")["replication"]) == {summary["representative_replication"]}


@pytest.mark.usefixtures("undrawn")
def test_alternative_is_run_and_noted(desk: Path, tmp_path: Path) -> None:
    """The plan as patched, in the answer and in the manifest."""
    done = forecast(str(desk / "pad.yaml"), "--alternative", "sequential", "--out", str(tmp_path / "run"))
    assert done.stdout.startswith("Curlew Flat, one well at a time: ")
    manifest = read_manifest(tmp_path / "run")
    assert manifest["alternative"] == "sequential"
    assert manifest["scenario"]["strategy"]["wells_in_rotation"] == 1
    assert manifest["scenario_hash"] != read_manifest(desk / "first")["scenario_hash"]


@pytest.mark.slow
def test_same_seed_gives_the_same_bytes(desk: Path, tmp_path: Path) -> None:
    """In a process of its own with two workers: every file as it was from one, pictures included."""
    done = process(
        "forecast", str(desk / "pad.yaml"), "--replications", str(REPLICATIONS), "--workers", "2",
        "--out", str(tmp_path / "again"),
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert_readable(done.stdout, 130)
    assert contents(tmp_path / "again") == contents(desk / "first")


@pytest.mark.usefixtures("undrawn")
def test_scenario_changed_during_the_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The manifest holds what was played, not what the file says by the end of a long night."""
    file = file_of(tmp_path)
    play = forecast_run.forecast

    def edit_meanwhile(*arguments: object) -> object:
        file_of(tmp_path, changed(("title: Curlew Flat", "title: Edited")))
        return play(*arguments)  # type: ignore[arg-type] # whatever was passed

    monkeypatch.setattr(forecast_run, "forecast", edit_meanwhile)
    assert forecast(file, "--out", str(tmp_path / "run")).exit_code == 0
    assert read_manifest(tmp_path / "run")["scenario"]["title"] == "Curlew Flat"


@pytest.mark.usefixtures("undrawn")
def test_scenario_from_a_table_of_wells(tmp_path: Path) -> None:
    """Wells from a spreadsheet are played, and written out in the manifest."""
    (tmp_path / "wells.csv").write_text("name,stages\nCurlew 1,5\nCurlew 3,4\n", encoding="utf-8")
    text = changed(
        ("wells:\n  - {name: Curlew 1}\n  - {name: Curlew 2, rig_release: 2027-03-02}\n", "wells: wells.csv\n")
    )
    done = forecast(file_of(tmp_path, text), "--out", str(tmp_path / "run"))
    assert done.exit_code == 0
    assert [well["name"] for well in read_manifest(tmp_path / "run")["scenario"]["wells"]] == ["Curlew 1", "Curlew 3"]
    assert load(tmp_path / "pad.yaml").wells[1].stages == 4


def refused(file: str, out: Path, *options: str, monkeypatch: pytest.MonkeyPatch) -> str:
    """What is said of a run that cannot be written there, before a single replication is played."""

    def played(*_: Any) -> None:
        raise AssertionError("something was played")

    monkeypatch.setattr(forecast_run, "forecast", played)
    done = forecast(file, "--out", str(out), *options)
    assert (done.exit_code, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert done.stderr.count("\n") == 1
    return done.stderr


def test_directory_that_is_not_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Refused as it is, and with --overwrite too, for it holds no run of ours."""
    file, out = file_of(tmp_path), tmp_path / "mine"
    out.mkdir()
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    before = contents(tmp_path)
    said = refused(file, out, monkeypatch=monkeypatch)
    assert said == f"{out}: is not empty; choose another directory or add --overwrite\n"
    said = refused(file, out, "--overwrite", monkeypatch=monkeypatch)
    assert said.startswith(
        f"{out}: is not empty and holds no earlier run of padtempo, so --overwrite will not clear it;"
    )
    assert contents(tmp_path) == before


@pytest.mark.parametrize("below", ["pad.yaml", "pad.yaml/run"])
def test_file_where_a_directory_should_be(below: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is made of it, and it stays what it was."""
    file = file_of(tmp_path)
    before = contents(tmp_path)
    said = refused(file, tmp_path / below, monkeypatch=monkeypatch)
    assert said.startswith(f"{tmp_path / below}: ")
    assert "is not a directory" in said
    assert contents(tmp_path) == before


def test_directory_without_permission(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Said at once, and not after a night's run; nothing is made on the way there."""
    file, out = file_of(tmp_path), tmp_path / "deep" / "down"
    monkeypatch.setattr(os, "access", lambda *_: False)
    said = refused(file, out, monkeypatch=monkeypatch)
    assert said == f"{out}: no permission to write in {tmp_path}; choose another directory\n"
    assert list(tmp_path.iterdir()) == [Path(file)]


@pytest.mark.usefixtures("undrawn")
def test_overwriting_leaves_nothing_of_the_earlier_run(tmp_path: Path) -> None:
    """Equal to a run that was the first there; what others put beside it stays."""
    file, out = file_of(tmp_path), tmp_path / "run"
    assert forecast(file, "--out", str(out), "--seed", "5", replications=16).exit_code == 0
    (out / "notes.txt").write_text("mine", encoding="utf-8")
    assert forecast(file, "--out", str(out), "--overwrite").exit_code == 0
    assert forecast(file, "--out", str(tmp_path / "fresh")).exit_code == 0
    assert contents(out) == contents(tmp_path / "fresh") | {"notes.txt": b"mine"}


def test_faulty_scenario_makes_no_directory(tmp_path: Path) -> None:
    """Nor does one that overwrites lose the run that is there."""
    file = file_of(tmp_path, changed(("horizon: 90 day", "horizon: 90")))
    done = forecast(file, "--out", str(tmp_path / "run"))
    assert (done.exit_code, done.stdout) == (2, "")
    assert list(tmp_path.iterdir()) == [Path(file)]


def test_interrupt_while_a_part_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C in the middle of a chunk's tables waits for the last of them: what counts as played is there."""
    write = run_directory.write_part

    def interrupted(run: Any, table: str, *rest: Any) -> None:
        if table == "units":
            os.kill(os.getpid(), signal.SIGINT)
        write(run, table, *rest)

    monkeypatch.setattr(run_directory, "write_part", interrupted)
    played = play(load(file_of(tmp_path)), 16, run=create(tmp_path / "run", overwrite=False))
    assert (played.replications, played.interrupted) == (1, True)
    for table in ("pads", "wells", "units", "visits", "supplies"):
        assert set(read_table(tmp_path / "run", table)["replication"]) == {0}


def started(file: str, out: Path, workers: int) -> subprocess.Popen[str]:
    """A long run in a process of its own."""
    arguments = command("forecast", file, "--replications", "100000", "--workers", str(workers), "--out", str(out))
    return subprocess.Popen(arguments, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


@pytest.mark.slow
@pytest.mark.parametrize("workers", [1, 2])
def test_interrupted_run_keeps_what_was_done(workers: int, tmp_path: Path) -> None:
    """Ctrl-C after the first chunk: exit code 130, an answer from what there is, and a valid directory."""
    out = tmp_path / "run"
    run = started(file_of(tmp_path), out, workers)
    while not list(out.glob("tables/pads/part-*.parquet")):
        assert run.poll() is None, run.communicate()
        time.sleep(0.02)
    run.send_signal(signal.SIGINT)
    printed, errors = run.communicate(timeout=120)
    assert (run.returncode, errors) == (130, "")
    done = len(read_table(out, "pads"))
    assert 0 < done < 100_000
    assert f"Stopped: {done} of 100000 replications were done." in printed
    manifest = read_manifest(out)
    assert (manifest["replications_asked"], manifest["replications_done"]) == (100_000, done)
    assert json.loads((out / "summary.json").read_text(encoding="utf-8"))["replications"] == done
    assert set(read_table(out, "wells")["replication"]) == set(read_table(out, "pads")["replication"])


def test_run_stopped_before_anything_was_done(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Said in a line, with the exit code of a stopped run, and the directory says that nothing was done."""

    def stop(*_: Any) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("sim.replications.simulate", stop)
    done = forecast(file_of(tmp_path), "--out", str(tmp_path / "run"))
    assert (done.exit_code, done.stdout) == (130, "")
    assert done.stderr == "stopped before the first replications were done\n"
    assert read_manifest(tmp_path / "run")["replications_done"] == 0
    assert padtempo("forecast", str(tmp_path / "pad.yaml"), "--out", str(tmp_path / "run")).exit_code == 2
