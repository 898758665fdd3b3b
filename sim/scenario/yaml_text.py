"""YAML 1.2 into nodes: plain values, each with its line; what a plan has no use for is refused.

Values follow the core schema of YAML 1.2.2, section 10.3: `no` and `12:30` are text, `010` is ten.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from sim.scenario.document import DEEPEST, Node, Place, Steps, plain, problem_at
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.text_file import read_text
from sim.scenario.written import shown
from sim.scenario.yaml_syntax import syntax_problem

MOST_MEGABYTES = 2
MOST_VALUES = 200_000  # a guard against references that unfold into millions
_UNSAID = object()

_CONSTANTS = {
    "": None,
    "~": None,
    "null": None,
    "Null": None,
    "NULL": None,
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
}
_NUMBERS: tuple[tuple[re.Pattern[str], Callable[[str], int | float]], ...] = (
    (re.compile(r"[-+]?[0-9]{1,40}"), int),
    (re.compile(r"0o[0-7]{1,40}"), lambda text: int(text[2:], 8)),
    (re.compile(r"0x[0-9a-fA-F]{1,40}"), lambda text: int(text[2:], 16)),
    (re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"), float),
    (re.compile(r"[-+]?\.(inf|Inf|INF)"), lambda text: float(text.replace(".", ""))),
    (re.compile(r"\.(nan|NaN|NAN)"), lambda text: float("nan")),
)


def scalar(text: str) -> Any:
    """The value of unquoted text."""
    if text in _CONSTANTS:
        return _CONSTANTS[text]
    for pattern, number in _NUMBERS:
        if pattern.fullmatch(text):
            return number(text)
    return text


class What(NamedTuple):
    """What a file is expected to be: its name, what it holds, and an example of a line of it."""

    name: str
    holds: str
    example: str


SCENARIO = What("scenario", "start, wells and units", "start: 2027-03-01")


def read_yaml(file: Path, what: What = SCENARIO, text: str | None = None) -> tuple[Node, tuple[Problem, ...]]:
    """The mapping in `file`, and what is wrong with it that does not keep the rest from being read.

    With `text`, what would be in the file once that is saved. Raises ScenarioError where nothing can be read.
    """
    known = read_text(file, MOST_MEGABYTES, f"a {what.name} file") if text is None else text
    return _read(known, str(file), what)


def read_value(text: str, said: str) -> Any:
    """A single value, written as it would be in a file; `said` tells in problems where it was written."""
    root, problems = _read(f"value: {text}", said)
    if problems or set(root.value) != {"value"}:
        raise ScenarioError(problems or [Problem(said, 0, "", "expected a single value")])
    return plain(root.value["value"])


def _read(text: str, file: str, what: What = SCENARIO) -> tuple[Node, tuple[Problem, ...]]:
    from ruamel.yaml import YAML  # noqa: PLC0415 - slow, and workers never read files
    from ruamel.yaml.error import YAMLError  # noqa: PLC0415

    reader = _Reader(YAML(typ="safe", pure=True).parse(text), file, what)
    try:
        return reader.whole(), tuple(reader.problems)
    except (YAMLError, ArithmeticError, LookupError, ValueError) as error:  # the last three: bad escapes
        problem = syntax_problem(error, file, reader.line, text)
        raise ScenarioError([*reader.problems, problem]) from error


class _Reader:
    """Builds nodes from the library's events, never deeper or larger than the limits."""

    def __init__(self, events: Iterator[Any], file: str, what: What) -> None:
        self.events = events
        self.file = file
        self.what = what
        self.line = 1
        self.values = 0
        self.anchors: dict[str, Node] = {}
        self.problems: list[Problem] = []

    def whole(self) -> Node:
        self._next()  # start of the stream
        start = self._next()
        if _kind(start) == "StreamEnd":
            self._stop((), f"empty; expected a {self.what.name}: {self.what.holds}")
        if start.version not in {None, (1, 2)}:
            self._note((), "a %YAML directive; expected YAML 1.2 without one")
        root = self._value(self._next(), ())
        if not isinstance(root.value, dict):
            self._stop((), f"not a {self.what.name}; expected keys with values, such as {self.what.example}", root)
        self._next()  # end of the document
        if _kind(self._next()) != "StreamEnd":
            self._stop((), f"a second document begins here; expected one {self.what.name} in a file")
        return root

    def _next(self) -> Any:
        event = next(self.events)
        self.line = event.start_mark.line + 1
        return event

    def _note(self, steps: Steps, message: str, value: object = _UNSAID) -> None:
        got = None if value is _UNSAID else shown(value)
        self.problems.append(problem_at(Place(self.file, self.line, steps), message, got))

    def _stop(self, steps: Steps, message: str, root: Node | None = None) -> NoReturn:
        self.line = root.place.line if root else self.line
        self._note(steps, message, plain(root) if root else _UNSAID)
        raise ScenarioError(self.problems)

    def _value(self, event: Any, steps: Steps, line: int = 0) -> Node:
        """The value that begins with `event`; an entry of a mapping stands where its key does, at `line`."""
        place = Place(self.file, line or self.line, steps)
        if _kind(event) == "Alias":
            return self._repeated(event.anchor, place)
        if event.tag is not None:
            self._note(steps, "a tag; expected a value without one", event.tag)
        self._admit(steps, values=1, levels=0)
        node = Node(self._content(event, steps), place)
        if event.anchor:
            self.anchors[event.anchor] = node
        return node

    def _content(self, event: Any, steps: Steps) -> Any:
        if _kind(event) == "SequenceStart":
            return self._sequence(steps)
        if _kind(event) == "MappingStart":
            return self._mapping(steps)
        return scalar(event.value) if event.implicit[0] and not event.style else event.value

    def _repeated(self, anchor: str, place: Place) -> Node:
        """What stands at an anchor, with its own place: that is where a user would change it."""
        node = self.anchors.get(anchor)
        if node is None:
            self._note(place.steps, "refers to an anchor that does not stand above it", f"*{anchor}")
            return Node(None, place)
        self._admit(place.steps, *_size(node))
        return node

    def _admit(self, steps: Steps, values: int, levels: int) -> None:
        self.values += values
        if self.values > MOST_VALUES:
            self._stop(steps[:2], f"more than {MOST_VALUES:,} values with all references unfolded")
        if len(steps) + levels > DEEPEST:
            self._stop(steps[:2], f"nested more than {DEEPEST} levels deep; a scenario needs about nine")

    def _sequence(self, steps: Steps) -> list[Node]:
        entries: list[Node] = []
        while _kind(event := self._next()) != "SequenceEnd":
            entries.append(self._value(event, (*steps, len(entries))))
        return entries

    def _mapping(self, steps: Steps) -> dict[str, Node]:
        entries: dict[str, Node] = {}
        lines: dict[str, int] = {}
        while _kind(event := self._next()) != "MappingEnd":
            line = self.line
            key = self._key(event, steps)
            if key in lines:
                self._note((*steps, key), f"stated twice, first in line {lines[key]}; expected each key once")
            entry = self._value(self._next(), (*steps, key or "?"), line)
            if key is not None and key not in lines:
                entries[key], lines[key] = entry, line
        return entries

    def _key(self, event: Any, steps: Steps) -> str | None:
        """The key, or None where it is refused."""
        key = plain(self._value(event, steps))
        if key == "<<":
            self._note(steps, "a merge, which YAML 1.2 does not have; expected well_defaults or alternatives", key)
        elif isinstance(key, str):
            return key
        else:
            self._note(steps, "a key that is not text; expected text, or quotes around it", key)
        return None


def _kind(event: Any) -> str:
    return type(event).__name__.removesuffix("Event")


def _size(node: Node) -> tuple[int, int]:
    """How many values a node holds, and how many levels below its own."""
    if not isinstance(node.value, (dict, list)):
        return 1, 0
    sizes = [_size(child) for child in (node.value.values() if isinstance(node.value, dict) else node.value)]
    return 1 + sum(values for values, _ in sizes), 1 + max((levels for _, levels in sizes), default=0)
