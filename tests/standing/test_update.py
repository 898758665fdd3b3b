"""`padtempo update` from end to end: mornings on end, the demo log with its slips, and what must hold exactly."""

from __future__ import annotations

import json
from datetime import datetime
from math import fsum
from pathlib import Path

import numpy as np
import pytest
from click.testing import Result

import analysis
import sim
from analysis.field.reading import read_log, up_to
from analysis.statistics import quantile
from analysis.updating.field_standing import NOT_LOGGED, standing_by
from analysis.updating.update import ALL, FIRST, dates_h, steps, update
from sim.activities import ARRIVE, SHUT_IN, STAND_BY, WEATHER
from sim.log import Log
from sim.scenario import load_stated, read, stated
from sim.standing import NOTHING_YET, Standing, standing_of
from tests.cli.desk import PAD, SCENARIOS, padtempo

N = 12
DEMO = SCENARIOS / "six_well_pad.yaml"
DEMO_LOG = SCENARIOS / "field" / "six_well_pad_log.csv"
HEADINGS = "start,end,unit,activity,well,stage,cause,remarks\n"


@pytest.fixture(name="plan")
def _plan(tmp_path: Path) -> Path:
    path = tmp_path / "pad.yaml"
    path.write_text(PAD, encoding="utf-8")
    return path


def csv_of(log: Log, scenario: sim.Scenario, at_h: float) -> str:
    """What a field hand would have written up to a moment: no waits between jobs, nothing of who is coming."""
    lines = []
    for row in sorted(log.intervals, key=lambda row: row.start_h):
        if row.start_h < at_h and row.activity not in {ARRIVE, STAND_BY, SHUT_IN}:
            start, end = (scenario.moment_at(hours).isoformat(" ") for hours in (row.start_h, row.end_h))
            stage = row.stage or ""
            what = f"{row.unit},{row.activity},{row.well},{stage},{row.cause}"
            lines.append(f"{start},{end if row.end_h <= at_h else ''},{what},")
    return HEADINGS + "\n".join(lines) + "\n"


def stood(file: Path, scenario: sim.Scenario, at_h: float) -> Standing:
    """The standing by the log in a file."""
    return standing_by(up_to(read_log(file, scenario, may_be_empty=True), at_h), scenario, at_h, {})


def run(*arguments: object) -> Result:
    return padtempo("update", *map(str, arguments), "--replications", str(N), "--workers", "1")


def said(result: Result) -> str:
    assert result.exit_code == 0, result.output
    return " ".join(result.output.split())


def test_three_mornings(plan: Path, tmp_path: Path) -> None:
    """Dates come closer together, yesterday's stand beside today's, and the history grows by a line a day."""
    scenario = sim.load(plan)
    log = sim.simulate(scenario, 5, 3)
    out = tmp_path / "updates"
    for number, day in enumerate((6, 9, 12)):
        at_h = 24.0 * day
        (tmp_path / "log.csv").write_text(csv_of(log, scenario, at_h), encoding="utf-8")
        ran = run(plan, tmp_path / "log.csv", "--as-of", scenario.moment_at(at_h), "--out", out)
        told = said(ran)
        assert "90 % chance done by" in told
        assert ("no earlier update" in told) == (number == 0)
        assert ("since the last update" in told) == (number > 0)
        entries = [json.loads(line) for line in (out / "forecasts.jsonl").read_text(encoding="utf-8").splitlines()]
        moments = [scenario.moment_at(24.0 * each).isoformat() for each in (0, 6, 9, 12)]
        assert [entry["as_of"] for entry in entries] == moments[: number + 2]
        assert all(set(entry["terms"][ALL]) == {"luck", "pace"} for entry in entries[1:])
    assert (out / "every_well_on_production.png").exists()


def test_a_changed_plan_is_compared_with_the_one_that_was_kept(plan: Path, tmp_path: Path) -> None:
    """What was changed in the file since the first update is its scope, without anybody saying so."""
    (tmp_path / "log.csv").write_text(HEADINGS, encoding="utf-8")
    as_of = ("--as-of", "2027-03-01 06:00", "--out", tmp_path / "updates")
    assert "scope" not in said(run(plan, tmp_path / "log.csv", *as_of))
    plan.write_text(PAD.replace("stages: 5", "stages: 9"), encoding="utf-8")
    told = said(run(plan, tmp_path / "log.csv", *as_of))
    assert "What moved it most from the original plan is scope (the plan itself was changed): +" in told


EARLIER = ("start: 2027-03-01 06:00", "start: 2027-02-25 06:00")


