"""A sum or a volume over many replications: P10, P50 and P90 with their intervals, and the mean with its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from analysis.statistics import MeanEstimate, QuantileEstimate, Values, mean_interval, quantile_interval

AMOUNTS = "P90 of a sum or a volume: 90 % chance of no more than that (those who book reserves say it the other way)."
CHANCES = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Estimate:
    """P10, P50 and P90 as chances of no more than that, and the mean."""

    quantiles: tuple[QuantileEstimate, ...]
    mean: MeanEstimate

    @property
    def middle(self) -> float:
        """The P50."""
        return self.quantiles[1].value


def estimate(values: Values) -> Estimate:
    """What replications say of an amount."""
    return Estimate(tuple(quantile_interval(values, chance) for chance in CHANCES), mean_interval(values))


HEADINGS = tuple(f"P{100 * chance:.0f}{which}" for chance in CHANCES for which in ("", " low", " high"))


def cells(found: Estimate) -> list[float | None]:
    """Quantiles with their bounds, then the mean with its own, in the order of HEADINGS; None for unknown bounds."""
    numbers: list[float | None] = []
    for quantile in found.quantiles:
        numbers += [quantile.value, _bound(quantile.low, quantile.low_rank), _bound(quantile.high, quantile.high_rank)]
    return numbers


def plain(found: Estimate) -> dict[str, Any]:
    """As plain data for summary.json."""
    said: dict[str, Any] = {}
    for chance, quantile in zip(CHANCES, found.quantiles, strict=True):
        low, high = _bound(quantile.low, quantile.low_rank), _bound(quantile.high, quantile.high_rank)
        said[f"P{100 * chance:.0f}"] = {"value": quantile.value, "low": low, "high": high}
    return said | {"mean": found.mean.mean}


def _bound(value: float, rank: int | None) -> float | None:
    return None if rank is None else value
