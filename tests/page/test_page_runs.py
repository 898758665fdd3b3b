"""Runs from the page: the command line's numbers, stopped and gone on with, killed, and what is shown of them."""

from __future__ import annotations

import json
import os
import signal
from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from opened import PAD, Page, at, opened, until

from analysis.cli import main
from analysis.forecasting import forecast_run, pictures
from analysis.page.live import LiveDates, _trace
from analysis.page.results import curve
from analysis.runs.run_directory import read_table
from analysis.statistics import quantile_interval

pytestmark = pytest.mark.slow
SLOWER = PAD.replace("stages: 5", "stages: 40")


@pytest.fixture(autouse=True)
def undrawn(monkeypatch: pytest.MonkeyPatch) -> None:
    """The command line in this process leaves no pictures, which take most of the time of a short run."""
    monkeypatch.setattr(pictures, "draw", lambda *_: None)
    monkeypatch.setattr(forecast_run, "draw_money", lambda *_: None)


def done(page: Page, run: str) -> Any:
    """What is told of a run once it is at an end."""

    def ended() -> Any:
        told = page.run(run)
        return told if told["state"] in {"done", "stopped", "failed"} else None

    return until(ended)


@pytest.fixture(scope="module")
def finished(page: Page) -> str:
    """A run of 30 replications, at its end."""
    run = page.post("plans/pad.yaml/run", {"replications": 30})["run"]
    told = done(page, run)
    assert (told["state"], told["done"], told["message"]) == ("done", 30, "")
    return run


def test_a_run_leaves_what_the_command_line_leaves(page: Page, finished: str, tmp_path: Path) -> None:
    """The same summary to the byte, so the page can have no numbers of its own."""
    out = tmp_path / "run"
    command = ["forecast", str(page.folder / "pad.yaml"), "--replications", "30", "--workers", "1", "--out", str(out)]
    assert CliRunner().invoke(main, command).exit_code == 0
    for name in ("summary.json", "dates.csv", "plan.ics"):
        assert (page.folder / "runs" / finished / name).read_bytes() == (out / name).read_bytes()


def test_the_command_line_takes_up_and_prices_a_run_of_the_page(page: Page, finished: str) -> None:
    """With the plan that stands beside it."""
    run = page.folder / "runs" / finished
    command = ["forecast", str(run.with_name(f"{finished}.plan.yaml")), "--out", str(run), "--resume"]
    result = CliRunner().invoke(main, command)
    assert result.exit_code == 0, result.stderr


def test_results_are_those_of_the_summary(page: Page, finished: str) -> None:
    """Sentences to the letter; and the curve ends where all are done."""
    results = page.get(f"runs/{at(finished)}/results")
    summary = json.loads((page.folder / "runs" / finished / "summary.json").read_bytes())
    assert results["answer"] == summary["answer"]
    assert {"plan.xlsx", "plan.ics"} <= set(results["files"])
    assert results["curves"]["Every well on production"][-1][1] == 1.0
    assert "licensed practice" in results["caution"].replace("\n", " ")
    live = page.run(finished)["dates"]["Every well on production"]
    hours = summary["pad"]["Every well on production"]
    assert [each["hours"] for each in live] == [hours[name]["hours"] for name in ("P10", "P50", "P90")]


def test_the_replay_is_the_log(page: Page, finished: str) -> None:
    """Hours of every unit by kind add up to those of the log, and every stage is pumped once."""
    replay = page.get(f"runs/{at(finished)}/replay")
    log = read_table(page.folder / "runs" / finished, "log")
    own = log[(log["unit"] != "") & (log["activity"] != "arrive")]
    for unit, pieces in replay["units"].items():
        rows = own[own["unit"] == unit]
        assert sum(piece[1] - piece[0] for piece in pieces) == pytest.approx((rows["end_h"] - rows["start_h"]).sum())
        assert all(one[1] <= two[0] + 1e-9 for one, two in pairwise(pieces))
    assert {well: len(ends) for well, ends in replay["pumped"].items()} == {"Curlew 1": 5, "Curlew 2": 5}
    assert list(replay["wells"]) == ["Curlew 1", "Curlew 2"]
    assert max(level for _, level in replay["storage"]) <= 40_000 + 1e-6


def test_downloads_are_files_of_the_run_and_nothing_else(page: Page, finished: str) -> None:
    """A workbook comes as one; the manifest is nobody's download."""
    found = page.ask("GET", f"/files/{at(finished)}/plan.xlsx")
    assert (found.status, found.body[:2]) == (200, b"PK")
    assert "attachment" in found.headers["content-disposition"]
    assert page.ask("GET", f"/files/{at(finished)}/manifest.json").status == 404


