"""The example pad of six wells, as it is and with some of it changed."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sim.scenario.document import Place
from sim.scenario.loading import read, validate
from sim.scenario.patches import set_path
from sim.scenario.scenario import Scenario

FILE = Path(__file__).parents[2] / "scenarios" / "six_well_pad.yaml"


def example(alternative: str | None = None, changes: dict[str, Any] | None = None) -> Scenario:
    """The example, or one of its alternatives, with other values at some of its paths; refused if they do not fit."""
    document = read(FILE, alternative)
    for path, value in (changes or {}).items():
        document = set_path(document, path, value, Place("changes", 1, ()))
    return validate(document)
