"""Fuel, power and carbon dioxide of a run, from its hours and its hydraulic energy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.checking.estimates import Estimate, estimate
from analysis.pricing.amounts import OPEN, PUMPED, TROUBLE, WAIT, WORK
from analysis.pricing.blocks import blocks, summed, together
from sim.physics.energy import (
    DIESEL_KG_PER_GAL,
    GAS_KG_PER_MMBTU,
    KWH_PER_HPH,
    diesel_gal,
    heat_mmbtu,
)
from sim.scenario.equipment import individuals
from sim.scenario.fuel import Fuel
from sim.scenario.price_checks import price_keys
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

DIESEL, FUEL_GAS, POWER = "diesel gal", "fuel gas mmBtu", "grid power kWh"
PUMPING, ON_LOCATION, TRUCKS = "pumping", "on location", "trucks"
GALLONS = 42.0  # in a barrel


@dataclass(frozen=True)
class FuelUse:
    """What is burnt, and by whom: estimates by fuel and by (subject, fuel); carbon dioxide in tonnes."""

    fuels: dict[str, Estimate]
    by_subject: dict[tuple[str, str], Estimate]
    carbon_t: Estimate
    unknown: tuple[str, ...]


def fuel_amounts(scenario: Scenario, amounts: pd.DataFrame) -> pd.DataFrame:
    """Rows like those of the amounts, of fuel and power; none where the scenario states no fuel."""
    import pandas as pd

    if scenario.fuel is None:
        return amounts.iloc[:0]
    parts = [*_for_pumping(scenario.fuel, amounts), _by_the_hour(scenario, amounts)]
    if scenario.fuel.trucks is not None:
        parts.append(_of_trucks(scenario, amounts))
    return pd.concat([part for part in parts if len(part)] or [amounts.iloc[:0]], ignore_index=True)


def _for_pumping(fuel: Fuel, amounts: pd.DataFrame) -> list[pd.DataFrame]:
    keys = ["replication", "month", "subject"]
    energy = _summed(amounts[amounts["what"] == PUMPED], keys).assign(reason=PUMPING)
    return [_with_what(energy, fuel_name, each) for fuel_name, each in per_hph(fuel).items()]


def _summed(rows: pd.DataFrame, keys: list[str]) -> pd.DataFrame:
    return rows.groupby(keys, sort=False)["amount"].sum().reset_index()


def _with_what(rows: pd.DataFrame, what: str, factor: float) -> pd.DataFrame:
    return rows.assign(what=what, amount=rows["amount"] * factor)


def per_hph(fuel: Fuel) -> dict[str, float]:
    """What one hp h of hydraulic energy takes, by fuel."""
    heat = heat_mmbtu(1.0, fuel.efficiency)
    if fuel.pumping == "grid power":
        return {POWER: KWH_PER_HPH / fuel.grid_efficiency}
    if fuel.pumping == "diesel":
        return {DIESEL: diesel_gal(heat)}
    return {DIESEL: diesel_gal(heat * (1 - fuel.gas_share)), FUEL_GAS: heat * fuel.gas_share}


def _by_the_hour(scenario: Scenario, amounts: pd.DataFrame) -> pd.DataFrame:
    assert scenario.fuel is not None
    gallons = {name: GALLONS * rate for name, rate in _rates(scenario, scenario.fuel).items()}
    rows = amounts[amounts["what"].isin((WORK, WAIT, TROUBLE))]
    rows = _summed(rows, ["replication", "month", "subject"])
    rows = rows.assign(rate=rows["subject"].map(gallons).astype(float).fillna(0.0), what=DIESEL, reason=ON_LOCATION)
    rows = rows[rows["rate"] > 0]
    return rows.assign(amount=rows["amount"] * rows["rate"]).drop(columns="rate")


def _rates(scenario: Scenario, fuel: Fuel) -> dict[str, float]:
    """Barrels of diesel an hour of each unit that has any."""
    stated = fuel.per_hour
    first = {name: next((key for key in keys if key in stated), None) for name, keys in price_keys(scenario).items()}
    return {name: stated[key] for name, key in first.items() if key is not None}


def _of_trucks(scenario: Scenario, amounts: pd.DataFrame) -> pd.DataFrame:
    """Trucks run while fleets are on location."""
    assert scenario.fuel is not None
    assert scenario.fuel.trucks is not None
    trucks, fleets = scenario.fuel.trucks, [name for name, _ in individuals(scenario.units.pumping_fleets)]
    rows = amounts[amounts["what"].isin((WORK, WAIT, TROUBLE)) & amounts["subject"].isin(fleets)]
    rows = _summed(rows, ["replication", "month"])
    gallons_per_hour = GALLONS * trucks.per_hour * trucks.count
    return rows.assign(subject="Trucks", what=DIESEL, reason=TRUCKS, amount=rows["amount"] * gallons_per_hour)


def carbon_kg(fuel: Fuel) -> dict[str, float]:
    """Carbon dioxide of one unit of each fuel; of power, that of the grid."""
    return {DIESEL: DIESEL_KG_PER_GAL, FUEL_GAS: GAS_KG_PER_MMBTU, POWER: fuel.grid_carbon}


def fuel_use(scenario: Scenario, amounts: pd.DataFrame) -> FuelUse | None:
    """Fuel of all replications; None where no fuel is stated."""
    if scenario.fuel is None:
        return None
    fuels, subjects, carbon = list[Any](), list[Any](), list[Any]()
    for block in blocks(amounts):
        burnt = fuel_amounts(scenario, block)
        fuels.append(summed(burnt, "what", "amount"))
        subjects.append(summed(burnt, ["subject", "what"], "amount"))
        kg = burnt["what"].map(carbon_kg(scenario.fuel)).astype(float)
        burnt = burnt.assign(all="", carbon=burnt["amount"] * kg / 1000)
        carbon.append(summed(burnt, "all", "carbon"))
    replications = [int(number) for number in amounts.loc[amounts["what"] == OPEN, "replication"].unique()]
    by_fuel, by_subject, of_all = (together(each, replications) for each in (fuels, subjects, carbon))
    return FuelUse(
        {str(name): _estimated(by_fuel[name]) for name in by_fuel},
        {(str(key[0]), str(key[1])): _estimated(by_subject[key]) for key in by_subject.columns.to_flat_index()},
        _estimated(of_all[""]) if "" in of_all else estimate(np.zeros(len(replications))),
        tuple(_unknown(scenario)),
    )


def _estimated(column: pd.Series[float]) -> Estimate:
    return estimate([float(value) for value in column])


def _unknown(scenario: Scenario) -> list[str]:
    """What cannot be counted, for lack of statements."""
    assert scenario.fuel is not None
    silent = [well.name for well in scenario.wells if well.pressure is None]
    found = [f"the pressure of {', '.join(silent)} is not stated, which pumping energy needs"] if silent else []
    counted = _rates(scenario, scenario.fuel)
    for kind, entries in scenario.units.kinds.items():
        if kind != "pumping_fleets" and any(name not in counted for name, _ in individuals(entries)):
            found.append(f"fuel.per_hour.{kind} is not stated")
    return found
