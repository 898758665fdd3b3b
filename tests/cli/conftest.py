"""One finished run that tests of the command line look at."""

from __future__ import annotations

from collections import defaultdict
from pathlib import Path

import pytest
from desk import REPLICATIONS, file_of, forecast, padtempo
from reported import NASTY, PLAIN, make_run

from analysis.forecasting import forecast_run, pictures


@pytest.fixture(scope="session")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a scenario and one finished run of it, `first`."""
    folder = tmp_path_factory.mktemp("desk")
    done = forecast(file_of(folder), "--out", str(folder / "first"), replications=REPLICATIONS)
    assert (done.exit_code, done.stderr) == (0, "")
    (folder / "printed.txt").write_text(done.stdout, encoding="utf-8")
    return folder


@pytest.fixture
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs leave no pictures, which take most of the time of a short one."""
    monkeypatch.setattr(pictures, "draw", lambda *_: None)


@pytest.fixture(scope="session")
def printed(desk: Path) -> str:
    """What that run printed."""
    return (desk / "printed.txt").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def reported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A finished run with its report, of a pad with names that are not to be taken for anything else."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pictures, "draw", lambda *_: None)
        patch.setattr(forecast_run, "draw_money", lambda *_: None)
        run = make_run(tmp_path_factory.mktemp("reported"), NASTY)
    done = padtempo("report", str(run), "--workers", "1")
    assert (done.exit_code, done.stderr) == (0, "")
    return run


@pytest.fixture(scope="session")
def plain_run(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A run of two chunks without pictures, prices and report."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pictures, "draw", lambda *_: None)
        return make_run(tmp_path_factory.mktemp("plain"), PLAIN, replications=40)


@pytest.fixture
def undrawn_report(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reports without the pictures that print, which take most of the time."""
    monkeypatch.setattr("analysis.report.page.pictures_of", lambda *_: defaultdict(lambda: "data:,"))
