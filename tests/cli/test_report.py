"""`padtempo report`: what is in the file, what it loads, and what an unfinished run is said to lack."""

from __future__ import annotations

import base64
import json
import re
import shutil
from collections import defaultdict
from pathlib import Path
from xml.etree import ElementTree

import html5lib
import pytest
from desk import CONVENTION, assert_readable, changed, file_of, flat, forecast, padtempo
from reported import FORMULA, IMAGE, PLAIN, SCRIPT, TEX, make_run

from analysis.cautions import FULL
from analysis.finished_run import read_run
from analysis.run_directory import read_manifest
from sim.scenario import defaults_used, load_stated

LOADING = ("src", "href", "srcset", "poster", "data", "action", "background")
ANCHORS = [
    "gantt", "chances", "strategies", "days", "supplies", "units", "money", "assumptions", "cautions", "again",
    "reading", "all",
]  # fmt: skip


def parsed(text: str) -> ElementTree.Element:
    """The page as a browser reads it; anything that a browser would have to mend is an error."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def words(element: ElementTree.Element) -> str:
    """All that is written in an element, but for scripts and styles."""
    hidden = {"script", "style", "noscript"}

    def inside(each: ElementTree.Element) -> str:
        own = "" if each.tag in hidden else (each.text or "") + "".join(inside(child) for child in each)
        return f"{own} {each.tail or ''}"

    return flat(inside(element))


@pytest.fixture(scope="module")
def text(reported: Path) -> str:
    """The report as it stands in its file."""
    return (reported / "report.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def page(text: str) -> ElementTree.Element:
    """The report as it is read."""
    return parsed(text)


@pytest.fixture
def undrawn_report(monkeypatch: pytest.MonkeyPatch) -> None:
    """Reports without the pictures that print, which take most of the time."""
    monkeypatch.setattr("analysis.report.page.pictures_of", lambda *_: defaultdict(lambda: "data:,"))


def test_sections_in_the_order_of_a_readers_questions(page: ElementTree.Element) -> None:
    """First the answer, then what it rests on; every section is named in the list of contents."""
    assert [each.get("id") for each in page.findall("body/main/section") if each.get("id")] == ANCHORS
    assert [each.get("href") for each in page.iter("a")] == [f"#{anchor}" for anchor in ANCHORS]


def test_first_screen_answers(page: ElementTree.Element, reported: Path) -> None:
    """Dates with P50, P90 and intervals, cost, a recommendation, the largest loss, and the convention."""
    summary = json.loads((reported / "summary.json").read_text(encoding="utf-8"))
    tiles = {each.get("class", "").split()[1]: words(each) for each in page.find("body/header/div") or []}
    assert list(tiles) == ["first", "last", "cost", "strategy", "risk"]
    late = summary["pad"]["Every well on production"]["P90"]["date"]
    assert f" {int(late[8:10])} Mar with 90 % confidence (P90) [" in tiles["last"]
    assert "P50: " in tiles["first"]
    assert "USD at most, with 90 % confidence (P90)" in tiles["cost"]
    assert re.search(r"Change to|Keep the plan as stated|Undecided", tiles["strategy"])
    assert re.search(r"(waiting|trouble): .* of \d+\.\d days to the last well", tiles["risk"])
    assert CONVENTION in words(page.find("body/header"))  # type: ignore[arg-type]


def test_sentences_are_those_of_the_forecast(page: ElementTree.Element, reported: Path) -> None:
    """One wording for terminal, summary and report."""
    summary = json.loads((reported / "summary.json").read_text(encoding="utf-8"))
    told = words(page)
    for sentence in (*summary["answer"], *summary["money_answer"]):
        assert flat(sentence) in told


def test_every_assumption_and_caution_is_told(page: ElementTree.Element, reported: Path) -> None:
    """All defaults with value and source; the cautions in full; seed, hash and what to type."""
    told, manifest = words(page), read_manifest(reported)
    for used in defaults_used(load_stated(manifest["scenario"])):
        assert flat(f"{used.path} {used.value} {used.description} {used.source}") in told
    assert all(flat(caution) in told for caution in FULL)
    assert manifest["scenario_hash"] in told
    assert "padtempo forecast FILE --seed 0 --replications 8 --out DIR" in told


def test_scenario_of_the_manifest_can_be_played(reported: Path, tmp_path: Path) -> None:
    """As the report says: saved as a file of its own it is the same plan."""
    file = tmp_path / "again.yaml"
    file.write_text(json.dumps(read_manifest(reported)["scenario"]), encoding="utf-8")
    done = forecast(str(file))
    assert (done.exit_code, done.stderr) == (0, "")
    summary = json.loads((reported / "summary.json").read_text(encoding="utf-8"))
    assert flat(summary["answer"][0]) in flat(done.stdout)


def test_names_are_text(page: ElementTree.Element, text: str) -> None:
    """What looks like a script, a picture or a formula is shown as it was typed, and there is no element of it."""
    told = words(page)
    for name in (SCRIPT, FORMULA, IMAGE, TEX, "</script><i>one by one", "Curlew & <b>Flat</b>"):
        assert name in told
    assert not page.findall(".//i")
    assert not page.findall(".//b")
    assert len(page.findall(".//script")) == 4
    assert {each.get("src", "")[:5] for each in page.iter("img")} == {"data:"}
    assert "<img src=x" not in re.sub(r"<script.*?</script>", "", text, flags=re.DOTALL)


def test_nothing_is_loaded(page: ElementTree.Element) -> None:
    """Addresses lead into the page itself or hold their content; styles name none."""
    for element in page.iter():
        for name in LOADING:
            assert element.get(name, "#")[:5] in {"data:", *(f"#{anchor}"[:5] for anchor in ANCHORS), "#"}
    styles = "".join(style.text or "" for style in page.iter("style"))
    assert "url(" not in styles
    assert "@import" not in styles


def test_pictures_that_print_are_drawings(page: ElementTree.Element) -> None:
    """Every one is whole SVG that names nothing outside itself, and has words for those who cannot see it."""
    pictures = list(page.iter("img"))
    assert len(pictures) >= 7
    for each in pictures:
        drawing = base64.b64decode(each.get("src", "").removeprefix("data:image/svg+xml;base64,"))
        assert not re.search(rb'href="(?!#)', drawing)
        assert ElementTree.fromstring(drawing).tag.endswith("svg")
        assert len(each.get("alt", "")) > 10


def test_a_sentence_stands_above_every_picture(page: ElementTree.Element) -> None:
    """It says what the picture shows."""
    for figure in page.iter("figure"):
        assert figure[0].tag == "figcaption"
        assert len(words(figure[0])) > 60


def test_tables_have_headings(page: ElementTree.Element) -> None:
    """As many headings as cells in every row, so that a screen reader can say which is which."""
    for table in page.iter("table"):
        headings = len(table.findall("thead/tr/th"))
        assert headings >= 2
        assert {len(row) for row in table.findall("tbody/tr")} == {headings}


@pytest.mark.usefixtures("undrawn_report")
def test_equal_runs_leave_equal_reports(reported: Path, tmp_path: Path) -> None:
    """Made twice in one process, from one worker or two; no clock and no count of what was drawn before."""
    texts = []
    for workers in ("1", "2"):
        folder = tmp_path / workers
        shutil.copytree(reported, folder)
        done = padtempo("report", str(folder), "--overwrite", "--workers", workers, "--replications", "4")
        assert (done.exit_code, done.stderr) == (0, "")
        texts.append((folder / "report.html").read_bytes())
    assert texts[0] == texts[1]


def test_earlier_report_is_kept(reported: Path) -> None:
    """Unless it is to be replaced."""
    before = (reported / "report.html").read_bytes()
    done = padtempo("report", str(reported))
    assert done.exit_code == 2
    assert "report.html: exists already; add --overwrite" in done.stderr
    assert (reported / "report.html").read_bytes() == before


def test_no_directory_no_run(tmp_path: Path) -> None:
    """Neither is a traceback."""
    for folder in (tmp_path / "nowhere", tmp_path):
        done = padtempo("report", str(folder))
        assert done.exit_code == 2
        assert "holds no run" in done.stderr


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
