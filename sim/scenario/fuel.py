"""What burns fuel on location, as stated, and how well it turns into work."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from sim.scenario.part import Count, Name, Number, Part, default, unstated
from sim.scenario.quantities import BarrelsPerHour, ShareAboveNone, ShareBelowAll
from sim.scenario.wells import COMMON


class TruckFuel(Part):
    """TruckFuel that run while a fleet is on location: hauling, hot shots, cranes."""

    count: Count = default(10, "assumption")
    per_hour: BarrelsPerHour = default("2 gal/h", "assumption", "diesel of one truck, standing time included")


class Fuel(Part):
    """Fuel and power for pumping, from pressures and volumes; of everything else, by the hour on location."""

    pumping: Literal["diesel", "gas blend", "grid power"] = default("diesel", "assumption", "what drives the pumps")
    gas_share: ShareBelowAll = default("60 %", COMMON, "of a gas blend, share of the energy that gas brings")
    efficiency: ShareAboveNone = default(
        "35 %", "assumption", "hydraulic energy over energy of the fuel: engine, transmission and pump"
    )
    grid_efficiency: ShareAboveNone = default("80 %", "assumption", "hydraulic energy over energy from the grid")
    grid_carbon: Annotated[Number, Field(ge=0, le=2)] = default(
        0.37, "United States average about 2022, from memory", "kg of carbon dioxide per kWh from the grid"
    )
    per_hour: Annotated[dict[Name, BarrelsPerHour], Field(max_length=300)] = Field(
        default_factory=dict,
        description="diesel by name of a unit, or of a kind such as milling_rigs, while on location; 20 gal/h",
    )
    trucks: TruckFuel | None = unstated("none counted", "assumption", "trucks on location")
