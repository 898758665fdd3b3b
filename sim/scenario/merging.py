"""What is stated once for all wells, laid under each of them.

Sections are merged key by key. A duration is one value, whatever its form, and is replaced as a whole: half of one
distribution and half of another would be neither. What can be said in two ways, such as the number of stages, is one
value too: said the other way it replaces what is shared.
"""

from __future__ import annotations

from dataclasses import replace

from sim.scenario.document import Document, Node, problem_at
from sim.scenario.problems import Problem
from sim.scenario.stated_shapes import SHAPE_NAMES

DURATIONS = {*SHAPE_NAMES.split(", "), "from_design", "by_stage", "mean", "cv", "P10", "P90"}
_TWO_WAYS = (
    ("stages", "stage_length"),
    ("fluid", "fluid_per_length"),
    ("proppant", "proppant_per_length"),
    ("chance", "every"),
)  # to say one thing
_REPLACED_BY = {one: other for way in _TWO_WAYS for one, other in (way, way[::-1])} | {"pad": "fluid"}
"""Key -> key that says the same otherwise; a pad counts only on top of fluid by the foot."""


def merged(document: Document) -> Document:
    """The document without `well_defaults`, which are now in its wells, each still placed where it was written."""
    entries = document.root.value
    defaults, wells = entries.get("well_defaults"), entries.get("wells")
    rest = {key: node for key, node in entries.items() if key != "well_defaults"}
    if defaults is not None and wells is not None and isinstance(wells.value, list):
        shared = _without_name(defaults)
        rest["wells"] = Node([laid_over(shared, well) for well in wells.value], wells.place)
    return replace(
        document,
        root=Node(rest, document.root.place),
        problems=(*document.problems, *_faults_of_defaults(defaults)),
    )


def _without_name(defaults: Node) -> Node:
    if not isinstance(defaults.value, dict):
        return Node({}, defaults.place)
    return Node({key: node for key, node in defaults.value.items() if key != "name"}, defaults.place)


def _faults_of_defaults(defaults: Node | None) -> tuple[Problem, ...]:
    if defaults is None or defaults.value is None:
        return ()
    if not isinstance(defaults.value, dict):
        return (problem_at(defaults.place, "expected keys with values, as in a well"),)
    name = defaults.value.get("name")
    return () if name is None else (problem_at(name.place, "cannot be shared; expected a name in each well"),)


def laid_over(under: Node, over: Node) -> Node:
    """`over`, and from `under` what it leaves unstated."""
    if not (is_section(under) and is_section(over)):
        return over
    kept = {key: node for key, node in under.value.items() if not _is_said(over, _REPLACED_BY.get(key))}
    for key, node in over.value.items():
        kept[key] = laid_over(opened(key, kept[key]), opened(key, node)) if key in kept else node
    return Node(kept, over.place)


def with_entry(section: Node, key: str, entry: Node) -> Node:
    """The section with `entry` under `key`, and without what would say the same thing otherwise."""
    changed = Node({key: entry}, section.place)
    kept = {each: node for each, node in section.value.items() if not _is_said(changed, _REPLACED_BY.get(each))}
    return Node({**kept, key: entry}, section.place)


def _is_said(section: Node, key: str | None) -> bool:
    """Whether the key stands there with a value; `fluid: null` says nothing of the fluid."""
    return key in section.value and section.value[key].value is not None


def is_section(node: Node) -> bool:
    """Whether the node has keys of its own, and is not a duration in one of its forms."""
    return isinstance(node.value, dict) and not DURATIONS & set(node.value)


def opened(key: str, node: Node) -> Node:
    """`toe: wet shoe` spelled out as `toe: {method: wet shoe}`, so that more can be said of it, and its like."""
    if node.value == "from design":
        return Node({"from_design": Node({}, node.place)}, node.place)
    if key == "toe" and isinstance(node.value, str):
        return Node({"method": node}, node.place)
    return node
