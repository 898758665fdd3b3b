"""`padtempo forecast --resume`: a run that was stopped, however, ends in the very bytes of one that never was."""

from __future__ import annotations

import errno
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from desk import ROOT, changed, command, contents, file_of, forecast, padtempo

from analysis.runs.run_directory import read_manifest
from sim.pad import simulate

LONG = 1200  # replications that are not done before somebody comes to kill them
SHORT = 30
PATIENCE_S = 60.0


def started(file: str, out: Path, *options: str, replications: int = LONG) -> subprocess.Popen[str]:
    arguments = command("forecast", file, "--replications", str(replications), "--out", str(out), *options)
    return subprocess.Popen(arguments, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def killed_when(run: subprocess.Popen[str], so: Callable[[], bool]) -> None:
    """Wait for a moment in a run, and end it as power loss would."""
    deadline = time.monotonic() + PATIENCE_S
    while not so():
        assert run.poll() is None, run.communicate()
        assert time.monotonic() < deadline
        time.sleep(0.002)
    run.kill()
    run.communicate(timeout=PATIENCE_S)


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="SIGKILL is a POSIX signal")
def test_killed_at_many_moments(tmp_path: Path) -> None:
    """Kill -9 before anything, between parts, among pictures; then to the end: every file as if nothing had been."""
    file, out = file_of(tmp_path), tmp_path / "killed"
    parts = lambda: len(list(out.glob("tables/pads/part-*.parquet")))  # noqa: E731
    moments: list[tuple[str, Callable[[], bool]]] = [
        ("1", (out / "manifest.json").exists),
        ("1", lambda: parts() > 0),
        ("2", lambda: parts() > 20),
        ("1", (out / "pictures" / "gantt_by_well.png").exists),
    ]
    for workers, moment in moments:
        killed_when(started(file, out, "--resume", "--workers", workers), moment)
    assert forecast(file, "--out", str(out), "--resume", replications=LONG).exit_code == 0
    assert forecast(file, "--out", str(tmp_path / "whole"), replications=LONG).exit_code == 0
    assert contents(out) == contents(tmp_path / "whole")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A finished run without pictures, `run`, beside its scenario."""
    folder = tmp_path_factory.mktemp("whole")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("analysis.forecasting.pictures.draw", lambda *_: None)
        assert forecast(file_of(folder), "--out", str(folder / "run"), replications=SHORT).exit_code == 0
    return folder


@pytest.fixture
def run(whole: Path, tmp_path: Path) -> Path:
    """A copy of it, to be spoilt."""
    return Path(shutil.copytree(whole / "run", tmp_path / "run"))


pytestmark = pytest.mark.usefixtures("undrawn")


def resumed(whole: Path, out: Path, *options: str) -> Any:
    return padtempo("forecast", str(whole / "pad.yaml"), "--workers", "1", "--out", str(out), "--resume", *options)


def stop_at(replication: int) -> Callable[..., Any]:
    """A simulation that cannot get beyond one replication."""

    def played(scenario: Any, number: int, *luck: Any) -> Any:
        if number == replication:
            raise MemoryError
        return simulate(scenario, number, *luck)

    return played


@pytest.mark.parametrize("replication", [0, 1, 17, 25, SHORT - 1])
def test_what_was_done_is_not_played_again(
    whole: Path, tmp_path: Path, replication: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Seed and number of replications are those of the run that is there; the answer is that of a run never stopped."""
    out, played = tmp_path / "run", []
    monkeypatch.setattr("sim.replications.simulate", stop_at(replication))
    failed = forecast(str(whole / "pad.yaml"), "--out", str(out), replications=SHORT)
    assert isinstance(failed.exception, MemoryError)
    monkeypatch.setattr("sim.replications.simulate", lambda *what: played.append(what[1]) or simulate(*what))
    done = resumed(whole, out)
    assert (done.exit_code, contents(out)) == (0, contents(whole / "run"))
    assert replication in played
    assert played == list(range(played[0], SHORT))
    there = f"{out}: {played[0]} of {SHORT} replications are there already; going on with the other {len(played)}.\n"
    assert done.stderr == (there if played[0] else "")


