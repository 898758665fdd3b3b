"""What happens on the pad: scenario in, log out.

scenario = sim.load("pad.yaml")
log = sim.simulate(scenario, replication=0, seed=1)
logs = sim.replicate(scenario, 100, seed=1, workers=2).results
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sim.log import Interval, Level, Log
    from sim.pad import StuckError, simulate
    from sim.replications import replicate
    from sim.scenario.loading import load
    from sim.scenario.problems import ScenarioError
    from sim.scenario.scenario import Scenario
    from sim.standing import Standing, standing_of

_HOMES = {
    "Interval": "sim.log",
    "Level": "sim.log",
    "Log": "sim.log",
    "Scenario": "sim.scenario.scenario",
    "ScenarioError": "sim.scenario.problems",
    "Standing": "sim.standing",
    "StuckError": "sim.pad",
    "load": "sim.scenario.loading",
    "replicate": "sim.replications",
    "simulate": "sim.pad",
    "standing_of": "sim.standing",
}
__all__ = [
    "Interval", "Level", "Log", "Scenario", "ScenarioError", "Standing", "StuckError", "load", "replicate", "simulate",
    "standing_of",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    """Import what is asked for only then: the command line and workers need few of these."""
    if name not in _HOMES:
        raise AttributeError(f"module 'sim' has no attribute {name!r}")
    from importlib import import_module  # noqa: PLC0415

    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    """Names are found by completion before they are imported."""
    return sorted({*globals(), *__all__})
