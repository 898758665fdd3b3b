"""Single values written outside a file, and changes to a document one after the other."""

from __future__ import annotations

from typing import Any

import pytest

from sim.scenario import Place, ScenarioError, changed, stated
from sim.scenario.document import Document, node_of
from sim.scenario.yaml_text import read_value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("120 kbbl", "120 kbbl"),
        ("4", 4),
        ("null", None),
        ("{triangular: [1 h, 2 h, 3 h]}", {"triangular": ["1 h", "2 h", "3 h"]}),
        ("[A, B]", ["A", "B"]),
        ("'1 % of it'", "1 % of it"),
    ],
)
def test_value_is_read_as_in_a_file(text: str, value: Any) -> None:
    """Text, numbers, nothing, sections and lists."""
    assert read_value(text, "here") == value


@pytest.mark.parametrize("text", ["{a: ", "3\nother: 4", "a: b: c", "*missing"])
def test_what_is_no_single_value_is_refused(text: str) -> None:
    """With the place where it was written."""
    with pytest.raises(ScenarioError, match="here"):
        read_value(text, "here")


def test_changes_are_made_one_after_the_other() -> None:
    """Taking a section away first makes the next change replace it instead of being merged into it."""
    document = Document(node_of({"troubles": {"misrun": {}, "stuck bit": {}}}, Place("plan", 0)))
    place = Place("here", 0)
    merged = changed(document, [("troubles", {"screen-out": {}})], place)
    assert set(stated(merged)["troubles"]) == {"misrun", "stuck bit", "screen-out"}
    replaced = changed(document, [("troubles", None), ("troubles", {"screen-out": {}})], place)
    assert set(stated(replaced)["troubles"]) == {"screen-out"}


def test_change_that_leads_nowhere_names_its_place() -> None:
    """As a patch in a file would."""
    document = Document(node_of({"start": "2027-03-01"}, Place("plan", 0)))
    with pytest.raises(ScenarioError, match=r"here: .*did you mean 'start'"):
        changed(document, [("strat", "2027-03-02")], Place("here", 0))