def test_a_plan_of_another_start_is_compared_by_the_calendar(plan: Path, tmp_path: Path) -> None:
    """Hour zero four days earlier changes no date here, so neither the scope nor the history has moved."""
    assert EARLIER[0] in PAD
    was = tmp_path / "was.yaml"
    was.write_text(PAD.replace(*EARLIER), encoding="utf-8")
    (tmp_path / "log.csv").write_text(HEADINGS, encoding="utf-8")
    ends = []
    for file in (was, plan):
        pads = analysis.forecast_of(sim.load(file), N, workers=1).pads
        ends.append([sim.load(file).moment_at(hours).timestamp() / 86400 for hours in pads["all_on_production_h"]])
    moved = float(np.mean(np.array(ends[1]) - np.array(ends[0])))
    out = tmp_path / "updates"
    said(run(was, tmp_path / "log.csv", "--as-of", "2027-02-25 06:00", "--out", out))
    told = said(run(plan, tmp_path / "log.csv", "--as-of", "2027-03-02 06:00", "--as-planned", "--out", out))
    first, last = [json.loads(line) for line in (out / "forecasts.jsonl").read_text(encoding="utf-8").splitlines()]
    assert (first["as_of"], last["as_of"]) == ("2027-02-25T06:00:00", "2027-03-02T06:00:00")
    assert last["terms"][ALL]["scope"] == pytest.approx(moved, abs=1e-6)
    assert abs(moved) < 1.0
    middle = datetime.fromisoformat(first["milestones"][ALL][1])
    assert f"The update of 25 Feb had it by {middle.day} {middle:%b} (P50)" in told
    (tmp_path / "pace.yaml").write_text("start: 2027-03-02 06:00\n", encoding="utf-8")
    refused = run(plan, tmp_path / "log.csv", "--as-of", "2027-03-02 06:00", "--patch", tmp_path / "pace.yaml")
    assert refused.exit_code == 2
    assert "pace.yaml: start: moves the start" in " ".join(refused.output.split())


def test_all_done_gives_the_actual_dates(plan: Path, tmp_path: Path) -> None:
    """After the last event every replication has the dates of the log."""
    scenario = sim.load(plan)
    log = sim.simulate(scenario, 5, 3)
    (tmp_path / "log.csv").write_text(csv_of(log, scenario, 2000.0), encoding="utf-8")
    since, wells = stood(tmp_path / "log.csv", scenario, 2000.0), list(log.stages)
    for replication in range(3):
        again = dates_h(sim.simulate(scenario, replication, 0, since), wells)
        assert again == pytest.approx(dates_h(log, wells), abs=1e-3)


def test_nothing_done_is_the_forecast(plan: Path, tmp_path: Path) -> None:
    """With an empty log at hour zero, all terms are zero, and the moments are those of the forecast."""
    (tmp_path / "log.csv").write_text(HEADINGS, encoding="utf-8")
    told = said(run(plan, tmp_path / "log.csv", "--as-of", "2027-03-01 06:00", "--out", tmp_path / "updates"))
    assert "no earlier and no later than the original plan" in told
    (entry,) = (tmp_path / "updates" / "forecasts.jsonl").read_text(encoding="utf-8").splitlines()
    played = analysis.forecast_of(sim.load(plan), N, workers=1).pads
    for name, column in ((FIRST, "first_production_h"), (ALL, "all_on_production_h")):
        expected_h = [quantile(played[column].to_numpy(), chance) for chance in (0.1, 0.5, 0.9)]
        expected = [sim.load(plan).moment_at(hours).isoformat() for hours in expected_h]
        assert json.loads(entry)["milestones"][name] == expected


def test_terms_add_up(plan: Path, tmp_path: Path) -> None:
    """Scope, weather, luck and pace sum to the whole change of the mean, exactly but for rounding."""
    scenario, was = sim.load(plan), load_stated(stated(read(plan)) | {"trouble_factor": 0.0})
    log = sim.simulate(scenario, 5, 3)
    held = "2027-03-05 10:00,2027-03-05 20:00,Milling rig,stand by,,,weather,\n"
    (tmp_path / "log.csv").write_text(csv_of(log, scenario, 220.0) + held, encoding="utf-8")
    since = stood(tmp_path / "log.csv", scenario, 220.0)
    assert {row.cause for row in since.rows} >= {WEATHER}
    faster = load_stated(stated(read(plan)) | {"horizon": "91 day"})
    sequence = steps(was, scenario, (faster,), since)
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
    since, expected = stood(tmp_path / "log.csv", scenario, 300.0), standing_of(log, 300.0)
    seen = sorted((job.unit, job.activity, job.well, job.stage, job.is_done) for job in since.jobs)
    assert seen == sorted((job.unit, job.activity, job.well, job.stage, job.is_done) for job in expected.jobs)
    assert NOT_LOGGED in {row.cause for row in since.rows}
    assert since.jobs != NOTHING_YET.jobs


@pytest.mark.slow
def test_the_demo_log_is_read_with_its_slips() -> None:
    """The log that `calibrate` and `lookback` read: slips left out and named, the state told, its pace taken up."""
    told = said(run(DEMO, DEMO_LOG, "--as-of", "2027-04-20 00:00"))
    assert "1,161 rows read, 1,156 used, 5 left out" in told
    assert "well: not known in this plan; did you mean 'Larkspur 4'; left out" in told
    assert "Larkspur 3 5 Mar 50 of 50 17 Apr 49 of 49 19 Apr 19 Apr" in told
    assert "plug and perforate 9 of Larkspur 6 2027-04-19 23:30 0.5" in told
    assert "pump stage, factor on the design 23 % longer" in told
    assert "which pumps are down (none)" in told