def test_the_days_of_a_run_add_up(page: Page, finished: str) -> None:
    """What the last well waited for is played in line like a run, and kept."""

    def answered() -> Any:
        return page.post(f"runs/{at(finished)}/where").get("answer")

    answer = until(answered)
    mean_h = read_table(page.folder / "runs" / finished, "pads")["all_on_production_h"].mean()
    assert sum(part["mean"] for part in answer["parts"]) == round(10 * mean_h / 24)


def test_alternatives_side_by_side(page: Page) -> None:
    """The sentences and rows of the compare command."""

    def answered() -> Any:
        return page.post("plans/pad.yaml/compare", {"replications": 20}).get("answer")

    answer = until(answered)
    assert {row["plan"] for row in answer["plans"]} == {"base plan", "sequential"}
    command = ["compare", str(page.folder / "pad.yaml"), "--replications", "20", "--workers", "1"]
    printed = " ".join(CliRunner().invoke(main, command).stdout.split())
    assert all(" ".join(sentence.split()) in printed for sentence in answer["sentences"])


def test_alternatives_that_name_tables_are_played_too(tmp_path: Path) -> None:
    """Run and set side by side, though a run does not lie where the table is."""
    (tmp_path / "few.csv").write_text("name,stages\nCurlew 1,4\n", encoding="utf-8")
    text = f"{PAD}  few: {{wells: few.csv, strategy.wells_in_rotation: 1}}\n"
    (tmp_path / "pad.yaml").write_text(text, encoding="utf-8")
    with opened(tmp_path) as page:
        run = page.post("plans/pad.yaml/run", {"replications": 4, "alternative": "few"})["run"]
        told = done(page, run)
        assert (told["state"], told["message"]) == ("done", "")
        assert list(page.get(f"runs/{at(run)}/replay")["pumped"]) == ["Curlew 1"]
        run = page.post("plans/pad.yaml/run", {"replications": 4})["run"]
        assert done(page, run)["message"] == ""
        asked = {"replications": 20, "alternatives": ["few"]}
        answer = until(lambda: page.post("plans/pad.yaml/compare", asked).get("answer"))
        assert [row["plan"] for row in answer["plans"]] == ["few", "base plan"]


def test_the_arithmetic_of_a_stage_is_that_of_the_explain_command(page: Page, finished: str) -> None:
    """Line by line; and what there is no such stage of is said."""
    lines = page.post(f"runs/{at(finished)}/explain", {"well": "Curlew 2", "stage": 3})["lines"]
    command = ["explain", str(page.folder / "pad.yaml"), "--well", "Curlew 2", "--stage", "3"]
    printed = set(CliRunner().invoke(main, command).stdout.split())
    assert len(lines) > 8
    assert all(set(part.split()) <= printed for line in lines for part in line)
    for nothing in ({"well": "Curlew 2", "stage": 99}, {"well": "Nobody", "stage": 1}, {"well": 1}, None):
        assert page.ask("POST", f"/api/runs/{at(finished)}/explain", nothing).status == 422


def test_a_date_grows_sure_as_replications_arrive(page: Page, finished: str) -> None:
    """Each row is P90 with its interval of the first so many replications; the last is that of the run."""
    hours = read_table(page.folder / "runs" / finished, "pads")["all_on_production_h"].tolist()
    assert LiveDates(page.folder / "runs" / finished).trace() == []  # no interval of P90 has 95 % by thirty
    many = [float(k % 97) for k in range(400)]
    trace = _trace(many)
    assert trace[-1][0] == 400
    assert all(one[0] < other[0] for one, other in pairwise(trace))
    for n, low, middle, high in trace:
        found = quantile_interval(many[:n], 0.9)
        assert (low, middle, high) == (found.low, found.value, found.high)
    assert _trace([*many, *[float("inf")] * 400])[-1][0] < 800
    assert len(hours) == 30


def test_a_study_is_stopped_and_asked_for_again(page: Page) -> None:
    """What stops it is the key that it was told with, and nothing else."""
    page.post("plans/slow.yaml/add", {"text": SLOWER})
    asked = {"replications": 2000}
    told = page.post("plans/slow.yaml/compare", asked)
    page.post("studies/cancel", {"key": told["key"]})
    until(lambda: page.post("plans/slow.yaml/compare", asked)["state"] == "stopped")
    again = page.post("plans/slow.yaml/compare", asked)
    assert again["state"] in {"waiting", "playing"}
    page.post("studies/cancel", {"key": again["key"]})
    for nothing in ({"key": "run x"}, {"key": 1}, None, []):
        assert page.ask("POST", "/api/studies/cancel", nothing).status == 422


