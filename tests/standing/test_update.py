"""`padtempo update` from end to end, and what it says of logs that the plan cannot take."""

from __future__ import annotations

import json
from math import fsum
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner, Result

import sim
from analysis.cli import main
from analysis.updating.field_standing import NOT_LOGGED, standing_by
from analysis.updating.update import ALL, FIRST, dates_h, steps, update
from analysis.updating.update_log import read_rows
from sim.activities import ARRIVE, SHUT_IN, STAND_BY, WEATHER
from sim.log import Log
from sim.scenario import load_stated, read, stated
from sim.standing import NOTHING_YET, standing_of
from tests.cli.desk import PAD

N = 12


@pytest.fixture(name="plan")
def _plan(tmp_path: Path) -> Path:
    path = tmp_path / "pad.yaml"
    path.write_text(PAD, encoding="utf-8")
    return path


def csv_of(log: Log, scenario: sim.Scenario, at_h: float) -> str:
    """What a field hand would have written up to a moment: no waits between jobs, nothing of who is coming."""
    lines = ["start,end,unit,activity,well,stage,cause"]
    for row in sorted(log.intervals, key=lambda row: row.start_h):
        if row.start_h < at_h and row.activity not in {ARRIVE, STAND_BY, SHUT_IN}:
            start, end = (scenario.moment_at(hours).isoformat() for hours in (row.start_h, row.end_h))
            stage = row.stage or ""
            what = f"{row.unit},{row.activity},{row.well},{stage},{row.cause}"
            lines.append(f"{start},{end if row.end_h <= at_h else ''},{what}")
    return "\n".join(lines) + "\n"


def run(*arguments: object) -> Result:
    return CliRunner(env={"COLUMNS": "130"}).invoke(
        main, ["update", *map(str, arguments), "--replications", str(N), "--workers", "1"]
    )


def test_three_mornings(plan: Path, tmp_path: Path) -> None:
    """Dates come closer together, yesterday's stand beside today's, and the history grows by a line a day."""
    scenario = sim.load(plan)
    log = sim.simulate(scenario, 5, 3)
    out = tmp_path / "updates"
    for number, day in enumerate((6, 9, 12)):
        at_h = 24.0 * day
        (tmp_path / "log.csv").write_text(csv_of(log, scenario, at_h), encoding="utf-8")
        ran = run(plan, tmp_path / "log.csv", "--as-of", scenario.moment_at(at_h), "--out", out)
        assert ran.exit_code == 0, ran.output
        assert "90 % chance done by" in ran.output
        assert ("no earlier update" in ran.output) == (number == 0)
        entries = [json.loads(line) for line in (out / "forecasts.jsonl").read_text(encoding="utf-8").splitlines()]
        assert [entry["as_of_h"] for entry in entries] == [0.0, 144.0, 216.0, 288.0][: number + 2]
    assert (out / "every_well_on_production.png").exists()


def test_all_done_gives_the_actual_dates(plan: Path, tmp_path: Path) -> None:
    """After the last event every replication has the dates of the log."""
    scenario = sim.load(plan)
    log = sim.simulate(scenario, 5, 3)
    (tmp_path / "log.csv").write_text(csv_of(log, scenario, 2000.0), encoding="utf-8")
    rows = read_rows(tmp_path / "log.csv", scenario, {}).rows
    since = standing_by(rows, scenario, 2000.0, {})
    for replication in range(3):
        assert dates_h(sim.simulate(scenario, replication, 0, since)) == pytest.approx(dates_h(log), abs=1e-3)


def test_nothing_done_is_the_forecast(plan: Path, tmp_path: Path) -> None:
    """With an empty log at hour zero, all terms are zero to the bit."""
    (tmp_path / "log.csv").write_text("start,end,unit,activity,well,stage,cause\n", encoding="utf-8")
    ran = run(plan, tmp_path / "log.csv", "--as-of", "2027-03-01 06:00")
    assert ran.exit_code == 0, ran.output
    assert "no earlier and no later than the original plan" in " ".join(ran.output.split())


