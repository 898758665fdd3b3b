"""What report and page make of a log too large for them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from desk import padtempo

from analysis.page import replay
from analysis.report import page


@pytest.fixture
def run(desk: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(desk / "first", tmp_path / "run"))


def report_of(run: Path) -> str:
    done = padtempo("report", str(run), "--replications", "2", "--no-alternatives", "--workers", "1")
    assert (done.exit_code, done.stdout.count("report.html")) == (0, 1)
    return (run / "report.html").read_text(encoding="utf-8")


def test_a_log_too_large_to_zoom_into_stands_in_pictures(run: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its bars are not in the document that is zoomed, the curves are; all sheets are printed, and it is said."""
    monkeypatch.setattr(page, "MOST_ROWS", 10)
    monkeypatch.setattr("analysis.figures.well_gantt.ROWS", 1)
    text = report_of(run)
    assert f'id="{page.UNITS}"' not in text
    assert f'id="{page.WELLS}"' not in text
    assert f'id="{page.CURVES}"' in text
    assert "more than a page can hold to zoom into" in text
    assert text.count('alt="Wells against dates"') == text.count('alt="Wells against dates, sheet 2"') == 1


def test_pieces_of_the_page_are_joined_only_as_far_as_it_takes(run: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A log that fits is whole; a larger one has no more pieces than asked for, and starts and ends as it did."""
    whole = replay.replay_of(run)
    assert not whole["thinned"]
    pieces = sum(len(own) for rows in ("units", "wells") for own in whole[rows].values())
    monkeypatch.setattr(replay, "MOST_PIECES", pieces // 4)
    thinned = replay.replay_of(run)
    assert thinned["thinned"]
    assert sum(len(own) for rows in ("units", "wells") for own in thinned[rows].values()) <= 2 * (pieces // 4)
    for rows in ("units", "wells"):
        assert list(thinned[rows]) == list(whole[rows])
        for name, own in thinned[rows].items():
            assert (own[0][0], own[-1][1]) == (whole[rows][name][0][0], max(each[1] for each in whole[rows][name]))
