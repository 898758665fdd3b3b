"""Cash by calendar month, and what it is worth at the start."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from analysis.pricing.amounts import Months
from analysis.pricing.production import volumes_by
from analysis.pricing.well_flow import Flow
from sim.scenario.prices import Prices
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]
DAY_H = 24.0


@dataclass(frozen=True)
class Cash:
    """USD by replication and month: what is paid, and what comes in after royalty, tax and running costs."""

    months: tuple[str, ...]
    paid: Array
    earned: Array

    @property
    def net(self) -> Array:
        """What is left."""
        return self.earned - self.paid


def cash_of(scenario: Scenario, by_month: pd.DataFrame, flow: Flow | None, until_h: float) -> Cash:
    """Cash of all replications from the start to an hour, from costs by replication and month."""
    assert scenario.prices is not None
    months = Months(scenario, until_h)
    paid = by_month.reindex(columns=months.names, fill_value=0.0).to_numpy(dtype=np.float64)
    earned = np.zeros_like(paid) if flow is None else earned_by_month(scenario.prices, flow, months.ends_h)
    return Cash(tuple(months.names), paid, earned)


def earned_by_month(prices: Prices, flow: Flow, ends_h: Sequence[float], later_h: float = 0.0) -> Array:
    """What production brings in each month: revenue after royalty and tax, less running costs and disposal."""
    volumes = volumes_by(flow, ends_h, later_h)
    oil, gas, water = (np.diff(each, axis=1, prepend=0.0) for each in (volumes.oil, volumes.gas, volumes.water))
    revenue = oil * (prices.oil or 0.0) + gas * (prices.gas or 0.0)
    kept = revenue * (1 - prices.royalty) * (1 - prices.tax)
    earned: Array = kept - oil * prices.operating - water * prices.produced_water
    return earned


def present_value(cash: Array, discount: float) -> Array:
    """Value at the start of cash by month, that of the first month counted in full.

    Month k is discounted by (1 + discount) to the power of k / 12, `discount` being a share a year.
    """
    weights = (1 + discount) ** (-np.arange(cash.shape[-1]) / 12)
    value: Array = cash @ weights
    return value


def lost_by_a_day(prices: Prices, flow: Flow, ends_h: Sequence[float]) -> Array:
    """Present value that is lost when every well comes on production a day later, by replication."""
    now, later = (earned_by_month(prices, flow, ends_h, hours) for hours in (0.0, DAY_H))
    return present_value(now - later, prices.discount)
