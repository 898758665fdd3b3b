"""What may stand at a path of a scenario, and what stands there now."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

from sim.scenario.document import Document, Node, Place, plain
from sim.scenario.fields import AsWritten, entry, follow, is_list_of_parts
from sim.scenario.patches import paths, set_path
from sim.scenario.problems import Problem, ScenarioError, did_you_mean
from sim.scenario.written import shortened

_SLIP = re.compile(r"; did you mean '[^']*'")


class Spot(NamedTuple):
    """A path of a scenario: the type of what may stand there, and what does, if anything is stated."""

    path: str
    kind: Any
    stated: Any


def spot_at(document: Document, path: str, place: Place) -> Spot:
    """The spot that `path`, written at `place`, leads to.

    Raises ScenarioError where a scenario has no such path, with the closest one that it has.
    """
    mark = object()
    try:
        marked = set_path(document, path, mark, place)
    except ScenarioError as error:
        closest = _closest(document, path)
        raise ScenarioError([_with_hint(problem, closest) for problem in error.problems]) from None
    kind, steps = next(_found(marked.root, AsWritten, mark, ()))
    node = _node_at(document.root, steps)
    return Spot(path, kind, None if node is None else plain(node))


def _found(
    here: Node, kind: Any, mark: object, steps: tuple[str | int, ...]
) -> Iterator[tuple[Any, tuple[str | int, ...]]]:
    """Where the mark stands: its kind, and the steps that lead there."""
    if here.value is mark:
        yield kind, steps
    elif isinstance(here.value, list):
        for number, each in enumerate(here.value):
            yield from _found(each, entry(kind), mark, (*steps, number))
    elif isinstance(here.value, dict):
        part = entry(kind) if is_list_of_parts(kind) else kind
        for key, each in here.value.items():
            yield from _found(each, follow([key], part), mark, (*steps, key))


def _node_at(root: Node, steps: tuple[str | int, ...]) -> Node | None:
    node: Node | None = root
    for step in steps:
        node = node.child(step) if node is not None else None
    return node


def _closest(document: Document, path: str) -> str:
    """The whole path that was probably meant: one that ends so, or else one that is spelled much like it."""
    known = paths(document)
    end = "." + path.strip().casefold()
    ending = [each for each in known if each.casefold().endswith(end)]
    return f"; did you mean '{shortened(ending[0])}'" if len(ending) == 1 else did_you_mean(path, known)


def _with_hint(problem: Problem, hint: str) -> Problem:
    """The problem with the whole path that was meant, in place of the one step that led astray."""
    if not hint:
        return problem
    said, known, options = _SLIP.sub("", problem.message).partition("; known there")
    return problem._replace(message=said + hint + known + options)
