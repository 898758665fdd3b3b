"""The plan as stated: read from a file, checked, and from then on immutable.

scenario = load("pad.yaml", alternative="sequential")
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sim.scenario.defaults import defaults_used
    from sim.scenario.document import Document, Place
    from sim.scenario.loading import changed, load, load_stated, read, stated, validate, validate_all
    from sim.scenario.patches import paths, set_path
    from sim.scenario.problems import Problem, ScenarioError
    from sim.scenario.scenario import Scenario
    from sim.scenario.schema import json_schema

_HOMES = {
    "Document": "document",
    "Place": "document",
    "Problem": "problems",
    "Scenario": "scenario",
    "ScenarioError": "problems",
    "changed": "loading",
    "defaults_used": "defaults",
    "json_schema": "schema",
    "load": "loading",
    "load_stated": "loading",
    "paths": "patches",
    "read": "loading",
    "set_path": "patches",
    "stated": "loading",
    "validate": "loading",
    "validate_all": "loading",
}
__all__ = [
    "Document",
    "Place",
    "Problem",
    "Scenario",
    "ScenarioError",
    "changed",
    "defaults_used",
    "json_schema",
    "load",
    "load_stated",
    "paths",
    "read",
    "set_path",
    "stated",
    "validate",
    "validate_all",
]


def __getattr__(name: str) -> Any:
    """Import what is asked for only then: a worker that holds a scenario never reads one."""
    if name not in _HOMES:
        raise AttributeError(f"module 'sim.scenario' has no attribute {name!r}")
    from importlib import import_module  # noqa: PLC0415

    return getattr(import_module(f"sim.scenario.{_HOMES[name]}"), name)
