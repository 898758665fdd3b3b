"""How many hours a day fleets pumped, from the first stage to the last."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.field.reading import FieldLog
from analysis.statistics import MeanEstimate, mean_interval
from sim import activities

Hours = NDArray[np.float64]


class Pace(NamedTuple):
    """Pumping hours of one fleet on each whole day between its first stage and its last, and their mean.

    The interval of the mean is widened where a good day tends to follow a good one.
    """

    unit: str
    days: int
    mean: MeanEstimate
    lowest: float
    highest: float


def paces_of(log: FieldLog) -> list[Pace]:
    """One for each fleet with two whole days of pumping; days count from its first stage, not from midnight."""
    rows = log.rows[(log.rows["activity"] == activities.PUMP_STAGE) & (log.rows["cause"] == "")]
    once = rows.drop_duplicates(["unit", "start_h"])
    found = []
    for unit, own in once.groupby("unit"):
        start_h, end_h = own["start_h"].to_numpy(float), own["end_h"].fillna(log.until_h).to_numpy(float)
        days = int((end_h.max() - start_h.min()) // 24)
        if days >= 2:
            edges = start_h.min() + 24 * np.arange(days + 1)
            overlap = np.minimum(end_h, edges[1:, None]) - np.maximum(start_h, edges[:-1, None])
            hours = np.maximum(overlap, 0).sum(axis=1)
            mean = mean_of_days(hours)
            within = mean._replace(low=max(mean.low, 0.0), high=min(mean.high, 24.0))
            found.append(Pace(str(unit), days, within, float(hours.min()), float(hours.max())))
    return found


def mean_of_days(hours: Hours) -> MeanEstimate:
    """Mean with its interval, for days of which each is like the one before: half of it times ((1 + r) / (1 - r))^1/2.

    r is the autocorrelation of one day with the next. Source: Bayley and Hammersley 1946, Supplement to the Journal
    of the Royal Statistical Society 8, 184-197 (from memory).
    """
    estimate, r = mean_interval(hours), max(0.0, autocorrelation(hours))
    half = (estimate.high - estimate.mean) * sqrt((1 + r) / (1 - r))
    return estimate._replace(low=estimate.mean - half, high=estimate.mean + half)


def autocorrelation(values: Hours) -> float:
    """Of each value with the next (lag one); 0 where they do not vary."""
    off = values - values.mean()
    squares = float(off @ off)
    return float(off[1:] @ off[:-1]) / squares if squares > 0 else 0.0
