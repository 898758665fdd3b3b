"""The plan with one or several of its limits lifted, and what a user wants lifted besides."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from analysis.relaxing.limits import Limit, limits_of
from sim.scenario import Document, Place, Scenario, ScenarioError, changed, stated, validate
from sim.scenario.problems import did_you_mean
from sim.scenario.yaml_text import read_value

ALSO = "--also"


class BadRelaxationError(Exception):
    """What a user wants lifted cannot be; the message says why."""


class Refused(NamedTuple):
    """A limit that cannot be lifted on its own, and why."""

    name: str
    why: str


def limits_asked(scenario: Scenario, document: Document, also: Sequence[str]) -> list[Limit]:
    """The limits of the plan, and those of the user: PATH=VALUE, or the name of an alternative of the scenario.

    Raises BadRelaxationError where neither can be made out of a text, or where it is asked for twice.
    """
    limits = limits_of(scenario)
    for text in also:
        limit = _patch(text) if "=" in text else _alternative(document, text.strip())
        if limit.name in {each.name for each in limits}:
            raise BadRelaxationError(f"{ALSO} '{text}': is among the limits already; expected each once")
        limits.append(limit)
    return limits


def _patch(text: str) -> Limit:
    path, _, written = (part.strip() for part in text.partition("="))
    if not path or not written:
        raise BadRelaxationError(f"{ALSO} '{text}': expected PATH=VALUE, such as 'water.storage.capacity=120 kbbl'")
    value = read_value(written, f"{ALSO} '{text}'")
    return Limit(f"{path}={written}", lambda _: [(path, value)])


def _alternative(document: Document, name: str) -> Limit:
    known: dict[str, Any] = stated(document).get("alternatives") or {}
    if name not in known:
        options = f"known alternatives: {', '.join(known)}" if known else "the scenario states no alternatives"
        hint = did_you_mean(name, known)
        raise BadRelaxationError(f"{ALSO} '{name}': neither PATH=VALUE nor an alternative{hint}; {options}")
    return Limit(name, lambda _: list(known[name].items()))


def lifted(document: Document, limits: Sequence[Limit]) -> Scenario:
    """The plan with these limits lifted, one after the other. Raises ScenarioError where that is no valid plan."""
    for limit in limits:
        place = Place(f"with '{limit.name}'", 0)
        document = changed(document, limit.changes(stated(document)), place)
    return validate(document)


def plans_of(document: Document, limits: Sequence[Limit], also: int) -> tuple[dict[str, Scenario], list[Refused]]:
    """A plan for each limit, by its name, and those that no valid plan can be made of.

    Raises ScenarioError where that is one of the last `also`, which the user has asked for.
    """
    plans: dict[str, Scenario] = {}
    refused: list[Refused] = []
    for number, limit in enumerate(limits):
        try:
            plans[limit.name] = lifted(document, [limit])
        except ScenarioError as error:
            if number >= len(limits) - also:
                raise
            refused.append(Refused(limit.name, "; ".join(problem.message for problem in error.problems)))
    return plans, refused
