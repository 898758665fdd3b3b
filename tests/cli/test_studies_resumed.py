"""Studies that were stopped, however, and taken up: the very bytes of one that never was; one run in a directory."""

from __future__ import annotations

import os
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from desk import PAD, ROOT, command, contents, file_of, padtempo

from analysis.runs.run_lock import locked
from sim.pool import carry_out

PLAN = f"""\
{PAD}
uncertain:
  units.flowback_spreads.rig_up: {{triangular: [10 h, 12 h, 60 h]}}
choices:
  promise: {{milestone: first production, chance: 80 %, by: 2027-03-21}}
  cheapest_of:
    units.wireline_units.count: [{{value: 1, cost: 0}}, {{value: 2, cost: 20 thousand USD}}]
"""
RATE = "units.flowback_spreads.count=1..2"
STUDIES = {  # each with how many tasks are done before it is stopped
    "where": (("--replications", "20"), 9),
    "relax": (("--replications", "9"), 60),
    "compare": (("--replications", "20"), 17),
    "select": (("--select", "--indifference", "1 min", "--at-most", "60"), 3),
    "sweep": (("--vary", RATE, "--replications", "20"), 17),
    "drivers": (("--samples", "32", "--replications", "10"), 35),
    "size": (("--replications", "100"), 3),
    "until": (("--until", "P50 +-1 min", "--at-most", "160"), 4),
}
PATIENCE_S = 60.0

pytestmark = pytest.mark.usefixtures("undrawn")


@pytest.fixture(autouse=True)
def undrawn_studies(monkeypatch: pytest.MonkeyPatch) -> None:
    """Studies leave no pictures either."""
    for drawing in (
        "analysis.chains.chain_pictures.draw_where",
        "analysis.relaxing.relax_pictures.draw_savings",
        "analysis.comparing.comparison_pictures.draw",
        "analysis.studies.sweep_pictures.draw",
        "analysis.studies.drivers_picture.draw",
        "analysis.studies.sizing_picture.draw",
    ):
        monkeypatch.setattr(drawing, lambda *_: None)


def typed(study: str, file: str, out: Path, *options: str, workers: int = 1) -> list[str]:
    name = {"select": "compare", "until": "forecast"}.get(study, study)
    return [name, file, "--out", str(out), "--workers", str(workers), *options]


def run(study: str, file: str, out: Path, *options: str) -> Result:
    return padtempo(*typed(study, file, out, *STUDIES[study][0], *options))


def stopping(monkeypatch: pytest.MonkeyPatch, after: int) -> None:
    """Have Ctrl-C pressed when so many tasks are done."""

    def stopped(*arguments: Any, **named: Any) -> Iterator[Any]:
        for done in carry_out(*arguments, **named):
            nonlocal after
            after -= 1
            if after < 0:
                raise KeyboardInterrupt
            yield done

    monkeypatch.setattr("sim.replications.carry_out", stopped)
    monkeypatch.setattr("analysis.studies.drivers.carry_out", stopped)


@pytest.mark.parametrize("study", STUDIES)
def test_stopped_and_taken_up(study: str, tmp_path: Path) -> None:
    """Ctrl-C keeps what is done and says so; `--resume` alone plays the rest and leaves the same files."""
    file, (options, after) = file_of(tmp_path, PLAN), STUDIES[study]
    with pytest.MonkeyPatch.context() as patch:
        stopping(patch, after)
        stopped = run(study, file, tmp_path / "stopped")
    assert stopped.exit_code == 130, stopped.stderr
    kept = sum("tables" in name for name in contents(tmp_path / "stopped"))
    assert kept > 0
    assert "--resume goes on from there" in stopped.stdout + stopped.stderr
    numbers = {"--replications", "--at-most", "--samples"}
    said = [each for k, each in enumerate(options) if each not in numbers and options[k - 1] not in numbers]
    resumed = padtempo(*typed(study, file, tmp_path / "stopped", *said, "--resume"))
    assert resumed.exit_code == 0, resumed.stderr
    assert "are there already; going on" in resumed.stderr
    whole = run(study, file, tmp_path / "whole")
    assert resumed.stdout.partition("\nIn ")[0] == whole.stdout.partition("\nIn ")[0]
    assert contents(tmp_path / "stopped") == contents(tmp_path / "whole")


