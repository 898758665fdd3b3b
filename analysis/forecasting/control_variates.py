"""A mean with less noise, by what is known exactly: hours whose mean the scenario states, and their luck in each run.

Where wells happened to have long flowbacks, dates come out late. How long the drawn hours are against their stated
mean is known in every replication, so a regression can take that part of the luck out of the mean. Which hours are
worth it was measured (`python -m tests.benchmarks`): the flowback of each well is. Sums over hundreds of stages, of
pumping and of wireline, are not: over so many stages luck evens out.
Source: Lavenberg and Welch 1981, Management Science 27, 322-335 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.checking.averages import AVERAGE
from analysis.statistics import mean_interval
from sim.chance.luck import Luck, drawn
from sim.operations.flowback import flowback_job
from sim.scenario.scenario import Scenario

LEAST_FOR_EACH = 5  # replications for each control, below which a regression would fit noise


class ControlledMean(NamedTuple):
    """A mean with its interval; `factor` is by how much the controls cut its variance, measured on this very run.

    1 where they were of no use and the plain mean stands.
    """

    mean: float
    low: float
    high: float
    confidence: float
    factor: float


def flowback_hours(scenario: Scenario, luck: Luck) -> list[float]:
    """Hours of each well's flowback, as stated for the first spread, under some luck."""
    spread = scenario.units.flowback_spreads[0]
    return [fsum(hours for _, hours in flowback_job(luck, well, spread)) for well in scenario.wells]


def controls_of(scenario: Scenario, replications: Iterable[int], seed: int) -> tuple[NDArray[np.float64], list[float]]:
    """Flowback hours of the wells, a row for each replication, and what the scenario says that they are on average."""
    rows = [flowback_hours(scenario, Luck(drawn(seed, int(number)))) for number in replications]
    return np.array(rows), flowback_hours(scenario, AVERAGE)


def controlled_mean(
    values: ArrayLike, controls: ArrayLike, expected: ArrayLike, confidence: float = 0.95
) -> ControlledMean:
    """The mean of `values`, given `controls`, a row for each value, whose true means are `expected`.

    The interval is that of the regression's value where every control is at its mean, exact for jointly normal
    values. The plain mean stands where the regression has no smaller variance, or too few values to go by.
    """
    sample = np.asarray(values, dtype=np.float64)
    plain = mean_interval(sample, confidence)
    apart = np.asarray(controls, dtype=np.float64) - np.asarray(expected, dtype=np.float64)
    apart = apart[:, np.ptp(apart, axis=0) > 0] if len(apart) else apart
    if not np.isfinite(sample).all() or not apart.size or len(sample) <= LEAST_FOR_EACH * (apart.shape[1] + 1):
        return ControlledMean(plain.mean, plain.low, plain.high, confidence, 1.0)
    mean, error, freedom = _at_expected(sample, apart)
    plain_error = plain.standard_deviation / sqrt(len(sample))
    if error >= plain_error:
        return ControlledMean(plain.mean, plain.low, plain.high, confidence, 1.0)
    return _interval(mean, error, freedom, confidence, plain_error)


def _at_expected(sample: NDArray[np.float64], apart: NDArray[np.float64]) -> tuple[float, float, int]:
    """The regression's value with every control at its mean, its standard error, and the degrees of freedom left."""
    rows = np.column_stack([np.ones(len(sample)), apart])
    slopes, _, rank, _ = np.linalg.lstsq(rows, sample, rcond=None)
    freedom = len(sample) - int(rank)
    spread = float(((sample - rows @ slopes) ** 2).sum()) / freedom
    return float(slopes[0]), sqrt(spread * float(np.linalg.pinv(rows.T @ rows)[0, 0])), freedom


def _interval(mean: float, error: float, freedom: int, confidence: float, plain_error: float) -> ControlledMean:
    from scipy.special import stdtrit

    half = float(stdtrit(freedom, (1 + confidence) / 2)) * error
    factor = (plain_error / error) ** 2 if error > 0 else float("inf")
    return ControlledMean(mean, mean - half, mean + half, confidence, factor)
