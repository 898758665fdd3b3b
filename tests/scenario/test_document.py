"""YAML as people write it: the values of YAML 1.2, the lines, and every way in which a file is none."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import ScenarioError
from sim.scenario.document import nearest, plain, where
from sim.scenario.yaml_text import read_yaml


def refused(folder: Path, text: str | bytes) -> list[str]:
    """What is said to a file called x.yaml with this text, whether or not it can be read."""
    file = folder / "x.yaml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    try:
        _, problems = read_yaml(file)
    except ScenarioError as error:
        problems = error.problems
    return [str(problem).removeprefix(f"{folder}/") for problem in problems]


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("no", "no"),
        ("on", "on"),
        ("12:30", "12:30"),
        ("06:00", "06:00"),
        ("010", 10),
        ("0o17", 15),
        ("0x1F", 31),
        ("+3", 3),
        ("1e3", 1000.0),
        (".5", 0.5),
        ("5.", 5.0),
        ("-.inf", float("-inf")),
        ("1_000", "1_000"),
        ("1.5.2", "1.5.2"),
        ("2027-03-01", "2027-03-01"),
        ("2027-03-01 06:00", "2027-03-01 06:00"),
        ("true", True),
        ("FALSE", False),
        ("yes", "yes"),
        ("~", None),
        ("null", None),
        ("", None),
        ("'12'", "12"),
        ('"true"', "true"),
        ("9" * 41, 1e41),
    ],
)
def test_values_follow_the_core_schema(tmp_path: Path, written: str, value: object) -> None:
    """YAML 1.2.2, section 10.3.2: a clock time and `no` are text, `010` is ten; quoted, everything is text."""
    file = tmp_path / "x.yaml"
    file.write_text(f"key: {written}\n")
    root, problems = read_yaml(file)
    assert plain(root) == {"key": value}
    assert problems == ()


def test_every_value_knows_its_line(tmp_path: Path) -> None:
    """A value in a mapping stands where its key does, an entry where it begins, a reference where it was written."""
    file = tmp_path / "x.yaml"
    file.write_text("a:\n  b:\n    - 1\n    - &two\n      c: 2\nd: *two\ne: |\n  text\n")
    root, _ = read_yaml(file)
    lines = {steps: nearest(root, steps).place.line for steps in [("a",), ("a", "b", 0), ("a", "b", 1, "c"), ("e",)]}
    assert lines == {("a",): 1, ("a", "b", 0): 3, ("a", "b", 1, "c"): 5, ("e",): 7}
    assert nearest(root, ("d", "c")).place == nearest(root, ("a", "b", 1, "c")).place


def test_entries_are_shown_by_name(tmp_path: Path) -> None:
    """Where an entry has a name it goes by it; otherwise it is counted from 1."""
    file = tmp_path / "x.yaml"
    file.write_text("wells: [{name: Heron 1, stages: 3}, {stages: 3}]\n")
    root, _ = read_yaml(file)
    assert where(("wells", 0, "stages"), root) == "wells.Heron 1.stages"
    assert where(("wells", 1, "stages"), root) == "wells[item 2].stages"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("", ["x.yaml:1: empty; expected a scenario: start, wells and units"]),
        ("# nothing\n\n", ["x.yaml:3: empty; expected a scenario: start, wells and units"]),
        (
            "- a\n- b\n",
            ["x.yaml:1: not a scenario; expected keys with values, such as start: 2027-03-01 (got [a, b])"],
        ),
        (
            "# a\njust text\n",
            ["x.yaml:2: not a scenario; expected keys with values, such as start: 2027-03-01 (got 'just text')"],
        ),
        ("a: 1\n---\nb: 2\n", ["x.yaml:2: a second document begins here; expected one scenario in a file"]),
        (b"a: 1\nb: caf\xe9\n", ["x.yaml:2: not UTF-8 text; expected a scenario file, saved as UTF-8"]),
        (b"a: 1\n\n\x00", ["x.yaml:3: not UTF-8 text; expected a scenario file, saved as UTF-8"]),
        ("a: 1\nb: \x07\n", ["x.yaml:2: a control character; expected plain text"]),
        ("a: !!str 3\n", ["x.yaml:1: a: a tag; expected a value without one (got 'tag:yaml.org,2002:str')"]),
        ("a: !run x\n", ["x.yaml:1: a: a tag; expected a value without one (got '!run')"]),
        ("%YAML 1.1\n---\na: no\n", ["x.yaml:2: a %YAML directive; expected YAML 1.2 without one"]),
        ("a: *x\n", ["x.yaml:1: a: refers to an anchor that does not stand above it (got '*x')"]),
        (
            "a: &x [*x]\n",
            ["x.yaml:1: a[item 1]: refers to an anchor that does not stand above it (got '*x')"],
        ),
        (
            "a: 1\nb:\n  12: 3\n",
            ["x.yaml:3: b: a key that is not text; expected text, or quotes around it (got 12)"],
        ),
        ("[a, b]: 3\n", ["x.yaml:1: a key that is not text; expected text, or quotes around it (got [a, b])"]),
        (
            "a: &x {b: 1}\nc: {<<: *x}\n",
            ["x.yaml:2: c: a merge, which YAML 1.2 does not have; expected well_defaults or alternatives (got '<<')"],
        ),
        (
            "a: 1\nb: {c: 1, c: 2}\na: 2\na: 3\n",
            [
                "x.yaml:2: b.c: stated twice, first in line 2; expected each key once",
                "x.yaml:3: a: stated twice, first in line 1; expected each key once",
                "x.yaml:4: a: stated twice, first in line 1; expected each key once",
            ],
        ),
        ("a: " + "[" * 100, ["x.yaml:1: a[item 1]: nested more than 60 levels deep; a scenario needs about nine"]),
        ("- " * 5000, ["x.yaml:1: [item 1][item 1]: nested more than 60 levels deep; a scenario needs about nine"]),
    ],
)
def test_what_is_no_scenario_file(tmp_path: Path, text: str | bytes, lines: list[str]) -> None:
    """Each kind of unreadable file is refused in one plain line with its place; all repeated keys at once."""
    assert refused(tmp_path, text) == lines


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a: b: c\n", "1: a ':' that fits nowhere; check the indentation, quote text with ': '"),
        ("a: 1\n  b: 2\n", "2: a ':' that fits nowhere; check the indentation, quote text with ': '"),
        ("a:\n\t- b\n", "2: a tab; expected spaces for indentation"),
        ("a: 1\nb: @x\n", "2: a value cannot begin with this sign; expected quotes around the text"),
        ("a: 1\nb:2\nc: 3\n", "2: expected 'key: value', with a space after the colon"),
        ("a: 1\nb: 'x\nc: 3\n", "2: a quote that is never closed"),
        ("a: 1\nb: [1, 2\nc: 3\n", "2: a list that is not closed, or lacks a comma; expected ',' or ']'"),
        ("a: 1\nb: {c: 1\nd: 3\n", "2: a mapping that is not closed, or lacks a comma; expected ',' or '}'"),
        ("a:\n  - b\n c: 3\n", "3: indentation that does not fit the lines above"),
        ("a: - b\n", "1: a '-' that fits nowhere; expected a line for each entry of a list"),
        ('a: "\\q"\n', "1: a backslash that means nothing; expected '\\\\' or single quotes"),
        ('a: "\\UFFFFFFFF"\n', "1: an escape that stands for no character; expected plain text"),
        ("a: |x\n", "1: text behind a '|' or '>'; expected quotes around the value"),
        ("a: *\n", "1: a '*' or '&' without a name; expected quotes around the value"),
        ("a: [,]\n", "1: expected a value, such as a number, text, [a list] or {key: value}"),
    ],
)
def test_slips_of_punctuation_are_said_plainly(tmp_path: Path, text: str, line: str) -> None:
    """A slip is placed in the line where it was made, not where the reader noticed."""
    assert refused(tmp_path, text) == [f"x.yaml:{line}"]


def test_references_may_not_unfold_into_millions(tmp_path: Path) -> None:
    """Forty lines that each double the one above would be a trillion values: refused in no time."""
    text = "a0: &a0 [x, x]\n" + "".join(f"a{i}: &a{i} [*a{i - 1}, *a{i - 1}]\n" for i in range(1, 40))
    assert refused(tmp_path, text) == ["x.yaml:16: a15[item 2]: more than 200,000 values with all references unfolded"]


def test_references_may_not_nest_without_end(tmp_path: Path) -> None:
    """A chain of references is as deep as what it unfolds to."""
    text = "a0: &a0 [x]\n" + "".join(f"a{i}: &a{i} [*a{i - 1}]\n" for i in range(1, 400))
    assert refused(tmp_path, text) == [
        "x.yaml:60: a59[item 1]: nested more than 60 levels deep; a scenario needs about nine"
    ]


def test_a_file_has_a_largest_size(tmp_path: Path) -> None:
    """What is far too large for a scenario is not even read."""
    assert refused(tmp_path, "a: 1\n" + "#" * 2_000_000) == ["x.yaml:1: larger than 2 MB; expected a scenario file"]


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("gone.yaml", "gone.yaml: no such file; expected a scenario file"),
        (".", ": a folder; expected a scenario file"),
        ("x" * 300, "x" * 300 + ": cannot be read (File name too long); expected a scenario file"),
        ("a\0b", "a\0b: cannot be read (embedded null byte); expected a scenario file"),
    ],
)
def test_no_file_at_all(tmp_path: Path, name: str, message: str) -> None:
    """A file that cannot be read is a problem without a line, never a traceback."""
    with pytest.raises(ScenarioError) as error:
        read_yaml(tmp_path / name)
    assert str(error.value).removeprefix(str(tmp_path)).removeprefix("/") == message
