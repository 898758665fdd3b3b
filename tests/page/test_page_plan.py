"""The plan on the page: values as fields, changes that leave the file alone, drafts, the command line's words."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from opened import PAD

from analysis.page import studies
from analysis.page.edits import Edit, edited
from analysis.page.folder import Folder, NotAllowedError
from analysis.page.form import sections_of, wells_of
from analysis.page.jobs import Job
from analysis.page.local_edits import edited_locally
from analysis.page.plan import Readings, changed_text, shown_plan
from sim.scenario import ScenarioError, load, read
from sim.scenario.document import plain

SCENARIOS = Path(__file__).parents[2] / "scenarios"
EXAMPLES = sorted(SCENARIOS.glob("*.yaml"))


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    """A folder with one plan."""
    (tmp_path / "pad.yaml").write_text(PAD, encoding="utf-8")
    return Folder(tmp_path)


def changed_lines(before: str, after: str) -> list[str]:
    """Lines of the second text that are not in the first."""
    return [line for line in after.splitlines() if line not in before.splitlines()]


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_every_value_of_the_examples_can_be_typed_again_as_shown(file: Path) -> None:
    """What a field shows is what it takes: the plan stays the same plan, and its remarks stay."""
    text = file.read_text(encoding="utf-8")
    document = read(file)
    fields = [field for section in sections_of(document, load(file), text) for field in section["fields"]]
    again = edited(text, [Edit(tuple(field["steps"]), field["value"]) for field in fields if field["value"]])
    assert load(file, text=again) == load(file)
    assert again.count("#") == text.count("#")
    assert len(fields) > 20


def test_a_change_touches_its_own_line_alone() -> None:
    """Remarks, order and spacing of all others stay to the letter."""
    after = edited(PAD, [Edit(("water", "sources", 0, "rate"), "30 kbbl/day")])
    assert changed_lines(PAD, after) == ["  sources: [{name: River, rate: 30 kbbl/day}]"]
    assert after.count("\n") == PAD.count("\n")


ODD = """\
title: Curlew Flat      # set in its own way
wells:
- name:   Curlew 1      # the first
  stages: 5
  flowback_water: {every:   1 day,
    note: 'two lines'}

# before the second
- {name: "Curlew 2", stages: &most 7}
water:
    storage: {capacity:  40 kbbl}   # indented by four
    sources:
    - rate: 50 kbbl/day
shared: {stages: *most}
"""


def local(text: str, *edits: Edit) -> str:
    """The text with edits made where they fall."""
    return edited_locally(text, edits, lambda each: read(Path("pad.yaml"), text=each))


def test_lines_that_no_edit_touches_stay_to_the_letter() -> None:
    """However they are set: indents, spaces, quotes, values over several lines."""
    edits = [Edit(("wells", 0, "stages"), "6"), Edit(("water", "storage", "capacity"), "60 kbbl")]
    after = local(ODD, *edits)
    assert changed_lines(ODD, after) == [
        "- name: Curlew 1        # the first",
        "  stages: 6",
        "  flowback_water: {every: 1 day, note: 'two lines'}",
        "    storage: {capacity: 60 kbbl}    # indented by four",
    ]
    assert plain(read(Path("p"), text=after).root) == plain(read(Path("p"), text=edited(ODD, edits)).root)


def test_a_value_that_others_refer_to_is_changed_with_care() -> None:
    """By itself its lines would lose the anchor, and with it what refers to it: then the whole plan is gone through."""
    after = local(ODD, Edit(("wells", 1, "name"), "Curlew 9"))
    assert plain(read(Path("p"), text=after).root)["shared"] == {"stages": 7}
    assert "Curlew 9" in after


@pytest.mark.parametrize(
    "edits",
    [
        [Edit(("wells", 2, "name"), "New")],
        [Edit(("wells", 0), remove=True)],
        [Edit(("proppant", "rate"), "5 t/h")],
        [Edit(("wells", 1, "stages"), ""), Edit(("title",), "Other")],
        [Edit(("water",), remove=True)],
    ],
)
def test_a_local_change_reads_as_one_that_goes_through_everything(edits: list[Edit]) -> None:
    """New wells, wells taken away, new sections: whichever way they are made."""
    assert plain(read(Path("p"), text=local(PAD, *edits)).root) == plain(read(Path("p"), text=edited(PAD, edits)).root)


def test_a_large_plan_is_answered_before_all_is_looked_at(folder: Folder, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its own mistakes at once, those of its alternatives when it is asked for; nothing is said that is not known."""
    from analysis.page import desk as desks

    monkeypatch.setattr(desks, "AT_ONCE", 0)
    desk = desks.Desk(folder.root)
    try:
        change = {"steps": ["alternatives", "sequential", "strategy.wells_in_rotation"], "text": "9"}
        first = desk.change("pad.yaml", {"version": desk.plan("pad.yaml")["version"], "edits": [change]})
        assert (first["checked"], first["problems"], "averages" in first) == (False, [], False)
        whole = desk.plan("pad.yaml")
        assert whole["checked"]
        assert whole["problems"][0]["where"] == "alternatives.sequential.strategy.wells_in_rotation"
        change = {"steps": ["wells", 0, "stages"], "text": "many"}
        assert desk.change("pad.yaml", {"version": whole["version"], "edits": [change]})["problems"]
    finally:
        desk.close()


