"""`padtempo where` and `padtempo relax` as a planner uses them: answers, tables that add up, files, plain refusals."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from desk import CONVENTION, PAD, assert_readable, block, changed, contents, file_of, flat, padtempo

from analysis.chains import chain_pictures
from analysis.relaxing import relax_pictures
from analysis.runs.run_directory import read_manifest, read_table

SHORT = ("--replications", "6", "--workers", "1")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A scenario file, a run of each command beside it, and what they printed."""
    folder = tmp_path_factory.mktemp("where")
    for command in ("where", "relax"):
        done = padtempo(command, file_of(folder), *SHORT, "--out", str(folder / command))
        assert (done.exit_code, done.stderr) == (0, "")
        (folder / f"{command}.txt").write_text(done.stdout, encoding="utf-8")
    return folder


def printed(folder: Path, command: str) -> str:
    return (folder / f"{command}.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("command", ["where", "relax"])
def test_answer_comes_first_and_fits_the_screen(folder: Path, command: str) -> None:
    """The title, the milestone and its dates in the first sentence; the convention and the cautions below."""
    text = printed(folder, command)
    assert text.startswith("Curlew Flat, zipper of two")
    assert "every well on production" in flat(text)[:130]
    assert_readable(text, 130)
    assert "licensed practice decide" in flat(text)
    assert ("90 % chance of no more days" if command == "where" else CONVENTION) in flat(text)


@pytest.mark.parametrize("title", ["Days from the start", "The same days by unit"])
def test_tables_of_where_add_up(folder: Path, title: str) -> None:
    """What is printed sums to what is printed as the whole, to the last digit."""
    table = block(printed(folder, "where"), title)
    parts = [
        float(mean) for mean in re.findall(r"^(?!Stated|Work|Waiting|Trouble|In all).*?  (\d+\.\d) ±", table, re.M)
    ]
    whole = re.search(r"^In all +(\d+\.\d) ±", table, re.M)
    assert whole is not None
    assert len(parts) >= 4
    assert sum(parts) == pytest.approx(float(whole[1]))
    kinds = re.findall(r"^(?:Stated dates|Work|Waiting|Trouble) +(\d+\.\d)", table, re.M)
    assert not kinds or sum(map(float, kinds)) == pytest.approx(float(whole[1]))


def test_summary_of_where_says_what_the_terminal_says(folder: Path) -> None:
    """The mean of the whole, its parts by unit, and the manifest."""
    summary = json.loads((folder / "where" / "summary.json").read_text())
    assert f"that takes {summary['days']['mean']['days']:.1f} ±" in flat(printed(folder, "where"))
    assert sum(part["mean"]["days"] for part in summary["by_unit"].values()) == pytest.approx(
        summary["days"]["mean"]["days"]
    )
    manifest = read_manifest(folder / "where")
    assert (manifest["command"], manifest["milestone"]) == ("where", "every well on production")
    assert manifest["replications_done"] == 6


def test_parts_of_where_hold_the_chains(folder: Path) -> None:
    """The pieces of each replication sum to when the milestone was reached."""
    ends, pieces = (read_table(folder / "where", table) for table in ("chain_ends", "chain_pieces"))
    hours = pieces.groupby("replication")["hours"].sum()
    assert hours.to_numpy() == pytest.approx(ends["reached_h"].to_numpy())


def test_parts_of_relax_hold_every_plan_and_the_plan_itself_once(folder: Path) -> None:
    """Six replications of each; the plan as stated is played once for all limits."""
    rows, manifest = read_table(folder / "relax", "relaxed"), read_manifest(folder / "relax")
    days = rows[rows["measure"] == "days to every well on production"]
    counts = days.groupby("limit").size()
    assert set(manifest["plans"]) <= set(counts.index)
    assert set(counts) == {6}
    summary = json.loads((folder / "relax" / "summary.json").read_text())
    best = summary["limits"][0]
    means = days.groupby("limit")["value"].mean()
    assert best["days_gained"]["days"] == pytest.approx(means["as stated"] - means[best["with"]])


@pytest.mark.parametrize(("command", "picture"), [("where", "where_the_days_go"), ("relax", "what_would_buy_a_week")])
def test_pictures_are_left(folder: Path, command: str, picture: str) -> None:
    """As PNG and SVG."""
    assert {f"{picture}.png", f"{picture}.svg"} == {path.name for path in (folder / command / "pictures").iterdir()}


def test_late_fleet_of_the_plan_is_what_a_day_earlier_buys(folder: Path) -> None:
    """The fleet's arrival is on every chain, so a day of it is among what gains."""
    assert "until Fleet A arrives" in printed(folder, "where")
    assert re.search(r"Fleet A a day earlier +0\.\d|Fleet A a day earlier +1\.0", printed(folder, "relax"))


@pytest.mark.parametrize("workers", ["1", "2"])
def test_same_seed_same_files_whatever_the_workers(
    folder: Path, tmp_path: Path, workers: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """To the byte, but for the pictures, which are not drawn again."""
    monkeypatch.setattr(chain_pictures, "draw_where", lambda *_: None)
    monkeypatch.setattr(relax_pictures, "draw_savings", lambda *_: None)
    told = ("--replications", "6", "--workers", workers, "--out", str(tmp_path / "again"))
    assert padtempo("where", str(folder / "pad.yaml"), *told).exit_code == 0
    first = {name: text for name, text in contents(folder / "where").items() if not name.startswith("pictures")}
    assert contents(tmp_path / "again") == first


def test_milestone_of_one_well(folder: Path) -> None:
    """Its name is enough."""
    done = padtempo("where", str(folder / "pad.yaml"), *SHORT, "--milestone", "curlew 1")
    assert done.exit_code == 0
    assert "Curlew 1 on production by" in flat(done.stdout)


def test_what_the_horizon_cuts_off_is_counted_and_said(tmp_path: Path) -> None:
    """A horizon that only some or none of the replications meet."""
    file = file_of(tmp_path, changed(("horizon: 90 day", "horizon: 12 day")))
    where = padtempo("where", file, *SHORT)
    assert (where.exit_code, where.stderr) == (0, "")
    assert flat(where.stdout).startswith(
        "In 6 of 6 replications every well on production is not reached by the horizon"
    )
    relax = padtempo("relax", file, *SHORT)
    assert relax.exit_code == 0
    assert "In 6 of 6 replications it is not reached by the horizon" in flat(relax.stdout)


@pytest.mark.parametrize("command", ["where", "relax"])
@pytest.mark.parametrize(
    ("options", "said"),
    [
        (("--milestone", "last production"), "did you mean 'first production'"),
        (("--milestone", "Curlew 3"), "or a well to be on production: Curlew 1, Curlew 2"),
        (("--alternative", "sequentail"), "did you mean 'sequential'"),
        (("--replications", "0"), "0 is not in the range"),
    ],
)
def test_bad_input_is_refused_in_plain_words(
    folder: Path, tmp_path: Path, command: str, options: tuple[str, ...], said: str
) -> None:
    """Exit code 2, nothing played, nothing written."""
    done = padtempo(command, str(folder / "pad.yaml"), *options, "--out", str(tmp_path / "none"))
    assert done.exit_code == 2
    assert said in flat(done.stderr)
    assert "Traceback" not in done.output
    assert not (tmp_path / "none").exists()


def test_user_adds_limits_of_his_own(folder: Path) -> None:
    """By path and by the name of an alternative; both stand in the table or among those without effect."""
    also = ("--also", "units.pumping_fleets.Fleet A.rig_up=1 h", "--also", "sequential")
    done = padtempo("relax", str(folder / "pad.yaml"), "--replications", "2", "--workers", "1", *also)
    assert done.exit_code == 0
    assert re.search(r"^units\.pumping_fleets\.Fleet A\.rig_up=1 h +\d", done.stdout, re.M)
    assert re.search(r"^sequential +", done.stdout, re.M)


@pytest.mark.parametrize(
    ("also", "said"),
    [
        ("water.storage.capacty=9 kbbl", "did you mean 'capacity'"),
        ("water.storage.capacity=1 bbl", "less than one stage"),
        ("sequentail", "did you mean 'sequential'"),
        ("nothing", "neither PATH=VALUE nor an alternative"),
    ],
)
def test_bad_change_is_refused_before_anything_is_played(folder: Path, tmp_path: Path, also: str, said: str) -> None:
    """The message names the option and what was typed."""
    done = padtempo("relax", str(folder / "pad.yaml"), "--also", also, "--out", str(tmp_path / "none"))
    assert done.exit_code == 2
    assert also in done.stderr
    assert said in flat(done.stderr)
    assert not (tmp_path / "none").exists()


def test_occupied_directory_is_refused(folder: Path) -> None:
    """As by every command that writes a run."""
    done = padtempo("relax", str(folder / "pad.yaml"), *SHORT, "--out", str(folder / "where"))
    assert done.exit_code == 2
    assert "is not empty" in done.stderr


def test_one_replication_says_no_more_than_it_can(tmp_path: Path) -> None:
    """No interval of a mean, no bounds, nothing more than chance."""
    file = file_of(tmp_path, PAD)
    where = padtempo("where", file, "--replications", "1", "--workers", "1")
    assert (where.exit_code, where.stderr) == (0, "")
    assert not re.search(r"\d ±", where.stdout)
    assert "too few replications" in flat(where.stdout)
    relax = padtempo("relax", file, "--replications", "1", "--workers", "1")
    assert (relax.exit_code, relax.stderr) == (0, "")
    assert " yes" not in block(relax.stdout, "Days gained").split("No difference")[0]