def test_nothing_there_starts_the_run(whole: Path, tmp_path: Path) -> None:
    """No directory, an empty one, and one of a run that was stopped before it said what it was."""
    (tmp_path / "empty").mkdir()
    (tmp_path / "begun").mkdir()
    (tmp_path / "begun" / "manifest.json").write_text('{"made_by": "padtempo", "format": 2}', encoding="utf-8")
    for name in ("missing", "empty", "begun"):
        done = resumed(whole, tmp_path / name, "--replications", str(SHORT))
        assert (done.exit_code, done.stderr) == (0, "")
        assert contents(tmp_path / name) == contents(whole / "run")


def test_finished_run_says_so_and_is_made_anew(whole: Path, run: Path) -> None:
    """What is made of the tables comes back, be it lost or spoilt."""
    (run / "summary.json").unlink()
    (run / "dates.csv").write_text("spoilt", encoding="utf-8")
    done = resumed(whole, run)
    assert done.exit_code == 0
    assert done.stderr == (
        f"{run}: all {SHORT} replications are there already; the summary, dates and pictures are made anew.\n"
    )
    assert contents(run) == contents(whole / "run")


@pytest.mark.parametrize("more", [SHORT + 1, 100])
def test_more_replications_extend_a_run(whole: Path, run: Path, tmp_path: Path, more: int) -> None:
    """As if so many had been asked for at once; a chunk that was cut short is played whole."""
    assert resumed(whole, run, "--replications", str(more)).exit_code == 0
    assert forecast(str(whole / "pad.yaml"), "--out", str(tmp_path / "fresh"), replications=more).exit_code == 0
    assert contents(run) == contents(tmp_path / "fresh")


