"""What things cost and bring, as stated. Prices never enter the model: they are applied to what its log says."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from sim.scenario.part import Name, Part, default, unstated
from sim.scenario.quantities import (
    Money,
    MoneyPerBarrel,
    MoneyPerGas,
    MoneyPerHeat,
    MoneyPerHour,
    MoneyPerPound,
    PositiveHours,
    Share,
)

DayRates = Annotated[dict[Name, MoneyPerHour], Field(max_length=100)]


def _stated(description: str) -> Any:
    """A price without a default: what is not stated is not priced, and money says so."""
    return Field(default=None, description=description)


class UnitPrices(Part):
    """What a unit, or each unit of a kind, costs while it is on location, and for what it does there."""

    day: MoneyPerHour | None = _stated("while it works, and while its own troubles stop it; 85000 USD/day")
    standby_day: MoneyPerHour | None = _stated("while it waits for others or the weather; if not stated: as day")
    mobilisation: Money | None = _stated("once, when it comes; demobilisation included")
    per_stage: Money | None = _stated("for each stage that a fleet pumps, or each run of wireline")
    per_plug: Money | None = _stated("for each plug that wireline sets, or a milling rig mills")
    per_well: Money | None = _stated("for each well in which it has done work")


class Prices(Part):
    """Prices in US dollars, day rates by the day. What is not stated is not priced, and the answer says so."""

    units: Annotated[dict[Name, UnitPrices], Field(max_length=300)] = Field(
        default_factory=dict, description="by name of a unit, or of a kind such as wireline_units; a unit goes first"
    )
    crews: DayRates = Field(default_factory=dict, description="crews paid while any unit is on location, by name")
    overheads: DayRates = Field(default_factory=dict, description="what else is paid for by the day meanwhile, by name")
    water: MoneyPerBarrel | None = _stated("each barrel drawn from storage, whatever its source")
    water_by_source: Annotated[dict[Name, MoneyPerBarrel], Field(max_length=50)] = Field(
        default_factory=dict, description="each barrel taken from a source, by its name; others at water"
    )
    proppant: MoneyPerPound | None = _stated("delivered; 45 USD/ton of 2000 lb")
    diesel: MoneyPerBarrel | None = _stated("3.60 USD/gal")
    fuel_gas: MoneyPerHeat | None = _stated("gas burnt by the fleet; 3.50 USD/mmBtu")
    power: MoneyPerHeat | None = _stated("power from the grid; 0.08 USD/kWh")
    oil: MoneyPerBarrel | None = _stated("at the lease; 68 USD/bbl")
    gas: MoneyPerGas | None = _stated("at the lease; 2.80 USD/mcf")
    operating: MoneyPerBarrel = default("0 USD/bbl", "none stated", "running costs, on each barrel of oil")
    produced_water: MoneyPerBarrel = default("0 USD/bbl", "none stated", "disposal, on each barrel of produced water")
    royalty: Share = default("0 %", "none stated", "share of the revenue that is the royalty owner's")
    tax: Share = default("0 %", "none stated", "production tax, a share of the revenue after royalty")
    discount: Share = default(
        "10 %", "common practice", "a year, compounded; costs and revenue are discounted to start"
    )
    evaluated_over: PositiveHours = default("3650 day", "assumption", "span from the start that counts for value")
    note: Annotated[str, Field(max_length=200)] | None = unstated(
        "none", "none stated", "a remark shown with every sum, such as 'invented prices'"
    )
