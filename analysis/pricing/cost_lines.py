"""Costs, line by line: an amount of the log times a stated price. Nothing else is a cost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from analysis.pricing.fuel_use import fuel_amounts
from analysis.pricing.tariff import Charge, Tariff
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

COLUMNS = ("replication", "month", "category", "item", "reason", "amount", "per", "price", "cost")
_TYPES = {"replication": "int64", "amount": "float64", "price": "float64", "cost": "float64"}


def cost_lines(scenario: Scenario, amounts: pd.DataFrame) -> pd.DataFrame:
    """All lines of all replications, with the columns COLUMNS; `cost` is `amount` times `price`, in USD."""
    import pandas as pd

    tariff = Tariff(scenario)
    used = pd.concat([amounts, fuel_amounts(scenario, amounts)], ignore_index=True)
    keys = ["subject", "what", "reason"]
    kinds = used[keys].drop_duplicates().itertuples(index=False, name=None)
    due = [(*kind, *charge) for kind in kinds for charge in tariff.charges(*kind)]
    if not due:
        return pd.DataFrame({name: pd.Series(dtype=_TYPES.get(name, "str")) for name in COLUMNS})
    prices = pd.DataFrame(due, columns=[*keys, *Charge._fields])
    lines = used.merge(prices, on=keys, how="inner")
    return lines.assign(cost=lines["amount"] * lines["price"])[list(COLUMNS)]
