"""Comparing strategies under the same luck: what common random numbers are for."""

from __future__ import annotations

import numpy as np
from scipy import stats

from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, well
from tests.theory.pumping import makespan_h

N = 250


def plan(wells_in_rotation: int) -> Scenario:
    wireline = {"pert": [minutes(90), minutes(130), minutes(300)]}
    pump = {"lognormal": {"mean": minutes(120), "cv": 0.4}}
    swap = {"triangular": [minutes(20), minutes(30), minutes(45)]}
    wells = [well(f"w{k}", 12, wireline, pump, toe=True) for k in range(3)]
    strategy = {"wells_in_rotation": wells_in_rotation, "swap": {"time": swap}, "between_groups": swap}
    return pad(wells, strategy)


def spans_h(scenario: Scenario, seed: int) -> np.ndarray:
    return np.array([makespan_h(simulate(scenario, number, seed)) for number in range(N)])


def test_difference_of_strategies_is_less_uncertain_than_the_strategies() -> None:
    """Zipper against sequential: Var(A - B) < Var(A) + Var(B), that is, they are correlated, beyond chance (G7).

    The correlation's lower bound is Fisher's, at one in ten thousand.
    """
    sequential, zipper = spans_h(plan(1), 13), spans_h(plan(3), 13)
    apart = sequential.var(ddof=1) + zipper.var(ddof=1)
    assert np.var(sequential - zipper, ddof=1) < apart
    correlation = np.corrcoef(sequential, zipper)[0, 1]
    assert np.tanh(np.arctanh(correlation) - stats.norm.isf(1e-4) / np.sqrt(N - 3)) > 0


def test_other_seeds_share_no_luck() -> None:
    """Under different seeds the same comparison is uncorrelated: the gain above is common luck, nothing else."""
    correlation = np.corrcoef(spans_h(plan(1), 13), spans_h(plan(3), 14))[0, 1]
    assert abs(np.arctanh(correlation)) < stats.norm.isf(1e-4 / 2) / np.sqrt(N - 3)
