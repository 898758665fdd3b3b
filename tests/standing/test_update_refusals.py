"""What `padtempo update` refuses, and what it says of logs that leave something open."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.pad import StuckError
from tests.cli.desk import PAD
from tests.standing.test_update import DEMO, DEMO_LOG, HEADINGS, run, said

PUMPED = "2027-03-06 06:00,2027-03-06 08:00,Fleet A,pump stage,Curlew 1,{},,\n"


@pytest.fixture(name="plan")
def _plan(tmp_path: Path) -> Path:
    path = tmp_path / "pad.yaml"
    path.write_text(PAD, encoding="utf-8")
    return path


def logged(folder: Path, *rows: str) -> Path:
    (folder / "log.csv").write_text(HEADINGS + "".join(rows), encoding="utf-8")
    return folder / "log.csv"


def test_strict_refuses_what_is_otherwise_left_out(tmp_path: Path) -> None:
    ran = run(DEMO, DEMO_LOG, "--as-of", "2027-04-20 00:00", "--strict", "--out", tmp_path / "updates")
    assert ran.exit_code == 2
    assert "six_well_pad_log.csv:670: well: not known in this plan; did you mean 'Larkspur 4'" in ran.output
    assert not (tmp_path / "updates").exists()


def test_a_log_of_which_nothing_can_be_used_is_refused(plan: Path, tmp_path: Path) -> None:
    """Every row, with field, value and what was expected; nothing is written."""
    log = logged(
        tmp_path,
        "2027-03-02 06:00,2027-03-02 05:00,Fleet A,nipple upp,Curlew 9,x,,\n",
        "yesterday,,Fleet A,pump stage,Curlew 1,99,,\n",
    )
    ran = run(plan, log, "--as-of", "2027-03-05 06:00", "--out", tmp_path / "updates")
    assert ran.exit_code == 2
    for text in (
        "none of its 2 rows can be used",
        "log.csv:2: activity",
        "did you mean 'nipple up'",
        "log.csv:3: stage",
    ):
        assert text in ran.output
    assert not (tmp_path / "updates").exists()


@pytest.mark.parametrize(
    ("option", "value", "message"),
    [
        ("--as-of", "soon", "--as-of: not a date and time; expected such as 2027-03-31 14:30 (got soon)"),
        ("--as-of", "2030-01-01", "to its horizon"),
        ("--as-of", "2027-02-28 06:00", "expected a moment from the plan's start"),
        ("--as-of", "2027-03-05 06:00Z", "states no time_zone"),
        ("--level", "3 ft", "--level"),
        ("--level", "90 kbbl", "expected at most what water can hold, 40,000 bbl"),
        ("--level", "Pond=9 kbbl", "nothing of the plan is called 'Pond'"),
        ("--was", "gone.yaml", "gone.yaml"),
        ("--columns", "gone.yaml", "gone.yaml: no such file"),
        ("--patch", "gone.yaml", "gone.yaml"),
    ],
)
def test_bad_options_are_refused(plan: Path, tmp_path: Path, option: str, value: str, message: str) -> None:
    ran = run(plan, logged(tmp_path), "--as-of", "2027-03-05 06:00", option, value)
    assert ran.exit_code == 2, ran.output
    assert message in " ".join(ran.output.split())


def test_two_paces_are_one_too_many(plan: Path, tmp_path: Path) -> None:
    ran = run(plan, logged(tmp_path), "--as-of", "2027-03-05 06:00", "--patch", "a.yaml", "--as-planned")
    assert ran.exit_code == 2
    assert "--patch does not go with --as-planned" in ran.output


def test_what_goes_against_the_plan_is_said(plan: Path, tmp_path: Path) -> None:
    """A unit that the plan does not know, and a stage that nobody logged."""
    log = logged(
        tmp_path,
        PUMPED.format(1),
        PUMPED.format(3).replace("06:00", "10:00").replace("08:00", "12:00"),
        "2027-03-06 06:00,2027-03-06 08:00,Fleet X,pump stage,Curlew 2,1,,\n",
    )
    told = said(run(plan, log, "--as-of", "2027-03-06 13:00"))
    assert "log.csv:4: unit: not known in this plan; did you mean 'Fleet A'" in told
    implied = "plug and perforate 2 of Curlew 1, pump stage 2 of Curlew 1, plug and perforate 3 of Curlew 1"
    assert f"no row says that {implied} are done; taken as done, for later work shows it" in told
    assert "of pump stage 1 of Curlew 2 all rows were left out" in told


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (StuckError("Fleet A waits for wireline"), "Fleet A waits for wireline"),
        (IndexError(), "contradict one another"),
    ],
)
def test_a_log_from_which_nobody_can_go_on_is_refused(
    plan: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, why: str
) -> None:
    """However a log may be at odds with itself: a message with what was left out of it, and nothing written."""

    def stuck(*_: object) -> None:
        raise error

    monkeypatch.setattr("analysis.updating.update_run.update", stuck)
    log = logged(tmp_path, PUMPED.format(1), PUMPED.format("x"))
    ran = run(plan, log, "--as-of", "2027-03-07 06:00", "--out", tmp_path / "updates")
    assert ran.exit_code == 2
    assert f"cannot be played on from where this log leaves the pad at 2027-03-07 06:00: {why}" in ran.output.replace(
        "its rows ", ""
    )
    assert "log.csv:3: stage: expected a whole number; left out (got 'x')" in ran.output
    assert not (tmp_path / "updates").exists()


def test_a_log_that_ends_early_is_said(plan: Path, tmp_path: Path) -> None:
    told = said(run(plan, logged(tmp_path, PUMPED.format(1)), "--as-of", "2027-03-08 06:00"))
    assert "the log ends 46 h before then; units are taken to have stood by since" in told
    told = said(run(plan, logged(tmp_path), "--as-of", "2027-03-08 06:00"))
    assert "nothing is logged up to then" in told


def test_rows_after_the_moment_are_not_used(plan: Path, tmp_path: Path) -> None:
    told = said(run(plan, logged(tmp_path, PUMPED.format(1)), "--as-of", "2027-03-06 07:00"))
    assert "pump stage 1 of Curlew 1 2027-03-06 06:00 1.0" in told
    told = said(run(plan, logged(tmp_path, PUMPED.format(1)), "--as-of", "2027-03-06 06:00"))
    assert "1 row of the log begin after that time" in told


def test_the_column_map_of_the_others_is_read_and_its_zone_holds(plan: Path, tmp_path: Path) -> None:
    """The same map as for `calibrate`; the moment may be written with its offset then."""
    columns = tmp_path / "columns.yaml"
    columns.write_text(
        "columns: {start: From, end: To, unit: Crew, activity: Job, well: Hole, stage: St, cause: null,\n"
        " remarks: null}\n"
        "activities: {Frac: pump stage}\nunits: {Frac crew 7: Fleet A}\n"
        "date_format: '%d/%m/%Y %H:%M'\ntime_zone: America/Denver\n",
        encoding="utf-8",
    )
    log = tmp_path / "log.csv"
    log.write_text("From,To,Crew,Job,Hole,St\n06/03/2027 06:00,,Frac crew 7,Frac,Curlew 1,1\n", encoding="utf-8")
    for moment in ("2027-03-06 07:30", "2027-03-06 14:30Z", "06/03/2027 07:30"):
        told = said(run(plan, log, "--as-of", moment, "--columns", columns))
        assert "pump stage 1 of Curlew 1 2027-03-06 06:00 1.5" in told
