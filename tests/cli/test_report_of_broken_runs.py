"""`padtempo report` of runs that are unfinished, damaged or bare: it shows what is whole and says what is not."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from desk import assert_readable, changed, file_of, forecast, padtempo
from reported import PLAIN, make_run, parsed, words

from analysis.runs.finished_run import read_run
from analysis.runs.run_directory import read_manifest


@pytest.fixture
def damaged(plain_run: Path, tmp_path: Path) -> Path:
    """A copy of a run to spoil."""
    shutil.copytree(plain_run, tmp_path / "run")
    return tmp_path / "run"


def report_of(folder: Path) -> str:
    """What the report of a folder says, made without alternatives."""
    done = padtempo("report", str(folder), "--no-alternatives", "--workers", "1", "--overwrite")
    assert done.exit_code == 0, done.stderr
    assert_readable(done.stdout, 130)
    return words(parsed((folder / "report.html").read_text(encoding="utf-8")))


@pytest.mark.usefixtures("undrawn_report")
def test_unpriced_plan_says_what_is_missing(damaged: Path) -> None:
    """No cost, no value; nothing is made up."""
    told = report_of(damaged)
    assert "not priced The plan states no prices" in told
    assert "The plan states no prices, so nothing is said of costs" in told
    assert "there is nothing to sell" in told
    assert "--no-alternatives" in told
    assert "run that is not whole" not in told


@pytest.mark.usefixtures("undrawn_report")
def test_killed_run_is_unfinished(damaged: Path) -> None:
    """Before its last chunk and its summary: the report says so at the top, and counts what it has."""
    manifest = read_manifest(damaged) | {"replications_done": 0}
    (damaged / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    last = sorted((damaged / "tables" / "pads").iterdir())[-1].name
    for table in (damaged / "tables").iterdir():
        (table / last).unlink(missing_ok=True)
    told, run = report_of(damaged), read_run(damaged)
    n = run.forecast.replications
    assert 0 < n < 40
    assert f"The run is unfinished: of 40 replications that were asked for, {n} replications are whole." in told
    assert "before its summary, workbook, calendar and pictures were written" in told
    assert f"Forecast from {n} replications" in told


@pytest.mark.usefixtures("undrawn_report")
def test_lost_and_damaged_parts_are_named(damaged: Path) -> None:
    """Their replications are left out of every table, not only of the one that lost them."""
    whole = read_run(damaged).forecast
    first, *_, last = sorted((damaged / "tables" / "units").iterdir())
    first.unlink()
    (damaged / "tables" / "wells" / last.name).write_bytes(b"PAR1 but for the rest")
    kept = read_run(damaged).forecast
    assert kept.replications < whole.replications
    for table in (kept.pads, kept.wells, kept.units, kept.visits):
        assert set(table["replication"]) == set(kept.pads["replication"])
    told = report_of(damaged)
    assert f"tables/units is without {first.name}: their replications are left out" in told
    assert f"tables/wells/{last.name} is damaged and cannot be read." in told


@pytest.mark.usefixtures("undrawn_report")
def test_table_of_later_versions_may_be_missing(damaged: Path) -> None:
    """A run without any supplies is shown without them, and says so."""
    shutil.rmtree(damaged / "tables" / "supplies")
    told = report_of(damaged)
    assert "tables/supplies is missing: nothing is said of what it holds." in told


def spoil_manifest(folder: Path, **changes: object) -> str:
    """What the report command refuses with, once the manifest is changed; None removes a key."""
    manifest = {key: value for key, value in (read_manifest(folder) | changes).items() if value is not None}
    (folder / "manifest.json").write_text(json.dumps(manifest), encoding="utf-8")
    done = padtempo("report", str(folder), "--overwrite")
    assert done.exit_code == 2
    assert "Traceback" not in done.output
    assert not (folder / "report.html").exists()
    return done.stderr


def test_manifest_that_lacks_something(damaged: Path) -> None:
    """All that is wrong with it at once."""
    said = spoil_manifest(damaged, seed=None, versions=3)
    assert "manifest.json: seed: is missing; expected a whole number" in said
    assert "manifest.json: versions: is damaged; expected a table of values" in said


def test_scenario_that_makes_no_sense(damaged: Path) -> None:
    """The scenario in the manifest is checked like any other."""
    plan = read_manifest(damaged)["scenario"] | {"horizon": "3 barrels"}
    assert "horizon" in spoil_manifest(damaged, scenario=plan)


def test_run_of_another_command(damaged: Path) -> None:
    """It holds no forecast."""
    assert "holds a run of 'where'; expected one of forecast --out" in spoil_manifest(damaged, command="where")


def test_run_without_a_whole_replication(damaged: Path) -> None:
    """Nothing can be shown, and why is said part by part."""
    shutil.rmtree(damaged / "tables" / "units")
    done = padtempo("report", str(damaged))
    assert done.exit_code == 2
    assert "holds no replication that is whole" in done.stderr
    assert "tables/units is without part-00000.parquet" in done.stderr
    assert not (damaged / "report.html").exists()


@pytest.mark.usefixtures("undrawn", "undrawn_report")
def test_everything_beyond_the_horizon(tmp_path: Path) -> None:
    """There is a report all the same, without a date that nobody has."""
    file = file_of(tmp_path, changed(("horizon: 90 day", "horizon: 12 day"), text=PLAIN))
    assert forecast(file, "--out", str(tmp_path / "run")).exit_code == 0
    told = report_of(tmp_path / "run")
    assert "beyond the horizon" in told
    assert "nan" not in told.split()
    assert "inf" not in told.split()


@pytest.mark.usefixtures("undrawn", "undrawn_report")
def test_run_of_an_alternative_compares_none(tmp_path: Path) -> None:
    """Patches belong on the plan as stated, which this run does not know."""
    run = make_run(tmp_path, PLAIN, "--alternative", "sequential")
    done = padtempo("report", str(run), "--workers", "1")
    assert (done.exit_code, done.stderr) == (0, "")
    told = words(parsed((run / "report.html").read_text(encoding="utf-8")))
    assert "This run played the alternative 'sequential'" in told
    assert "--alternative sequential" in told


@pytest.mark.usefixtures("undrawn_report")
def test_ctrl_c_while_it_is_played(damaged: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was played by then is reported, and said to be no more than that; the exit code is that of Ctrl-C."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("analysis.progress.Progress.advance", stop)
    done = padtempo("report", str(damaged), "--workers", "1")
    assert done.exit_code == 130
    assert "Stopped: the report holds what was played by then." in done.stdout
    told = words(parsed((damaged / "report.html").read_text(encoding="utf-8")))
    assert "strategies are not compared" in told
    assert "Which strategy not compared" in told


@pytest.mark.usefixtures("undrawn_report")
def test_many_damaged_parts_are_told_in_one_sentence(damaged: Path) -> None:
    """A whole table that nobody can read is no wall of warnings; the rest of the report comes."""
    parts = sorted((damaged / "tables" / "amounts").iterdir())
    assert len(parts) > 4
    for part in parts:
        part.write_bytes(b"spoilt")
    told = report_of(damaged)
    assert f"tables/amounts has {len(parts)} parts that are damaged and cannot be read: part-00000.parquet" in told
    assert told.count("damaged and cannot be read") == 1
    assert "Forecast from 40 replications" in told
