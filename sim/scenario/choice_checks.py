"""What is wrong with the choices of a scenario beyond their form: paths, values, and costs in several currencies."""

from __future__ import annotations

from typing import Any

from pydantic import TypeAdapter, ValidationError

from sim.scenario.choices import parse_money
from sim.scenario.document import Document, Node, plain, problem_at
from sim.scenario.fields import expected, is_section_kind
from sim.scenario.path_kinds import Spot, spot_at
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.written import shown


def faults_of_choices(document: Document) -> list[Problem]:
    """Paths that lead nowhere, values that cannot stand there, and costs that cannot be added up."""
    section = document.root.child("choices")
    paths = section.child("cheapest_of") if section is not None else None
    if paths is None or not isinstance(paths.value, dict):
        return []
    problems = [fault for path, options in paths.value.items() for fault in _faults_at(document, path, options)]
    return problems + _currencies(paths)


def _faults_at(document: Document, path: str, options: Node) -> list[Problem]:
    try:
        spot = spot_at(document, path, options.place)
    except ScenarioError as error:
        return list(error.problems)
    if is_section_kind(spot.kind):
        return [problem_at(options.place, "keys with values of their own; expected the path of a single value")]
    values = [each.child("value") for each in _entries(options)]
    return [fault for value in values if value is not None for fault in _fault_of(value, spot)]


def _entries(options: Node) -> list[Node]:
    return options.value if isinstance(options.value, list) else []


def _fault_of(value: Node, spot: Spot) -> list[Problem]:
    try:
        adapter: TypeAdapter[Any] = TypeAdapter(spot.kind)
        adapter.validate_python(plain(value))
    except ValidationError as error:
        fault = error.errors(include_url=False)[0]
        said = str(fault["msg"])
        message = f"expected {expected(spot.kind)}" if said.startswith("Input should") else said
        return [problem_at(value.place, message, shown(plain(value)))]
    return []


def _currencies(paths: Node) -> list[Problem]:
    """Amounts are added up, so all are in the currency of the first."""
    first, problems = "", []
    for options in paths.value.values():
        for cost in (each.child("cost") for each in _entries(options)):
            currency = "" if cost is None else _currency(plain(cost))
            first = first or currency
            if cost is not None and currency not in {"", first}:
                message = f"another currency than that of the first cost; expected {first}, for costs are added up"
                problems.append(problem_at(cost.place, message, shown(plain(cost))))
    return problems


def _currency(cost: object) -> str:
    try:
        return parse_money(cost).currency
    except Exception:
        return ""
