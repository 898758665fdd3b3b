"""What an invented log is played with: figures near those of the plan, but not the same, and kept to compare with."""

from __future__ import annotations

from math import exp
from typing import Any

import pandas as pd

from analysis.field.jobs import WHAT
from analysis.field.log_moments import LogMoments, log_moments, shape_with
from analysis.field.patch_text import written_by
from analysis.field.quantities import SPEED, Quantity, quantities_of
from analysis.field.stage_factors import factors_of, stage_jobs
from analysis.field.written_values import percentages, shape_text
from sim.chance.streams import own_generator
from sim.scenario.document import Document
from sim.scenario.scenario import Scenario

SPREAD = 0.15  # of the logarithm of how far durations are off the plan
SPREAD_OF_CHANCES = 0.4

Patch = dict[str, Any]


def truth_of(scenario: Scenario, document: Document, seed: int) -> Patch:
    """Invented figures, as a patch: every duration lognormal, about 15 % off the plan, troubles about 40 %."""
    found: Patch = {}
    for quantity in stated_quantities(scenario, document):
        value = _invented(quantity, seed)
        if value is not None:
            found |= {path: also for path, also, _ in quantity.also}
            found |= dict.fromkeys(quantity.paths, quantity.put(value))
    for name, trouble in scenario.activity_troubles.items():
        if trouble.chance:
            off = exp(SPREAD_OF_CHANCES * _normal(seed, name))
            found[f"troubles.{name}.chance"] = percentages(min(trouble.chance * off, 0.9))
    return found


def stated_quantities(scenario: Scenario, document: Document) -> list[Quantity]:
    """All that can be calibrated but hours lost, without observations."""
    columns = [*WHAT, "start_h", "hours", "worked_h", "ended", "tries", "together"]
    none = pd.DataFrame({name: pd.Series(dtype="str" if name in WHAT[:3] else "float") for name in columns})
    none = none.astype({"ended": bool, "stage": int})
    stages = stage_jobs(none, scenario)
    return [*quantities_of(none, scenario, document), *factors_of(stages, scenario, document, {})]


def _invented(quantity: Quantity, seed: int) -> Any:
    """None where the plan takes no time for it."""
    if isinstance(quantity.prior, (int, float)) and quantity.prior <= 0:
        return None
    off = SPREAD * _normal(seed, quantity.name)
    if quantity.kind == SPEED:
        return written_by(SPEED)(float(quantity.prior) * exp(off))  # type: ignore[arg-type] # speeds are plain
    plan = log_moments(quantity.prior, 1)
    shape = shape_with("lognormal", LogMoments(1, plan.mean + off, plan.variance))
    return shape_text(shape, written_by(quantity.kind))


def _normal(seed: int, name: str) -> float:
    return float(own_generator(seed, 0, "hidden truth", name).standard_normal())
