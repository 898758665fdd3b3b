"""Other prices for a plan that has been played: everything else stays as it was."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from sim.scenario.document import Document, Node, Place, node_of, problem_at
from sim.scenario.loading import validate
from sim.scenario.problems import did_you_mean
from sim.scenario.scenario import Scenario
from sim.scenario.yaml_text import read_yaml

SECTIONS = ("prices", "fuel")  # what may be stated anew without playing again


def repriced(plan: Mapping[str, Any], file: Path | None = None) -> Scenario:
    """The scenario of a plan as `stated` gave it, with the prices and fuel of a file in the place of its own.

    Raises ScenarioError with all that is wrong, by lines of the file.
    """
    root = node_of(dict(plan), Place("scenario", 0))
    if file is None:
        return validate(Document(root))
    stated, problems = read_yaml(file)
    unknown = [
        problem_at(node.place, f"unknown key{did_you_mean(key, SECTIONS)}; a file of prices holds prices, fuel or both")
        for key, node in stated.value.items()
        if key not in SECTIONS
    ]
    found = {key: node for key, node in stated.value.items() if key in SECTIONS}
    return validate(Document(Node({**root.value, **found}, root.place), problems=(*problems, *unknown)))