@pytest.mark.parametrize("study", ["where", "relax", "compare", "sweep", "size"])
def test_finished_run_is_extended(study: str, tmp_path: Path) -> None:
    """More replications go on where it ended; what held for so many only, such as pairs of limits, is made anew."""
    file = file_of(tmp_path, PLAN)
    options = ("--vary", RATE) if study == "sweep" else ()
    few, more = ("60", "110") if study == "size" else ("5", "12")
    first = padtempo(*typed(study, file, tmp_path / "longer", "--replications", few, *options))
    assert first.exit_code == 0, first.stderr
    longer = padtempo(*typed(study, file, tmp_path / "longer", "--replications", more, "--resume", *options))
    assert longer.exit_code == 0, longer.stderr
    whole = padtempo(*typed(study, file, tmp_path / "whole", "--replications", more, *options))
    assert whole.exit_code == 0, whole.stderr
    assert contents(tmp_path / "longer") == contents(tmp_path / "whole")


@pytest.mark.parametrize("study", STUDIES)
def test_one_run_in_a_directory(study: str, tmp_path: Path) -> None:
    """While another holds the directory nothing is played; the run of another command is not taken up."""
    file, out = file_of(tmp_path, PLAN), tmp_path / "out"
    with locked(out):
        done = run(study, file, out)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == f"{out}: another run is writing there; wait for its end\n"
    other = "where" if study in {"compare", "select"} else "compare"
    assert padtempo(*typed(other, file, out, "--replications", "2")).exit_code == 0
    before = contents(out)
    assert run(study, file, out).stderr == f"{out}: is not empty; choose another directory or add --overwrite\n"
    done = run(study, file, out, "--resume")
    assert done.exit_code == 2
    assert done.stderr.startswith(
        f"{out}: holds a run of '{other}', which {typed(study, file, out)[0]} --resume does not"
    )
    assert contents(out) == before


def test_parts_of_another_plan_are_not_believed(tmp_path: Path) -> None:
    """A part that was put in the place of another is named, with what to do."""
    file, out = file_of(tmp_path, PLAN), tmp_path / "out"
    assert run("compare", file, out).exit_code == 0
    first, second = (out / "tables" / "compared" / f"part-0000{number}.parquet" for number in (0, 1))
    second.write_bytes(first.read_bytes())
    done = run("compare", file, out, "--resume")
    assert done.exit_code == 2
    assert f"{second}: holds other plans than 'sequential'; remove it to have that played again" in done.stderr
    second.unlink()
    assert run("compare", file, out, "--resume").exit_code == 0


@pytest.mark.parametrize("study", STUDIES)
def test_resume_needs_a_directory(study: str, tmp_path: Path) -> None:
    done = padtempo(*typed(study, file_of(tmp_path, PLAN), tmp_path, *STUDIES[study][0], "--resume", "--overwrite"))
    assert done.exit_code == 2
    assert "--resume goes on with the run in --out DIR, so it needs --out, and not --overwrite" in done.stderr


def killed_when(study: str, file: str, out: Path, options: tuple[str, ...], so: Callable[[], bool]) -> None:
    """Begin a study in a process of its own, and end it as power loss would."""
    arguments = command(*typed(study, file, out, *options, "--resume", workers=2))
    begun = subprocess.Popen(arguments, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    deadline = time.monotonic() + PATIENCE_S
    while not so():
        assert begun.poll() is None, begun.communicate()
        assert time.monotonic() < deadline
        time.sleep(0.002)
    begun.kill()
    begun.communicate(timeout=PATIENCE_S)


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="SIGKILL is a POSIX signal")
@pytest.mark.parametrize(
    ("study", "options", "table"),
    [
        ("relax", ("--replications", "25"), "relaxed"),
        ("sweep", ("--vary", RATE, "--replications", "100"), "points"),
        ("until", ("--until", "P50 +-1 min", "--at-most", "600"), "pads"),
    ],
)
def test_killed_and_taken_up(study: str, options: tuple[str, ...], table: str, tmp_path: Path) -> None:
    """Kill -9 twice, then to the end: the files of a study that nothing befell."""
    file, out = file_of(tmp_path, PLAN), tmp_path / "killed"
    for parts in (2, 8):
        killed_when(study, file, out, options, lambda: len(list(out.glob(f"tables/{table}/part-*.parquet"))) > parts)  # noqa: B023
    for folder, more in ((out, ("--resume",)), (tmp_path / "whole", ())):
        assert padtempo(*typed(study, file, folder, *options, *more)).exit_code == 0
    assert contents(out) == contents(tmp_path / "whole")