def test_terms_add_up(plan: Path, tmp_path: Path) -> None:
    """Scope, weather, luck and pace sum to the whole change of the mean, exactly but for rounding."""
    scenario, was = sim.load(plan), load_stated(stated(read(plan)) | {"trouble_factor": 0.0})
    rows = [row for row in sim.simulate(scenario, 5, 3).intervals if row.end_h <= 200]
    rows.append(rows[-1]._replace(start_h=100.0, end_h=110.0, kind="wait", cause=WEATHER))
    since = standing_by(rows, scenario, 220.0, {})
    faster = load_stated(stated(read(plan)) | {"horizon": "91 day"})
    sequence = steps(was, scenario, faster, since)
    assert [step.term for step in sequence] == ["", "scope", "weather", "luck", "pace"]
    found = update(sequence, N, 0, 1, lambda _: None)
    assert found is not None
    for k, name in enumerate((FIRST, ALL)):
        whole = float(np.mean(found.now[:, k]) - np.mean(found.original[:, k])) / 24
        assert fsum(term.days.mean for term in found.terms[name]) == pytest.approx(whole, abs=1e-9)


def test_field_log_stands_where_the_simulated_one_does(plan: Path, tmp_path: Path) -> None:
    """Read back from a sheet without waits, the jobs are those of the simulated log; gaps say that nobody logged."""
    scenario = sim.load(plan)
    log = sim.simulate(scenario, 5, 3)
    (tmp_path / "log.csv").write_text(csv_of(log, scenario, 300.0), encoding="utf-8")
    since = standing_by(read_rows(tmp_path / "log.csv", scenario, {}).rows, scenario, 300.0, {})
    expected = standing_of(log, 300.0)
    seen = sorted((job.unit, job.activity, job.well, job.stage, job.is_done) for job in since.jobs)
    assert seen == sorted((job.unit, job.activity, job.well, job.stage, job.is_done) for job in expected.jobs)
    assert NOT_LOGGED in {row.cause for row in since.rows}
    assert since.jobs != NOTHING_YET.jobs


def test_what_cannot_be_read_is_refused_at_once(plan: Path, tmp_path: Path) -> None:
    """Every line, with field, value and what was expected; nothing is written."""
    bad = tmp_path / "bad.csv"
    bad.write_text(
        "start,end,unit,activity,well,stage,cause\n"
        "2027-03-02 06:00,2027-03-02 05:00,Fleet A,nipple upp,Curlew 9,x,\n"
        "yesterday,,Fleet A,pump stage,Curlew 1,99,\n",
        encoding="utf-8",
    )
    ran = run(plan, bad, "--as-of", "2027-03-05 06:00", "--out", tmp_path / "updates")
    assert ran.exit_code == 2
    for said in ("bad.csv:2: activity", "did you mean 'nipple up'", "bad.csv:2: well", "bad.csv:3: start", "(got 99)"):
        assert said in ran.output
    assert not (tmp_path / "updates").exists()


@pytest.mark.parametrize(
    ("option", "value", "said"),
    [("--as-of", "soon", "local date and time"), ("--as-of", "2030-01-01", "horizon"), ("--level", "3 ft", "--level")],
)
def test_bad_options_are_refused(plan: Path, tmp_path: Path, option: str, value: str, said: str) -> None:
    log = tmp_path / "log.csv"
    log.write_text("start,end,unit,activity,well,stage,cause\n", encoding="utf-8")
    ran = run(plan, log, "--as-of", "2027-03-05 06:00", option, value)
    assert ran.exit_code == 2
    assert said in ran.output


def test_what_goes_against_the_plan_is_said(plan: Path, tmp_path: Path) -> None:
    """An unknown unit, and a stage that nobody logged: told, and used."""
    log = tmp_path / "log.csv"
    log.write_text(
        "start,end,unit,activity,well,stage,cause\n"
        "2027-03-06 06:00,2027-03-06 08:00,Fleet X,pump stage,Curlew 1,1,\n"
        "2027-03-06 10:00,2027-03-06 12:00,Fleet X,pump stage,Curlew 1,3,\n",
        encoding="utf-8",
    )
    ran = run(plan, log, "--as-of", "2027-03-07 06:00")
    assert ran.exit_code == 0, ran.output
    assert "unit 'Fleet X' is not in the plan" in " ".join(ran.output.split())
    assert "no row of pumping stage 2" in " ".join(ran.output.split())
