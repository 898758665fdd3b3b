"""A sum or a volume over many replications: P10, P50 and P90 with their intervals, and the mean with its own."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

import numpy as np

from analysis.statistics import MeanEstimate, QuantileEstimate, Values, mean_interval, quantile_interval

AMOUNTS = "P90 of a sum or a volume: 90 % chance of no more than that (those who book reserves say it the other way)."
CHANCES = (0.1, 0.5, 0.9)
UNKNOWN = "unknown"


@dataclass(frozen=True)
class Estimate:
    """P10, P50 and P90 as chances of no more than that, and the mean; infinite is unknown."""

    quantiles: tuple[QuantileEstimate, ...]
    mean: MeanEstimate

    @property
    def middle(self) -> float:
        """The P50."""
        return self.quantiles[1].value


def estimate(values: Values) -> Estimate:
    """What replications say of an amount."""
    return Estimate(tuple(quantile_interval(values, chance) for chance in CHANCES), mean_interval(values))


def estimate_within(least: Values, most: Values, *, as_most: bool) -> Estimate:
    """What replications say of an amount that was not seen whole in all of them, but lies between two bounds there.

    Quantiles are those of one bound, `most` or else `least`: infinite where they fall among what is unknown. Intervals
    hold whatever the amount is between both. There is no mean, which is infinite, unless all are known.
    """
    low, high = np.asarray(least, dtype=np.float64), np.asarray(most, dtype=np.float64)
    quantiles = []
    for chance in CHANCES:
        lowest, highest = (quantile_interval(each, chance) for each in (low, high))
        quantiles.append((highest if as_most else lowest)._replace(low=lowest.low, high=highest.high))
    return Estimate(tuple(quantiles), mean_interval(np.where(low == high, low, inf)))


def figure(value: float, scale: float = 1.0, digits: int = 1) -> str:
    """A number as tables show it, divided by `scale`."""
    return f"{value / scale:,.{digits}f}" if isfinite(value) else UNKNOWN


HEADINGS = tuple(f"P{100 * chance:.0f}{which}" for chance in CHANCES for which in ("", " low", " high"))


def cells(found: Estimate) -> list[float | None]:
    """Quantiles with their bounds, then the mean with its own, in the order of HEADINGS; None for what is unknown."""
    numbers: list[float | None] = []
    for quantile in found.quantiles:
        numbers += [
            known(quantile.value),
            _bound(quantile.low, quantile.low_rank),
            _bound(quantile.high, quantile.high_rank),
        ]
    return numbers


def plain(found: Estimate) -> dict[str, Any]:
    """As plain data for summary.json."""
    said: dict[str, Any] = {}
    for chance, quantile in zip(CHANCES, found.quantiles, strict=True):
        low, high = _bound(quantile.low, quantile.low_rank), _bound(quantile.high, quantile.high_rank)
        said[f"P{100 * chance:.0f}"] = {"value": known(quantile.value), "low": low, "high": high}
    return said | {"mean": known(found.mean.mean)}


def known(value: float) -> float | None:
    """The value, None where it is unknown."""
    return value if isfinite(value) else None


def _bound(value: float, rank: int | None) -> float | None:
    return None if rank is None else known(value)
