"""Changes made to the lines of the sections, or of the single wells, that they touch.

On a plan of a thousand wells that is quicker than going through all of it, and the rest keeps every letter. Whether it
gave what was meant is seen by reading the new text: where anything else reads differently, all of it is gone through.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple

from analysis.page.edits import Edit, edited
from sim.scenario.document import Document, Node, plain
from sim.scenario.problems import ScenarioError
from sim.scenario.yaml_text import read_yaml

MOST_WELLS_AT_ONCE = 50  # beyond that going through the whole plan is quicker

Reading = Callable[[str], Document]


class Part(NamedTuple):
    """Lines of a plan, from `first`, counted from 0, to before `end`: a section, or one of its wells."""

    first: int
    end: int
    section: str
    well: int | None

    def by_itself(self, lines: Sequence[str]) -> str:
        """These lines as a text of their own."""
        head = [] if self.well is None else [f"{self.section}:"]
        return "\n".join([*head, *lines[self.first : self.end], ""])

    def within(self, edit: Edit) -> Edit:
        """The edit as it is made in that text."""
        return edit if self.well is None else edit._replace(steps=(self.section, 0, *edit.steps[2:]))

    def lines_of(self, own: str) -> list[str]:
        """The lines of the plan in such a text."""
        return own.removesuffix("\n").split("\n")[0 if self.well is None else 1 :]


def edited_locally(text: str, edits: Sequence[Edit], reading: Reading) -> str:
    """The text with all edits made. Raises ScenarioError as `edited` does; `reading` reads a text as a plan."""
    try:
        root = reading(text).root
    except ScenarioError:
        return edited(text, edits)
    parts = _parts(root, text, edits)
    if not parts:
        return edited(text, edits)
    lines, changed = text.split("\n"), dict[Part, str]()
    for part in sorted(set(parts), reverse=True):
        own = [part.within(edit) for edit, where in zip(edits, parts, strict=True) if where == part]
        changed[part] = edited(part.by_itself(lines), own)
        lines[part.first : part.end] = part.lines_of(changed[part])
    found = "\n".join(lines)
    return found if _is_as_meant(root, found, changed, reading) else edited(text, edits)


def _parts(root: Node, text: str, edits: Sequence[Edit]) -> list[Part] | None:
    """The part that each edit falls into; None where one falls into none, or they are too many."""
    sections = _sections(root, text)
    wells = _wells(root, sections.get("wells"), text)
    found = [_part(edit, sections, wells) for edit in edits]
    parts = [part for part in found if part is not None]
    apart = all(one.end <= other.first for one, other in pairwise(sorted(set(parts))))
    return parts if apart and len(parts) == len(found) and len(set(parts)) <= MOST_WELLS_AT_ONCE else None


def _sections(root: Node, text: str) -> dict[str, Part]:
    begins = sorted((node.place.line - 1, key) for key, node in root.value.items())
    lines = text.split("\n")
    last = len(lines) - (lines[-1] == "")
    ends = [*(first for first, _ in begins[1:]), last]
    return {key: Part(first, end, key, None) for (first, key), end in zip(begins, ends, strict=True)}


def _wells(root: Node, section: Part | None, text: str) -> list[Part]:
    """Every well that stands in the plan itself, on lines of its own."""
    wells = root.value.get("wells")
    if section is None or wells is None or not isinstance(wells.value, list) or wells.place.file != root.place.file:
        return []
    begins, lines = [entry.place.line - 1 for entry in wells.value], text.split("\n")
    if any(not lines[first].lstrip().startswith("- ") for first in begins):
        return []
    return [Part(*span, "wells", well) for well, span in enumerate(pairwise([*begins, section.end]))]


def _part(edit: Edit, sections: dict[str, Part], wells: list[Part]) -> Part | None:
    section, *rest = edit.steps
    if section != "wells":
        return sections.get(str(section))
    well = rest[0] if len(rest) > 1 and not edit.remove else None
    return wells[well] if type(well) is int and 0 <= well < len(wells) else None


def _is_as_meant(root: Node, text: str, changed: dict[Part, str], reading: Reading) -> bool:
    """Whether nothing but the changed parts reads differently, and each of them as it does by itself."""
    try:
        meant, found = plain(root), plain(reading(text).root)
        for part, own in changed.items():
            _put(meant, part, plain(read_yaml(Path(part.section), text=own)[0]))
    except (ScenarioError, LookupError, TypeError):
        return False
    return bool(meant == found)


def _put(meant: Any, part: Part, own: Any) -> None:
    if part.well is None:
        meant[part.section] = own[part.section]
    else:
        meant[part.section][part.well] = own[part.section][0]
