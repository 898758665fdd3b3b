"""Changes to the text of a plan that leave its comments and its order as they are."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from io import StringIO
from typing import Any, NamedTuple

from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.scenario import MOST_WELLS
from sim.scenario.yaml_text import read_value

Step = str | int
_ABOVE = r"^( *)[\w'\" -]+:[^\S\n]*(?:#.*)?\n(?:[^\S\n]*#.*\n|\n)*"  # a key with nothing but remarks behind it
_DASH, _KEY = re.compile(_ABOVE + "( *)- ", re.MULTILINE), re.compile(_ABOVE + r"(\1 +)[\w'\"]", re.MULTILINE)


class Edit(NamedTuple):
    """A value as typed, for what stands at `steps`; blank text takes it away, and `remove` a whole entry."""

    steps: tuple[Step, ...]
    text: str = ""
    remove: bool = False


def edited(text: str, edits: Iterable[Edit]) -> str:
    """The text with all edits made. Raises ScenarioError where one is no value, or has no place."""
    from ruamel.yaml.error import YAMLError

    yaml = _yaml()
    dash, step = _indents(text)
    yaml.indent(mapping=step, sequence=dash + 2, offset=dash)
    try:
        document = yaml.load(text)
    except YAMLError as error:
        raise ScenarioError([Problem("", 0, "", "the plan cannot be read; mend its text first")]) from error
    for edit in edits:
        _make(document, edit)
    written = StringIO()
    yaml.dump(document, written)
    return written.getvalue()


def _yaml() -> Any:
    from ruamel.yaml import YAML

    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 4096
    yaml.brace_single_entry_mapping_in_flow_sequence = True
    return yaml


def _indents(text: str) -> tuple[int, int]:
    """How far the plan sets in the dashes of its lists, and the keys of its sections: as the first of each stand."""
    dash, key = _DASH.search(text), _KEY.search(text)
    return (
        max(0, len(dash[2]) - len(dash[1])) if dash else 2,
        len(key[2]) - len(key[1]) if key else 2,
    )


def _make(document: Any, edit: Edit) -> None:
    *way, last = edit.steps
    if edit.remove or not edit.text.strip():
        here = _reached(document, way, edit.steps, make=False)
        _take_away(here, last, whole=edit.remove)
        return
    here, value = _reached(document, way, edit.steps, make=True), _value(edit)
    if isinstance(here, list):
        _set_entry(here, last, value, edit.steps)
    elif isinstance(here, dict):
        here[last] = value
    else:
        raise _nowhere(edit.steps)


def _reached(here: Any, way: Sequence[Step], steps: Sequence[Step], *, make: bool) -> Any:
    for place, step in enumerate(way):
        following = steps[place + 1]
        if isinstance(here, list) and isinstance(step, int):
            if step == len(here) and make:
                here.append(_new_entry(here))
            here = here[step] if 0 <= step < len(here) else None
        elif isinstance(here, dict):
            if step not in here or here[step] is None:
                if not make:
                    return None
                here[step] = _empty(following)
            here = here[step]
        else:
            here = None
        if here is None and make:
            raise _nowhere(steps)
    return here


def _empty(following: Step) -> Any:
    from ruamel.yaml.comments import CommentedMap, CommentedSeq

    return CommentedSeq() if isinstance(following, int) else CommentedMap()


def _new_entry(entries: Any) -> Any:
    """A new entry of a list looks like the one before it."""
    from ruamel.yaml.comments import CommentedMap

    if len(entries) >= MOST_WELLS:
        raise ScenarioError([Problem("", 0, "", f"more than {MOST_WELLS:,} entries; expected at most that many")])
    entry = CommentedMap()
    if entries and getattr(entries[-1], "fa", None) is not None and entries[-1].fa.flow_style():
        entry.fa.set_flow_style()
    return entry


def _set_entry(here: Any, last: Step, value: Any, steps: Sequence[Step]) -> None:
    if not isinstance(last, int) or not 0 <= last <= len(here):
        raise _nowhere(steps)
    if last == len(here):
        here.append(value)
    else:
        here[last] = value


def _take_away(here: Any, last: Step, *, whole: bool) -> None:
    if isinstance(here, dict):
        here.pop(last, None)
    elif whole and isinstance(here, list) and isinstance(last, int) and last < len(here):
        del here[last]


def _value(edit: Edit) -> Any:
    """What was typed, as it would be read from a file; a sign that begins a remark there is meant as text here."""
    text = " ".join(edit.text.split())
    if " #" in text or text.startswith("#"):
        return text
    read_value(text, "")
    return _yaml().load(f"value: {text}")["value"]


def _nowhere(steps: Sequence[Step]) -> ScenarioError:
    return ScenarioError([Problem("", 0, ".".join(map(str, steps)), "no such place in the plan")])
