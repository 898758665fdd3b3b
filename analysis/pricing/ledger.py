"""Production, fuel and money of a forecast, as far as its scenario states what they need."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.forecasting.forecast import Forecast
from analysis.pricing.fuel_use import FuelUse, fuel_use
from analysis.pricing.money import Money, money_of
from analysis.pricing.production import Produced, produced
from analysis.pricing.well_flow import Flow, flow_of
from sim.scenario.scenario import Scenario


@dataclass(frozen=True)
class Ledger:
    """What is not stated is None."""

    scenario: Scenario
    produced: Produced | None
    fuel: FuelUse | None
    money: Money | None

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to say."""
        return self.produced is None and self.fuel is None and self.money is None


def reckon(played: Forecast) -> Ledger:
    """Reckon from the tables of a run; nothing is played."""
    scenario, flow = played.scenario, _flow(played)
    fuel = fuel_use(scenario, played.amounts)
    used = {*played.amounts["what"].unique(), *(() if fuel is None else fuel.fuels)}
    return Ledger(
        scenario,
        None if flow is None else produced(scenario, flow),
        fuel,
        money_of(scenario, played.pads, played.amounts, used, flow),
    )


def _flow(played: Forecast) -> Flow | None:
    if all(well.production is None for well in played.scenario.wells):
        return None
    return flow_of(played.scenario, played.seed, played.wells, played.shut_ins)