def test_ten_tabs_are_answered_while_a_run_goes_on(page: Page) -> None:
    """Each of them asks for all that a tab asks for, several times over."""
    run = page.post("plans/pad.yaml/run", {"replications": 3000})["run"]

    def tab(_: int) -> int:
        asked = [
            page.get(path) for _ in range(5) for path in ("desk", "plans/pad.yaml", "runs", "plans/pad.yaml/levers")
        ]
        return len(asked)

    with ThreadPoolExecutor(10) as tabs:
        assert list(tabs.map(tab, range(10))) == [20] * 10
    until(lambda: page.run(run)["done"] > 0)
    page.post(f"runs/{at(run)}/cancel")
    assert done(page, run)["state"] == "stopped"


def test_what_if_uses_the_same_luck(page: Page) -> None:
    """Unmoved levers make no difference at all; less water makes no date earlier; asking sharpens, up to enough."""
    levers = {lever["key"]: lever for lever in page.get("plans/pad.yaml/levers")}
    assert set(levers) == {"water", "storage", "wireline", "rotation"}
    same = page.post("plans/pad.yaml/what-if", {"moved": {"water": 100}})
    assert same["days"] is None or same["days"][0] == pytest.approx(0.0, abs=1e-9)
    dry = page.post("plans/pad.yaml/what-if", {"moved": {"water": 40}})

    def sharpened() -> Any:
        now = page.post("plans/pad.yaml/what-if", {"moved": {"water": 40}})
        return now if now["enough"] or now["replications"] > dry["replications"] else None

    more = until(sharpened)
    assert more["days"][1] > 0
    assert page.ask("POST", "/api/plans/pad.yaml/what-if", {"moved": {"water": 9999}}).status == 422


def test_a_run_is_stopped_and_gone_on_with(page: Page) -> None:
    """What was played is kept, and in the end it is the run that was never stopped."""
    run = page.post("plans/slow.yaml/run", {"replications": 2000})["run"]
    waiting = page.post("plans/slow.yaml/run", {"replications": 2000})["run"]
    until(lambda: page.run(run)["done"] >= 10)
    assert page.run(waiting)["state"] == "waiting"
    page.post(f"runs/{at(waiting)}/cancel")
    assert page.run(waiting)["state"] == "stopped"
    page.post(f"runs/{at(run)}/cancel")
    told = done(page, run)
    assert told["state"] == "stopped"
    assert 10 <= told["done"] < 2000
    kept = LiveDates(page.folder / "runs" / run).hours()["all_on_production_h"]
    assert len(kept) == told["done"]


def test_a_server_that_is_killed_loses_nothing(tmp_path: Path) -> None:
    """Parts are on disk; a new start of the page shows the run as stopped, and goes on with it to the same end."""
    (tmp_path / "pad.yaml").write_text(SLOWER, encoding="utf-8")
    with opened(tmp_path) as page:
        run = page.post("plans/pad.yaml/run", {"replications": 40})["run"]
        until(lambda: page.run(run)["done"] >= 10)
        os.kill(page.process.pid, signal.SIGKILL)
        page.process.wait(10)
    with opened(tmp_path) as page:
        told = page.run(run)
        assert told["state"] == "stopped"
        assert 10 <= told["done"] < 40
        page.post(f"runs/{at(run)}/go-on")
        assert done(page, run)["state"] == "done"
    whole = tmp_path / "whole"
    command = ["forecast", str(tmp_path / "pad.yaml"), "--replications", "40", "--workers", "1", "--out", str(whole)]
    assert CliRunner().invoke(main, command).exit_code == 0
    assert (tmp_path / "runs" / run / "summary.json").read_bytes() == (whole / "summary.json").read_bytes()


def test_mistakes_and_unknown_words_start_no_run(page: Page) -> None:
    """They are told at once."""
    for body, said in (
        ({"replications": 0}, "replications"),
        ({"alternative": "nobody"}, "no such alternative"),
        ({"until": "P90 soon"}, "until"),
    ):
        answer = page.ask("POST", "/api/plans/pad.yaml/run", body)
        assert answer.status == 422
        assert said in answer.data["error"]


def test_a_curve_is_thinned_out_but_keeps_its_ends() -> None:
    """And what is beyond the horizon keeps it below one."""
    hours = [float(k) for k in range(1, 901)] + [float("inf")] * 100
    points = curve(hours)
    assert len(points) <= 200
    assert (points[0], points[-1]) == ((1.0, 0.001), (900.0, 0.9))
    assert curve([float("inf")]) == []
