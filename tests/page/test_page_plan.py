"""The plan on the page: values as fields, changes that leave the file alone, drafts, the command line's words."""

from __future__ import annotations

from pathlib import Path

import pytest
from opened import PAD

from analysis.page.edits import Edit, edited
from analysis.page.folder import Folder, NotAllowedError
from analysis.page.form import sections_of, wells_of
from analysis.page.plan import Readings, changed_text, shown_plan
from sim.scenario import ScenarioError, load, read

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
    from sim.scenario.document import plain

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
