"""What a run says of itself before anything is played: everything on which its numbers depend.

One writer for every command that plays, so that any run can be known, refused or taken up by the same rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from analysis.runs.run_directory import FORMAT, MADE_BY, scenario_hash
from sim.versions import versions

FORECAST = "forecast"


def manifest_of(
    command: str, plan: Mapping[str, Any], seed: int, replications: int, asked: Mapping[str, Any]
) -> dict[str, Any]:
    """The manifest of a run of `command` on a plan as stated. `asked` is whatever else was asked of that command.

    None of its replications is done yet.
    """
    return {
        "made_by": MADE_BY,
        "format": FORMAT,
        "command": command,
        **asked,
        "scenario_hash": scenario_hash(plan),
        "seed": seed,
        "replications_asked": replications,
        "replications_done": 0,
        "versions": versions(),
        "scenario": dict(plan),
    }


def command_of(manifest: Mapping[str, Any]) -> str:
    """Which command made a run; runs of before commands said so are forecasts."""
    return str(manifest.get("command", FORECAST))
