"""At the desk: invent a log, calibrate on it, forecast with the patch, look back; and what can be wrong on the way."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import pytest
from click.testing import Result

from sim.scenario import load
from tests.cli.desk import CONVENTION, ESCAPE, PAD, file_of, forecast, padtempo

TROUBLED = "troubles: {screen-out: {}, misrun: {}}\n"


class Desk(NamedTuple):
    """A folder with a pad and an invented log of it, and what was printed when that was made."""

    folder: Path
    pad: str
    log: str
    made: Result


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Desk:
    folder = tmp_path_factory.mktemp("desk")
    pad, log = file_of(folder, PAD + TROUBLED), str(folder / "log.csv")
    return Desk(folder, pad, log, padtempo("fieldlog", pad, "--seed", "4", "--out", log))


def good(result: Result) -> str:
    assert result.exit_code == 0, result.output
    assert ESCAPE not in result.output
    return " ".join(result.output.split())


def refused(result: Result) -> str:
    assert result.exit_code == 2, result.output
    assert "Traceback" not in result.output
    return " ".join(result.output.split())


def test_an_invented_log_says_so_and_keeps_its_truth_beside_it(desk: Desk) -> None:
    folder, pad, log, result = desk
    assert "an invented log of" in good(result)
    rows = list(csv.DictReader((folder / "log.csv").read_text().splitlines()))
    assert all("invented" in row["remarks"] for row in rows)
    assert load(pad, patch=folder / "log.truth.yaml") != load(pad)
    assert "exists already" in refused(padtempo("fieldlog", pad, "--out", log))


def test_until_stops_the_log_there(desk: Desk, tmp_path: Path) -> None:
    good(padtempo("fieldlog", desk.pad, "--until", "2027-03-10", "--out", str(tmp_path / "short.csv")))
    rows = list(csv.DictReader((tmp_path / "short.csv").read_text().splitlines()))
    assert max(row["start"] for row in rows) < "2027-03-10"
    assert any(row["end"] == "" for row in rows)


def test_until_before_the_start_is_refused(desk: Desk, tmp_path: Path) -> None:
    message = refused(padtempo("fieldlog", desk.pad, "--until", "2020-01-01", "--out", str(tmp_path / "none.csv")))
    assert "--until: expected a moment after the plan's start" in message
    assert not (tmp_path / "none.csv").exists()


def test_headings_alone_are_no_log(desk: Desk, tmp_path: Path) -> None:
    (tmp_path / "h.csv").write_text("start,end,unit,activity,well,stage,cause,remarks\n", encoding="utf-8")
    for command in ("calibrate", "lookback"):
        assert "h.csv: nothing but headings" in refused(padtempo(command, desk.pad, str(tmp_path / "h.csv")))


def test_a_truth_of_ones_own_is_played(desk: Desk, tmp_path: Path) -> None:
    truth, out = tmp_path / "truth.yaml", tmp_path / "log.csv"
    truth.write_text("well_defaults.preparation.nipple_up: 40 h\n", encoding="utf-8")
    good(padtempo("fieldlog", desk.pad, "--truth", str(truth), "--out", str(out)))
    assert "nipple_up: 40 h" in (tmp_path / "log.truth.yaml").read_text()
    assert "nipple up" in good(padtempo("calibrate", desk.pad, str(out)))
    truth.write_text("well_defaults.preparation.nipple: 40 h\n", encoding="utf-8")
    message = refused(padtempo("fieldlog", desk.pad, "--truth", str(truth), "--out", str(tmp_path / "b.csv")))
    assert "truth.yaml:1: well_defaults.preparation.nipple: unknown path" in message
    assert not (tmp_path / "b.csv").exists()


@pytest.mark.slow
def test_calibrate_forecast_with_the_patch_and_look_back(desk: Desk, tmp_path: Path) -> None:
    _, pad, log, _ = desk
    patch = tmp_path / "patch.yaml"
    told = good(padtempo("calibrate", pad, log, "--out", str(patch)))
    assert told.startswith("Curlew Flat: the log tells of")
    assert "left out" in told
    assert "Next: padtempo forecast" in told
    assert (tmp_path / "patch_fits.png").exists()
    assert good(forecast(pad, "--patch", str(patch))) != good(forecast(pad))
    assert "screen-out.chance" not in good(padtempo("check", pad, "--patch", str(patch))).split("Defaults")[-1]
    back = good(
        padtempo("lookback", pad, log, "--replications", "10", "--workers", "1", "--out", str(tmp_path / "back"))
    )
    assert back.startswith("Curlew Flat, looking back on")
    assert CONVENTION in back
    assert "80 % if the forecast is right" in back
    names = {path.name for path in (tmp_path / "back").iterdir()}
    assert {"milestones.csv", "hours.csv", "milestones.png", "reliability.png"} <= names
    assert "not an empty directory" in refused(padtempo("lookback", pad, log, "--out", str(tmp_path / "back")))


@pytest.mark.slow
def test_the_patch_gives_its_evidence_beside_each_value(desk: Desk, tmp_path: Path) -> None:
    """Ten stages, of which one is left out for a slip."""
    _, pad, log, _ = desk
    patch = tmp_path / "patch.yaml"
    good(padtempo("calibrate", pad, log, "--prior-weight", "0", "--out", str(patch)))
    lines = patch.read_text(encoding="utf-8").splitlines()
    assert "It counts as much as 0 observations" in lines[1]
    place = next(number for number, line in enumerate(lines) if line.startswith("well_defaults.stage_design.pump_time"))
    assert "factor on the design: 9 observations" in lines[place - 1]
    assert "log.csv, 2027-03-01 to 2027-" in lines[place - 1]
    chance = next(number for number, line in enumerate(lines) if line.startswith("troubles.screen-out.chance"))
    assert "screen-out: " in lines[chance - 1]
    assert "in 9 jobs" in lines[chance - 1]


def test_what_no_log_can_change_is_told(desk: Desk, tmp_path: Path) -> None:
    """Pump failures, and rates of troubles that the plan leaves out."""
    pad = file_of(tmp_path, PAD + "troubles: {screen-out: {}, pump failure: {}}\ntrouble_factor: 0\n")
    told = good(padtempo("calibrate", pad, desk.log))
    assert "Left as planned: pump failure (a log shows hours lost once no spare is left" in told
    assert "the plan's trouble_factor is 0" in told
    assert "Times are rounded to 5 min" in told


def test_strict_refuses_what_is_otherwise_named(desk: Desk) -> None:
    _, pad, log, _ = desk
    for command in ("calibrate", "lookback"):
        message = refused(padtempo(command, pad, log, "--strict"))
        assert "log.csv:" in message
        assert "left out" in message


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (["--columns", "no.yaml"], "no.yaml: no such file"),
        (["--out", "log.csv"], "log.csv: exists already"),
        (["--prior-weight", "-1"], "prior-weight"),
    ],
)
def test_impossible_orders_are_refused(
    desk: Desk, options: list[str], message: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder, pad, log, _ = desk
    monkeypatch.chdir(folder)
    assert message in refused(padtempo("calibrate", pad, log, *options))


def test_a_log_that_is_not_there_is_refused(desk: Desk) -> None:
    assert "gone.csv: no such file" in refused(padtempo("calibrate", desk.pad, "gone.csv"))


def test_a_patch_that_leads_nowhere_is_refused_with_its_line(desk: Desk, tmp_path: Path) -> None:
    patch = tmp_path / "patch.yaml"
    patch.write_text("# mine\nstrategy.swap.tme: 20 min\nstrategy.swap.time: 20 mn\n", encoding="utf-8")
    for command in ("check", "forecast"):
        message = refused(padtempo(command, desk.pad, "--patch", str(patch)))
        assert "patch.yaml:2: strategy.swap.tme: unknown path" in message
        assert "did you mean 'time'" in message
        assert "patch.yaml:3:" in message
        assert "unit 'mn' is not known" in message
