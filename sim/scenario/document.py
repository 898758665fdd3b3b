"""A scenario as written: its values, each with the place where it stands.

The tree of nodes is never changed, only rebuilt, so that merged and patched scenarios share what they have in
common, and every value keeps its place wherever it ends up.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.written import shortened, shown

Steps = tuple[str | int, ...]

DEEPEST = 60  # levels of nesting; a scenario needs nine


class Place(NamedTuple):
    """Where a value stands: file, line (0: none in particular), and the steps to it inside that file."""

    file: str
    line: int
    steps: Steps = ()


class Node(NamedTuple):
    """A value and its place. `value` is a scalar, a dict of nodes by key, or a list of nodes."""

    value: Any
    place: Place

    def child(self, step: str | int) -> Node | None:
        """What stands one step further, if anything.

        Where one entry may stand for a list of one, its first entry is the entry itself.
        """
        if isinstance(self.value, dict):
            return self if step == 0 else self.value.get(step)
        if isinstance(self.value, list) and isinstance(step, int) and step < len(self.value):
            entry: Node = self.value[step]
            return entry
        return None

    @property
    def name(self) -> str | None:
        """What the entry calls itself."""
        name = self.value.get("name") if isinstance(self.value, dict) else None
        return str(name.value) if name is not None and type(name.value) in (str, int) else None


@dataclass(frozen=True)
class Document:
    """A scenario as written, with what was found wrong while reading it; `folder` is where its tables lie.

    `confined` keeps its tables inside that folder: for plans that come from somebody else.
    """

    root: Node
    folder: Path | None = None
    problems: tuple[Problem, ...] = ()
    confined: bool = False

    def beside(self, name: str, stated: Node) -> Path:
        """The path of a table that stands beside the scenario. Raises ScenarioError where it may not be read."""
        path = (self.folder or Path()) / name
        if self.confined and not _is_inside(path, self.folder or Path()):
            message = "a table outside the folder of the plan; expected one beside it"
            raise ScenarioError([problem_at(stated.place, message, shown(name))])
        return path


def _is_inside(path: Path, folder: Path) -> bool:
    try:
        return path.resolve().is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):
        return False


def plain(node: Node) -> Any:
    """The values alone."""
    if isinstance(node.value, dict):
        return {key: plain(child) for key, child in node.value.items()}
    if isinstance(node.value, list):
        return [plain(child) for child in node.value]
    return node.value


def node_of(value: object, place: Place) -> Node:
    """Plain data as nodes, each placed at its own steps beyond `place`; dates become text."""
    if len(place.steps) > DEEPEST:
        raise ScenarioError([problem_at(place, f"nested more than {DEEPEST} levels deep")])
    if isinstance(value, dict):
        return Node({_text_key(key, place): _beyond(place, key, entry) for key, entry in value.items()}, place)
    if isinstance(value, (list, tuple)):
        return Node([_beyond(place, index, entry) for index, entry in enumerate(value)], place)
    return Node(value.isoformat() if isinstance(value, date) else value, place)


def _beyond(place: Place, step: Any, value: object) -> Node:
    return node_of(value, place._replace(steps=(*place.steps, step)))


def _text_key(key: object, place: Place) -> str:
    if not isinstance(key, str):
        raise ScenarioError([problem_at(place, "a key that is not text", shown(key))])
    return key


def nearest(root: Node, steps: Steps) -> Node:
    """The node that `steps` lead to, or the last one on the way there.

    Steps that are not in the document are passed over: they are names of the kind of value, or defaults.
    """
    node = root
    for step in steps:
        node = node.child(step) or node
    return node


def where(steps: Steps, root: Node | None = None) -> str:
    """Steps as a user reads them: `wells.Heron 1.stages`, with entries by name as in a patch."""
    text, node = "", root
    for step in steps:
        node = node.child(step) if node is not None else None
        if isinstance(step, int):
            name = node.name if node is not None else None
            text += f".{shortened(name)}" if name else f"[item {step + 1}]"
        else:
            text += f".{shortened(step)}"
    return text.removeprefix(".")


def problem_at(place: Place, message: str, value: str | None = None, root: Node | None = None) -> Problem:
    """A problem at a place; names of entries are looked up in `root`."""
    return Problem(place.file, place.line, where(place.steps, root), message, value)
