"""`padtempo forecast --until`: stops when precise enough, the same for any workers, and says what was reached."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from desk import contents, file_of, flat, padtempo

from analysis.runs.run_directory import read_table
from sim.replications import play


def until(file: str, asked: str, *options: str, most: int = 200) -> tuple[int, str]:
    """Exit code, and what was printed as one line."""
    done = padtempo("forecast", file, "--until", asked, "--at-most", str(most), *options)
    assert done.exit_code or not done.stderr
    return done.exit_code, flat(done.stdout + done.stderr)


@pytest.mark.slow
@pytest.mark.usefixtures("undrawn")
def test_stops_at_a_look_and_keeps_only_what_counts(tmp_path: Path) -> None:
    """One worker or two: the same files to the byte, with as many replications in the tables as the answer says."""
    file = file_of(tmp_path)
    for workers in "12":
        code, said = until(file, "P50 +-10 h", "--workers", workers, "--out", str(tmp_path / workers), most=400)
        assert code == 0
    assert contents(tmp_path / "1") == contents(tmp_path / "2")
    summary = json.loads((tmp_path / "1" / "summary.json").read_text(encoding="utf-8"))
    n = summary["replications"]
    assert n in range(100, 400, 50)
    assert list(read_table(tmp_path / "1", "pads")["replication"]) == list(range(n))
    assert summary["until"]["reached"]
    assert summary["until"]["known_within_hours"] <= 10.0
    assert f"with 95 % confidence after {n} replications; 10 h was asked for." in said
    assert "The run itself decided when to stop" in said


def test_ceiling_is_said(tmp_path: Path) -> None:
    code, said = until(file_of(tmp_path), "P90 +-1 min", "--workers", "1", most=110)
    assert code == 0
    assert "after 110 replications; 0.0167 h was asked for" in said
    assert "The ceiling of 110 replications came first: state a higher --at-most, or ask for less." in said


def test_mean_takes_what_is_known_of_luck(tmp_path: Path) -> None:
    """Flowback is most of what varies on this pad, so its known luck cuts the variance."""
    code, said = until(file_of(tmp_path), "mean of first production +-2 h", "--workers", "1")
    assert code == 0
    assert "Known luck of flowback hours cut its variance" in said


def test_horizon_may_hide_it(tmp_path: Path) -> None:
    text = Path(file_of(tmp_path)).read_text(encoding="utf-8").replace("horizon: 90 day", "horizon: 15 day")
    code, said = until(file_of(tmp_path, text), "P90 +-1 day", "--workers", "1", most=100)
    assert code == 0
    assert "P90 of last well on production is not known within any bounds after 100 replications" in said


def test_stopped_run_says_that_it_was_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*arguments: Any) -> Iterator[Any]:
        for number, chunk in enumerate(play(*arguments)):
            if number == 3:
                raise KeyboardInterrupt
            yield chunk

    monkeypatch.setattr("analysis.forecasting.forecast_until.play", stopped)
    code, said = until(file_of(tmp_path), "P90 +-1 min", "--workers", "1")
    assert code == 130
    assert "after 75 replications; 0.0167 h was asked for. The run was stopped before that." in said
    assert "Stopped: 75 of 200 replications were done." in said


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--until", "soon"), "--until: not understood; expected for example 'P90 +-0.5 day'"),
        (("--until", "P90 +-0.5"), "--until: a number without a unit"),
        (("--until", "P90 +-1 day", "--replications", "10"), "--replications does not go with --until"),
        (("--at-most", "50"), "--at-most needs --until"),
    ],
)
def test_refused_before_anything_is_written(tmp_path: Path, options: tuple[str, ...], said: str) -> None:
    done = padtempo("forecast", file_of(tmp_path), "--out", str(tmp_path / "out"), *options)
    assert done.exit_code == 2
    assert said in done.stderr
    assert list(contents(tmp_path)) == ["pad.yaml"]
