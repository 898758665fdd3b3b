"""`padtempo report`: what is in the file, and that it loads nothing and makes nothing of names."""

from __future__ import annotations

import base64
import json
import re
import shutil
from pathlib import Path
from xml.etree import ElementTree

import pytest
from desk import CONVENTION, flat, forecast, padtempo
from reported import FORMULA, IMAGE, SCRIPT, TEX, parsed, words

from analysis.cautions import FULL
from analysis.runs.run_directory import read_manifest
from sim.scenario import defaults_used, load_stated

LOADING = ("src", "href", "srcset", "poster", "data", "action", "background")
ANCHORS = [
    "gantt", "chances", "strategies", "days", "supplies", "units", "money", "assumptions", "cautions", "again",
    "reading", "all",
]  # fmt: skip


@pytest.fixture(scope="module")
def text(reported: Path) -> str:
    """The report as it stands in its file."""
    return (reported / "report.html").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def page(text: str) -> ElementTree.Element:
    """The report as it is read."""
    return parsed(text)


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
