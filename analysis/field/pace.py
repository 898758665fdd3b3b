"""How many hours a day fleets pumped, from the first stage to the last."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from analysis.field.reading import FieldLog
from analysis.statistics import MeanEstimate, mean_interval
from sim import activities


class Pace(NamedTuple):
    """Pumping hours of one fleet on each whole day between its first stage and its last, and their mean."""

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
            found.append(Pace(str(unit), days, mean_interval(hours), float(hours.min()), float(hours.max())))
    return found