def test_a_table_that_was_changed_beside_the_page_is_read_anew(folder: Folder) -> None:
    """The plan's own text is still the same."""
    from analysis.page.desk import Desk

    table = folder.root / "wells.csv"
    text = PAD[: PAD.index("wells:")] + "wells: wells.csv\n" + PAD[PAD.index("units:") :]
    folder.path("pad.yaml").write_text(text, encoding="utf-8")
    table.write_text("name\nA\nB\n")
    desk = Desk(folder.root)
    try:
        assert len(desk.plan("pad.yaml")["wells"]["rows"]) == 2
        table.write_text("name\nA\nB\nC\n")
        os.utime(table, (1, 1))
        assert len(desk.plan("pad.yaml")["wells"]["rows"]) == 3
    finally:
        desk.close()


def test_wells_are_added_taken_away_and_changed(tmp_path: Path) -> None:
    """As cells of a sheet: a row below the last is a new well, a blank cell states nothing."""
    edits = [
        Edit(("wells", 2, "name"), "Curlew 3"),
        Edit(("wells", 2, "stage_design", "fluid"), "8000 bbl"),
        Edit(("wells", 1, "rig_release"), ""),
        Edit(("wells", 0), remove=True),
    ]
    (tmp_path / "pad.yaml").write_text(edited(PAD, edits), encoding="utf-8")
    first, second = load(tmp_path / "pad.yaml").wells
    assert (first.name, first.rig_release, second.name) == ("Curlew 2", None, "Curlew 3")
    rows = wells_of(read(tmp_path / "pad.yaml"))["rows"]
    assert [row["cells"][0] for row in rows] == ["Curlew 2", "Curlew 3"]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("50", 50),
        ("Pad #3", "Pad #3"),
        ("9000 bbl", "9000 bbl"),
        ("{pert: [1 h, 2 h, 3 h]}", {"pert": ["1 h", "2 h", "3 h"]}),
    ],
)
def test_what_is_typed_is_read_as_in_a_file(text: str, value: object, tmp_path: Path) -> None:
    """Numbers are numbers, and a sign that begins a remark is text where a value is typed."""
    file = tmp_path / "pad.yaml"
    file.write_text(edited(PAD, [Edit(("title",), text)]), encoding="utf-8")
    assert plain(read(file).root)["title"] == value


@pytest.mark.parametrize("text", ["[", "a: b", "x: {", "'open", "&a *a", "value\nwells: []"])
def test_what_is_no_value_is_refused_and_changes_nothing(text: str, folder: Folder) -> None:
    """It cannot become a second key either."""
    version = folder.read("pad.yaml").version
    try:
        now = changed_text(folder, "pad.yaml", version, {"edits": [{"steps": ["title"], "text": text}]}, Readings())
    except ScenarioError:
        assert folder.read("pad.yaml").version == version
    else:
        assert len(read(folder.path("pad.yaml"), text=now.text).root.value["wells"].value) == 2


