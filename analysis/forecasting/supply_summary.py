"""What a forecast says of the supplies: volumes, levels and hours starved, over all replications."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from analysis.statistics import MeanEstimate, QuantileEstimate, mean_interval, quantile_interval

if TYPE_CHECKING:
    import pandas as pd

CHANCES = (0.1, 0.5, 0.9)
FIGURES = ("offered", "used", "turned_away", "peak_rate", "lowest_level", "starved_h")


@dataclass(frozen=True)
class SupplySummary:
    """One store, pond or source. `figures` by the names of `FIGURES`; `parts` are mean hours starved by part.

    `first` is when some unit first waits for it, hours from the start, infinite where nobody ever does.
    """

    supply: str
    kind: str
    figures: Mapping[str, tuple[QuantileEstimate, ...]]
    means: Mapping[str, MeanEstimate]
    parts: Mapping[str, MeanEstimate]
    first: QuantileEstimate


def supply_summaries(supplies: pd.DataFrame, shortages: pd.DataFrame, replications: int) -> tuple[SupplySummary, ...]:
    """One for each supply, in the order of the log: stores first as they are logged, each with what feeds it."""
    return tuple(
        SupplySummary(
            str(supply),
            str(rows["kind"].iloc[0]),
            {name: _quantiles(rows[name]) for name in FIGURES},
            {name: mean_interval(rows[name].to_numpy(dtype=float)) for name in FIGURES},
            _parts(shortages[shortages["supply"] == supply], replications),
            _first(shortages[shortages["supply"] == supply], replications),
        )
        for supply, rows in supplies.groupby("supply", sort=False)
    )


def _quantiles(values: pd.Series[float]) -> tuple[QuantileEstimate, ...]:
    sample = np.asarray(values, dtype=np.float64)
    return tuple(quantile_interval(sample, chance) for chance in CHANCES)


def _first(shortages: pd.DataFrame, replications: int) -> QuantileEstimate:
    """The median of when somebody first waits; a replication in which nobody does counts as never."""
    first = shortages.groupby("replication")["first_h"].min().to_numpy(dtype=float)
    return quantile_interval(np.concatenate([first, np.full(replications - len(first), np.inf)]), 0.5)


def _parts(shortages: pd.DataFrame, replications: int) -> dict[str, MeanEstimate]:
    """Mean hours by part, largest first; a replication without such a wait counts as nothing."""
    found = {}
    for part, rows in shortages.groupby("part", sort=False):
        hours = np.zeros(replications)
        hours[: len(rows)] = rows["hours"].to_numpy(dtype=float)
        found[str(part)] = mean_interval(hours)
    return dict(sorted(found.items(), key=lambda each: -each[1].mean))