def refused(run: Path, ask: Callable[[], Any]) -> str:
    """What is said; nothing has been touched."""
    before = contents(run)
    done = ask()
    assert (done.exit_code, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert contents(run) == before
    return str(done.stderr)


def test_another_run_is_refused_with_all_that_differs(whole: Path, run: Path, tmp_path: Path) -> None:
    """Plan, alternative, seed, versions, fewer replications: all at once."""
    manifest = read_manifest(run)
    manifest["versions"] |= {"numpy": "1.26.0", "python": f"{sys.version_info[0]}.{sys.version_info[1]}.99"}
    (run / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    other = file_of(tmp_path, changed(("stages: 5", "stages: 6")))
    options = ("--seed", "7", "--replications", "20", "--alternative", "sequential", "--out", str(run), "--resume")
    said = refused(run, lambda: padtempo("forecast", other, *options))
    numpy = manifest["versions"]["numpy"]
    assert said.startswith(f"{run}: holds another run, which --resume does not take up:\n")
    for line in (
        "alternative: none there, sequential here",
        "seed: 0 there, 7 here",
        "well_defaults.stages: 5 there, 6 here",
        "strategy.wells_in_rotation: 2 there, 1 here",
        f"numpy: {numpy} there, ",
        f"replications: {SHORT} there, only 20 here",
    ):
        assert f"\n  {line}" in said
    assert "python" not in said  # 3.11.7 goes on with what 3.11.9 began


def test_directory_of_something_else_is_refused(whole: Path, run: Path) -> None:
    """A manifest that says too little, and files of somebody else's: neither is written over."""
    (run / "manifest.json").write_text('{"made_by": "padtempo", "format": 2, "plans": []}', encoding="utf-8")
    assert "manifest.json: does not say what was played" in refused(run, lambda: resumed(whole, run))
    (run / "manifest.json").unlink()
    assert "is not empty" in refused(run, lambda: resumed(whole, run))


def test_damaged_files_are_named(whole: Path, run: Path) -> None:
    """The part, with what to do about it; done, the run is as it was. The manifest, too."""
    part = run / "tables" / "wells" / "part-00003.parquet"
    part.write_bytes(part.read_bytes()[:-20])
    said = refused(run, lambda: resumed(whole, run))
    assert said.startswith(f"{part}: cannot be read as a part of a run: ")
    assert said.rstrip().endswith("remove it to have its replications played again")
    part.unlink()
    assert resumed(whole, run).exit_code == 0
    assert contents(run) == contents(whole / "run")
    shutil.copy(run / "tables" / "pads" / "part-00009.parquet", run / "tables" / "pads" / "part-00003.parquet")
    assert "pads/part-00003.parquet: holds other replications than 3 to 3" in refused(run, lambda: resumed(whole, run))
    (run / "manifest.json").write_bytes(b'{"made_by": "padt')
    said = refused(run, lambda: resumed(whole, run))
    assert said.startswith(f"{run / 'manifest.json'}: cannot be read, and without it no run can be taken up: ")


@pytest.mark.parametrize("writes", [0, 1, 3, 30, 92, 94, 97])
def test_full_disk_leaves_a_run_to_go_on_with(
    whole: Path, tmp_path: Path, writes: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whenever the disk is full it is said, with the file; with room again the run ends as it would have."""
    out, fsync, left = tmp_path / "run", os.fsync, iter(range(writes))

    def with_little_room(number: int) -> None:
        if next(left, None) is None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        fsync(number)

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", with_little_room)
        done = forecast(str(whole / "pad.yaml"), "--out", str(out), replications=SHORT)
    assert done.exit_code == 2
    assert "cannot be written: No space left on device\n" in done.stderr
    if writes > 3:  # the manifest was there, twice, each time with its name in the folder
        assert done.stderr.endswith(f"what was played before that is kept in {out}; --resume goes on from there\n")
    assert resumed(whole, out, "--replications", str(SHORT)).exit_code == 0
    assert contents(out) == contents(whole / "run")


def test_full_disk_while_pictures_are_drawn(whole: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Said like any other file that finds no room."""

    def no_room(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("analysis.forecasting.pictures.draw", no_room)
    done = forecast(str(whole / "pad.yaml"), "--out", str(tmp_path / "run"), replications=SHORT)
    assert done.exit_code == 2
    assert f"{tmp_path / 'run' / 'pictures'}: cannot be written: No space left on device\n" in done.stderr


def test_one_run_at_a_time(whole: Path, tmp_path: Path) -> None:
    """A second run is refused however it asks, until the first has ended; killed, it leaves no lock."""
    file, out = str(whole / "pad.yaml"), tmp_path / "run"
    first = started(file, out, "--workers", "1", replications=100_000)
    while not list(out.glob("tables/pads/part-*.parquet")):
        assert first.poll() is None, first.communicate()
        time.sleep(0.02)
    for option in ("--resume", "--overwrite"):
        done = padtempo("forecast", file, "--out", str(out), option, "--replications", "100000")
        assert (done.exit_code, done.stdout) == (2, "")
        assert done.stderr == f"{out}: another run is writing there; wait for its end\n"
    first.kill()
    first.communicate(timeout=PATIENCE_S)
    assert forecast(file, "--out", str(out), "--overwrite", replications=SHORT).exit_code == 0
    assert contents(out) == contents(whole / "run")


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--resume",), "needs --out"),
        (("--resume", "--overwrite", "--out", "run"), "not --overwrite"),
        (("--cluster", "tcp://192.0.2.7:8786", "--workers", "2"), "choose one of them"),
    ],
)
def test_options_that_contradict_each_other(whole: Path, options: tuple[str, ...], said: str) -> None:
    """Said before anything else."""
    done = padtempo("forecast", str(whole / "pad.yaml"), *options)
    assert (done.exit_code, done.stdout) == (2, "")
    assert said in done.stderr
