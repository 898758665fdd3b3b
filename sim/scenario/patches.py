"""Changing one value of a scenario by its path, such as `water.storage.capacity` or `wells.Heron 1.stages`.

Paths follow the keys of the file. Entries of a list are addressed by their `name`, troubles by theirs; where a kind of
unit has a single entry, its keys may follow directly. A value with keys of its own is merged into what is there,
unless it is a duration.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace
from typing import Any

from pydantic.fields import FieldInfo

from sim.scenario.document import Document, Node, Place, node_of, plain, problem_at
from sim.scenario.fields import AsWritten, entry, is_list_of_parts, is_section_kind, keys, may_be_bare, named, typed
from sim.scenario.merging import DURATIONS, laid_over, opened, with_entry
from sim.scenario.problems import Problem, ScenarioError, did_you_mean
from sim.scenario.troubles import kind_of_trouble
from sim.scenario.written import shortened, shown

_FIXED = {"alternatives", "uncertain", "choices"}  # they hold paths themselves: a patch of patches would have no end
_MOST_SHOWN = 30


class _LeadsNowhereError(Exception):
    """A path to nothing that a scenario has; says why."""


class _BlockedError(_LeadsNowhereError):
    """A path through something that is itself not as expected."""


def set_path(document: Document, path: str, value: Any, place: Place) -> Document:
    """The document with `value` at `path`, as if it were written at `place`.

    Raises ScenarioError where a scenario has no such path; whether the value
    itself makes sense is seen when the document is validated.
    """
    node = node_of(value, place if place.steps else place._replace(steps=(path,)))
    try:
        return _patched(document, path, node)
    except _LeadsNowhereError as reason:
        raise ScenarioError([_unknown_path(node, reason)]) from None


def with_alternative(document: Document, name: str) -> Document:
    """The document as patched by one of its alternatives; patches that lead nowhere are among its problems."""
    return with_patches(document, document.root.value["alternatives"].value[name])


def with_patches(document: Document, patches: Node) -> Document:
    """The document with each value at its path; patches that lead nowhere are among its problems."""
    problems: list[Problem] = []
    for path, node in patches.value.items():
        try:
            document = _patched(document, path, node)
        except _BlockedError:  # a problem of the document without the patch
            continue
        except _LeadsNowhereError as reason:
            problems.append(_unknown_path(node, reason))
    return replace(document, problems=(*document.problems, *problems))


def _unknown_path(node: Node, reason: _LeadsNowhereError) -> Problem:
    return problem_at(node.place, f"unknown path: {reason}")


def _patched(document: Document, path: str, node: Node) -> Document:
    steps = [step.strip() for step in path.split(".")]
    return replace(document, root=_set(document.root, AsWritten, steps, node))


def _set(here: Node, kind: Any, steps: list[str], node: Node) -> Node:
    if not steps:
        return laid_over(here, node)
    if not _is_passable(here, kind):
        raise _BlockedError(f"{shown(plain(here))} has no '{shortened(steps[0])}'")
    if is_list_of_parts(kind) and isinstance(here.value, list):
        return _set_entry(here, entry(kind), steps, node)
    kind = entry(kind) if is_list_of_parts(kind) else kind
    if steps[0] not in _known(here, kind) and steps[0] == here.name:
        return _set(here, kind, steps[1:], node)
    return _set_key(here, kind, steps, node)


def _is_passable(here: Node, kind: Any) -> bool:
    """Whether what stands here is of the kind that is expected here, as far as a path is concerned."""
    if is_list_of_parts(kind):
        entries = [here] if isinstance(here.value, dict) and may_be_bare(kind) else here.value
        return isinstance(entries, list) and len(entries) > 0
    return isinstance(here.value, dict) or not is_section_kind(kind)


def _set_key(here: Node, kind: Any, steps: list[str], node: Node) -> Node:
    key, *rest = steps
    known = _known(here, kind)
    if key not in known:
        raise _LeadsNowhereError(_nothing_called(key, known) if known else _no_keys(here, key))
    field = known[key]
    node = node if rest else opened(key, node)
    stated = here.value.get(key)
    if stated is None or stated.value is None:
        stated = _unstated(field, node.place, whole=not rest)
    return with_entry(here, key, _set(opened(key, stated), typed(field), rest, node))


def _unstated(field: FieldInfo, place: Place, *, whole: bool) -> Node:
    """What a patch finds where nothing is stated: the default, in the form in which it can be changed in part."""
    if whole or not isinstance(field.default, dict):
        return Node({}, place)
    return node_of(field.default, place)


def _known(here: Node, kind: Any) -> dict[str, FieldInfo]:
    """Keys that may follow; of a duration only those of the form in which it is stated."""
    if not isinstance(here.value, dict):
        return {}
    known = {key: field for key, field in keys(kind).items() if key not in _FIXED} or _by_name(here, kind)
    return {key: known[key] for key in here.value if key in known} if DURATIONS & set(here.value) else known


def _by_name(here: Node, kind: Any) -> dict[str, FieldInfo]:
    """What stands under names that the user gives; of a trouble that states nothing, its usual figures."""
    of_each = named(kind)
    if of_each is None:
        return {}
    if "strikes" not in keys(of_each):
        return {name: FieldInfo(annotation=of_each) for name in here.value}
    return {name: FieldInfo.from_annotation(kind_of_trouble(name, plain(node))) for name, node in here.value.items()}


def _set_entry(here: Node, kind: Any, steps: list[str], node: Node) -> Node:
    names = [entry.name for entry in here.value]
    if steps[0] in names:
        index, rest = names.index(steps[0]), steps[1:]
    elif len(names) == 1 and steps[0] in keys(kind):
        index, rest = 0, steps
    else:
        known = [name for name in names if name]
        raise _LeadsNowhereError(_nothing_called(steps[0], known))
    changed = _set(here.value[index], kind, rest, node)
    return Node([*here.value[:index], changed, *here.value[index + 1 :]], here.place)


def _nothing_called(word: str, known: Collection[str]) -> str:
    listed = ", ".join(shortened(name) for name in list(known)[:_MOST_SHOWN])
    options = f"known there: {listed}" if known else "no entry there has a name to go by"
    return f"nothing there is called '{shortened(word)}'{did_you_mean(word, known)}; {options}"


def _no_keys(here: Node, key: str) -> str:
    return f"{shown(plain(here))} has no '{shortened(key)}'; expected a path to the whole value"


def paths(document: Document) -> list[str]:
    """Every path of this scenario to a value that can be set; entries without a name of their own have none."""
    return [path for path in _paths(document.root, AsWritten, "") if path != "well_defaults.name"]


def _paths(here: Node | None, kind: Any, prefix: str) -> Iterator[str]:
    known = _known(here, kind) if here is not None and here.value else keys(kind)
    for key, field in known.items():
        if key not in _FIXED:
            stated = here.child(key) if here is not None else None
            yield from _paths_to(stated, field, prefix + key)


def _paths_to(stated: Node | None, field: FieldInfo, path: str) -> Iterator[str]:
    kind = typed(field)
    if is_list_of_parts(kind):
        yield from _paths_to_entries(stated, entry(kind), path)
    elif not is_section_kind(kind):
        yield path
        value = node_of(field.default, Place("", 0)) if stated is None else stated
        if isinstance(value.value, dict):
            yield from _paths(value, kind, f"{path}.")
    elif stated is not None or field.default is not None:
        yield from _paths(stated, kind, f"{path}.")


def _paths_to_entries(stated: Node | None, kind: Any, path: str) -> Iterator[str]:
    entries = stated.value if stated is not None else []
    if isinstance(entries, dict):
        yield from _paths(stated, kind, f"{path}.")
    elif isinstance(entries, list):
        for each in entries:
            name = f".{each.name}" if each.name else ""
            if name or len(entries) == 1:
                yield from _paths(each, kind, f"{path}{name}.")
