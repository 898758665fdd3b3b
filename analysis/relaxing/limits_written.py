"""How a relaxed plan is written: changes to single paths of a plan in the words of its file."""

from __future__ import annotations

from typing import Any

from pydantic_core import PydanticCustomError

from sim.scenario.quantities import TIME, parse

Changes = list[tuple[str, Any]]
"""Patches in order, each a path and the value that is written there."""


def replaced(path: str, value: Any) -> Changes:
    """The value instead of what is there; patched alone, its keys would be merged with those that are there."""
    return [(path, None), (path, value)]


def halved(written: Any) -> Any:
    """A duration as written, in whatever form, taking half the time: every time in it is halved, nothing else."""
    if isinstance(written, dict):
        return {key: halved(value) for key, value in written.items()}
    if isinstance(written, list):
        return [halved(value) for value in written]
    try:
        return f"{parse(written, TIME) / 2!r} h" if isinstance(written, str) else written
    except PydanticCustomError:
        return written