def test_mistakes_are_told_in_the_command_lines_words(folder: Folder) -> None:
    """Beside the field: each knows the place that the field is named by."""
    version = folder.read("pad.yaml").version
    edits = [
        {"steps": ["water", "sources", 0, "rate"], "text": "30 kbl/day"},
        {"steps": ["wells", 1, "stages"], "text": "many"},
    ]
    text = changed_text(folder, "pad.yaml", version, {"edits": edits}, Readings())
    shown = shown_plan(folder, "pad.yaml", text, Readings())
    with pytest.raises(ScenarioError) as refused:
        load(folder.path("pad.yaml"), text=text.text)
    printed = [str(problem._replace(file="pad.yaml")) for problem in refused.value.problems]
    assert [each["text"] for each in shown["problems"]] == printed
    fields = {field["where"] for section in shown["sections"] for field in section["fields"]}
    cells = {
        f"{row['where']}.{column['path']}" for row in shown["wells"]["rows"] for column in shown["wells"]["columns"]
    }
    assert {each["where"] for each in shown["problems"]} <= fields | cells


def test_an_unsaved_change_is_a_draft_and_the_file_stays(folder: Folder) -> None:
    """A new start of the page finds it; saving makes it the file, and going back forgets it."""
    text = changed_text(folder, "pad.yaml", folder.read("pad.yaml").version, {"text": PAD + "# more\n"}, Readings())
    assert (text.saved, folder.path("pad.yaml").read_text(encoding="utf-8")) == (False, PAD)
    again = Folder(folder.root)
    assert (again.read("pad.yaml").text, again.read("pad.yaml").saved) == (PAD + "# more\n", False)
    assert again.discard("pad.yaml") == (PAD, True)
    again.keep("pad.yaml", PAD + "# more\n")
    assert again.save("pad.yaml").saved
    assert folder.path("pad.yaml").read_text(encoding="utf-8") == PAD + "# more\n"
    assert folder.plans() == ["pad.yaml"]


def test_two_tabs_cannot_undo_each_other(folder: Folder) -> None:
    """A change made to what is no longer there is refused."""
    version = folder.read("pad.yaml").version
    changed_text(folder, "pad.yaml", version, {"text": PAD + "# one\n"}, Readings())
    with pytest.raises(NotAllowedError, match="changed elsewhere"):
        changed_text(folder, "pad.yaml", version, {"text": PAD + "# two\n"}, Readings())
    assert folder.read("pad.yaml").text.endswith("# one\n")


@pytest.mark.parametrize("text", ["", "wells: [", "- a\n- b\n", "\t", "a: 1\na: 2\n", "wells: 5"])
def test_text_that_is_no_plan_is_shown_with_what_is_wrong(folder: Folder, text: str) -> None:
    """Never an error of the program."""
    readings = Readings()
    changed = changed_text(folder, "pad.yaml", folder.read("pad.yaml").version, {"text": text}, readings)
    shown = shown_plan(folder, "pad.yaml", changed, readings)
    assert shown["problems"]
    assert shown["text"] == text


@pytest.mark.parametrize("raw", [b"\xff\xfe\x00", b"title: \x00", b"x" * 2_000_001])
def test_an_upload_that_is_no_text_is_refused(folder: Folder, raw: bytes) -> None:
    """And leaves nothing."""
    with pytest.raises(NotAllowedError):
        folder.add("new.yaml", raw)
    assert folder.plans() == ["pad.yaml"]


def test_alternatives_of_another_start_are_drawn_by_the_calendar(
    folder: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An hour zero four days earlier moves no date here: both curves lie on one another."""
    monkeypatch.setattr(studies, "_workers", lambda: 1)
    text = f"{PAD}  early: {{start: 2027-02-25 06:00}}\n"
    path = tmp_path / "kept" / "answer.json"
    job = Job("compare", "compare", 4, lambda _: None)
    studies._set_side_by_side(tmp_path / "pad.yaml", text, 4, ["early"], path, job)
    curves = json.loads(path.read_text(encoding="utf-8"))["curves"]
    assert [hours for hours, _ in curves["early"]] == pytest.approx([hours for hours, _ in curves["base plan"]], abs=24)
