"""A plan as fields: every value that it states with what is expected there, section by section, and its wells."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from sim.scenario.defaults import DefaultUsed, defaults_used
from sim.scenario.document import Document, Node, Steps, plain, where
from sim.scenario.fields import AsWritten, choices, expected, follow, keys, meaning
from sim.scenario.merging import DURATIONS
from sim.scenario.scenario import Scenario
from sim.scenario.written import as_written

OWN = "plan"  # what stands at the top of the file, outside all sections
COLUMNS = (
    *("name", "rig_release", "stages", "measured_depth", "lateral_length", "toe"),
    *("stage_design.fluid", "stage_design.proppant", "stage_design.rate"),
)

Plain = dict[str, Any]


def sections_of(document: Document, scenario: Scenario | None, text: str) -> list[Plain]:
    """Every section that a plan may have but the wells: its fields, its own text, and what it leaves unsaid."""
    root = document.root
    unsaid = defaults_used(scenario) if scenario is not None else []
    found = [_section(OWN, "the plan itself", _own(root), [], unsaid, root)]
    for key, field in keys(AsWritten).items():
        if key == "wells" or (key in _scalars() and key not in ("weather",)):
            continue
        node = root.value.get(key)
        fields = [] if node is None else list(_fields(node, (key,), root))
        lines = [] if node is None else _lines(root, key, text)
        found.append(_section(key, meaning(field), fields, lines, unsaid, root))
    return found


def _scalars() -> set[str]:
    return {"title", "start", "horizon", "trouble_factor"}


def _own(root: Node) -> list[Plain]:
    return [
        _field((key,), root.value.get(key) or Node(None, root.place), root)
        for key in ("title", "start", "horizon", "trouble_factor")
    ]


def _section(
    key: str, said: str, fields: list[Plain], lines: list[int], unsaid: list[DefaultUsed], root: Node
) -> Plain:
    own = [_unsaid(each, root) for each in unsaid if _home(each.path) == key]
    return {"key": key, "title": words(key), "meaning": said, "fields": fields, "lines": lines, "unsaid": own}


def _home(path: str) -> str:
    first = path.partition(".")[0]
    return OWN if first in _scalars() else {"wells": "well_defaults"}.get(first, first)


def words(key: str) -> str:
    """A key as it would be said."""
    return key.replace("_", " ")


def _lines(root: Node, key: str, text: str) -> list[int]:
    """First line of a section, from 0, and the line after its last."""
    first = root.value[key].place.line - 1
    later = [node.place.line - 1 for node in root.value.values() if node.place.line - 1 > first]
    return [first, min(later, default=text.count("\n") + 1)]


def _fields(node: Node, steps: Steps, root: Node) -> Iterator[Plain]:
    """Every value below a node that is one by itself: a scalar, a duration, a list of such."""
    if isinstance(node.value, dict) and node.value and not DURATIONS & set(node.value):
        for key, child in node.value.items():
            yield from _fields(child, (*steps, key), root)
    elif isinstance(node.value, list) and any(_has_name(each) for each in node.value):
        for index, child in enumerate(node.value):
            yield from _fields(child, (*steps, index), root)
    else:
        yield _field(steps, node, root)


def _has_name(node: Node) -> bool:
    return isinstance(node.value, dict) and not DURATIONS & set(node.value)


def _field(steps: Steps, node: Node, root: Node) -> Plain:
    kind = follow(steps)
    return {
        "steps": list(steps),
        "where": where(steps, root),
        "group": where(steps[:-1], root).replace("_", " ").replace(".", " \N{MIDDLE DOT} "),
        "label": words(str(steps[-1])).replace(".", " \N{MIDDLE DOT} "),
        "value": "" if node.value is None else as_written(plain(node)),
        "expected": expected(kind),
        "choices": list(choices(kind)),
    }


def _unsaid(each: DefaultUsed, root: Node) -> Plain:
    steps = _steps_to(each.path, root)
    return {
        "where": each.path,
        "label": words(each.path.partition(".")[2] or each.path).replace("*", "each").replace(".", " \N{MIDDLE DOT} "),
        "value": each.value,
        "source": each.source,
        "meaning": each.description,
        "steps": steps,
        "expected": expected(follow(steps)) if steps else "",
    }


def _steps_to(path: str, root: Node) -> list[str | int]:
    """Where a default would be stated; nowhere in particular if it is one of several entries alike."""
    path = path.replace("wells.*.", "well_defaults.", 1) if path.startswith("wells.*.") else path
    steps: list[str | int] = []
    here: Node | None = root
    for step in path.split("."):
        if step == "*":
            return []
        if here is not None and isinstance(here.value, list):
            names = [entry.name for entry in here.value]
            if step not in names:
                return []
            steps.append(names.index(step))
        elif here is not None and here is not root and here.name == step and step not in here.value:
            continue
        else:
            steps.append(step)
        here = here.child(steps[-1]) if here is not None else None
    return steps


def wells_of(document: Document) -> Plain:
    """The wells as a table: a row each, a column for each value that any of them states, and what they share."""
    root = document.root
    wells, shared = root.value.get("wells"), root.value.get("well_defaults")
    if wells is None or not isinstance(wells.value, list):
        return {"columns": [], "rows": [], "table": ""}
    table = wells.place.file if wells.place.file != root.place.file else ""
    cells = [dict(_cells(well)) for well in wells.value]
    columns = [*COLUMNS, *dict.fromkeys(name for row in cells for name in row if name not in COLUMNS)]
    common = dict(_cells(shared)) if shared is not None else {}
    return {
        "columns": [_column(name, common) for name in columns],
        "rows": [
            {"where": where(("wells", number), root), "cells": [row.get(name, "") for name in columns]}
            for number, row in enumerate(cells)
        ],
        "table": table.replace("\\", "/").rpartition("/")[2],
    }


def _column(name: str, common: dict[str, str]) -> Plain:
    kind = follow(("wells", 0, *name.split(".")))
    return {
        "path": name,
        "label": words(name.rpartition(".")[2] if name in COLUMNS else name).replace(".", " \N{MIDDLE DOT} "),
        "shared": common.get(name, ""),
        "expected": expected(kind),
    }


def _cells(node: Node) -> Iterator[tuple[str, str]]:
    for field in _fields(node, (), node):
        if field["steps"]:
            yield ".".join(map(str, field["steps"])), field["value"]
