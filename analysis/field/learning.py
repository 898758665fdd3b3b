"""Whether crews got faster as they went on: Wright's curve through the times of their stages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.field.paths import unit_paths
from sim.scenario.equipment import Learning
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

LEAST_JOBS = 20  # fewer do not tell learning from luck
LEAST_DOUBLING = 0.5  # nobody gets faster than that; a steeper slope has another cause

Numbers = NDArray[np.float64]


class Curve(NamedTuple):
    """Share of the time left when a crew has done twice as many, with its 95 % interval; `shown` if it is below 1."""

    entry_path: str | None
    units: tuple[str, ...]
    activity: str
    n: int
    doubling: float
    low: float
    high: float

    @property
    def shown(self) -> bool:
        """Whether the log shows learning, and not more of it than there is."""
        return self.high < 1 and self.doubling > LEAST_DOUBLING


def curves_of(stages: pd.DataFrame, scenario: Scenario) -> list[Curve]:
    """One for each entry of fleets and wireline units that has done enough stages; the plan's own learning aside."""
    found, known = [], unit_paths(scenario)
    entries: dict[int, list[str]] = {}
    for unit, (_, entry, _) in known.items():
        entries.setdefault(id(entry), []).append(unit)
    for units in entries.values():
        own = stages[stages["unit"].isin(units) & stages["ended"] & (stages["hours"] > 0) & (stages["expected_h"] > 0)]
        if len(own) >= LEAST_JOBS:
            kept: Any = own["activity"].iloc[0]
            found.append(Curve(known[units[0]][2], tuple(units), str(kept), len(own), *_doubling(own)))
    return found


def _doubling(own: pd.DataFrame) -> tuple[float, float, float]:
    """From a regression of ln(hours / expected) on ln(number) and on how far from the toe the stage is.

    The second holds apart what is not learning: that a plan misjudges how much shorter work gets towards the heel.
    T(n) = T(1) n^b, time left on doubling 2^b (Wright 1936, Journal of the Aeronautical Sciences 3, 122-128; formula
    from memory). Interval: Student's, of least squares.
    """
    from scipy.special import stdtrit

    y = np.log((own["hours"] / own["expected_h"]).to_numpy(float))
    along = own["stage"] / own.groupby("well")["stage"].transform("max")
    columns = (np.ones(len(own)), np.log(own["number"].to_numpy(float)), along.to_numpy(float))
    slope, error = slope_of(np.column_stack(columns), y)
    half = float(stdtrit(len(own) - 3, 0.975)) * error
    return 2**slope, 2 ** (slope - half), 2 ** (slope + half)


def slope_of(x: Numbers, y: Numbers) -> tuple[float, float]:
    """Coefficient of the second column by least squares, with its standard error."""
    found, *_ = np.linalg.lstsq(x, y, rcond=None)
    residual = y - x @ found
    variance = float(residual @ residual) / (len(y) - x.shape[1])
    return float(found[1]), float(np.sqrt(variance * np.linalg.pinv(x.T @ x)[1, 1]))


def learnt_by(curves: list[Curve]) -> dict[str, Learning]:
    """The learning that the log shows, by unit."""
    found: dict[str, Learning] = {}
    for curve in curves:
        if curve.shown:
            learning = Learning.model_validate({"doubling": f"{100 * curve.doubling:.6f} %"})
            found |= dict.fromkeys(curve.units, learning)
    return found
