"""Which prices an amount meets: the stated ones, each with its category, and what has none."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from analysis.pricing.amounts import ARRIVAL, OPEN, PLUG, PROPPANT, STAGE, TAKEN, TROUBLE, WAIT, WATER, WELL, WORK
from analysis.pricing.fuel_use import DIESEL, FUEL_GAS, GALLONS, POWER, per_hph
from analysis.pricing.nights import OWN
from sim.activities import FLOWBACK_WATER
from sim.scenario.equipment import individuals
from sim.scenario.price_checks import price_keys
from sim.scenario.prices import Prices, UnitPrices
from sim.scenario.scenario import Scenario

KWH_PER_MMBTU = 1e6 / 3412.14163  # of 3412.14 Btu in a kWh (NIST Special Publication 811, from memory)
WAITING = "standby"


class Charge(NamedTuple):
    """A price for each unit of an amount, and the heading under which it is booked."""

    category: str
    item: str
    per: str
    price: float


class Tariff:
    """The prices of a scenario, looked up by what an amount is."""

    def __init__(self, scenario: Scenario) -> None:
        assert scenario.prices is not None
        self.prices: Prices = scenario.prices
        self._keys = price_keys(scenario)

    def charges(self, subject: str, what: str, reason: str) -> list[Charge]:
        """All that is due for one unit of an amount."""
        if what == OPEN:
            return list(self._by_the_day())
        if what in (WATER, TAKEN):
            return self._water(subject, what)
        if what == PROPPANT:
            return _priced("proppant", "proppant", "lb", self.prices.proppant)
        fuel = self._fuels.get(what)
        return _priced("fuel", subject, *fuel) if fuel else self._unit(subject, what, reason)

    @property
    def _fuels(self) -> dict[str, tuple[str, float | None]]:
        prices = self.prices
        diesel = None if prices.diesel is None else prices.diesel / GALLONS
        power = None if prices.power is None else prices.power / KWH_PER_MMBTU
        return {DIESEL: ("gal", diesel), FUEL_GAS: ("mmBtu", prices.fuel_gas), POWER: ("kWh", power)}

    def of_unit(self, name: str) -> UnitPrices | None:
        """Prices of a unit: its own, those of its entry, or those of its kind."""
        stated = self.prices.units
        return next((stated[key] for key in self._keys.get(name, ()) if key in stated), None)

    def _unit(self, subject: str, what: str, reason: str) -> list[Charge]:
        stated = self.of_unit(subject)
        if stated is None:
            return []
        standby = stated.day if stated.standby_day is None else stated.standby_day
        booked: dict[str, tuple[str, str, float | None]] = {
            WORK: ("day rates", "h", stated.day),
            TROUBLE: ("day rates", "h", stated.day),
            WAIT: (WAITING, "h", standby),
            ARRIVAL: ("mobilisation", "arrival", stated.mobilisation),
            STAGE: ("by the stage", "stage", stated.per_stage),
            PLUG: ("by the plug", "plug", stated.per_plug),
            WELL: ("by the well", "well", stated.per_well),
        }
        if what not in booked:
            return []
        # a unit's own nights and crew changes are in its day rate: nobody keeps it
        category, per, price = booked[WORK if what == WAIT and reason in OWN else what]
        return _priced(category, subject, per, price)

    def _by_the_day(self) -> Iterator[Charge]:
        for category, rates in (("crews", self.prices.crews), ("overheads", self.prices.overheads)):
            for name, rate in rates.items():
                yield Charge(category, name, "h", rate)

    def _water(self, source: str, what: str) -> list[Charge]:
        """By the source where any source has a price of its own; else all that is drawn from storage."""
        by_source, otherwise = self.prices.water_by_source, self.prices.water
        if what == WATER:
            return [] if by_source else _priced("water", "water", "bbl", otherwise)
        if not by_source:
            return []
        own = by_source.get(source)
        back = source == FLOWBACK_WATER  # is nobody's to sell, unless its price is stated
        return _priced("water", source, "bbl", otherwise if own is None and not back else own)


def _priced(category: str, item: str, per: str, price: float | None) -> list[Charge]:
    return [] if price is None else [Charge(category, item, per, price)]


def unpriced(scenario: Scenario, used: set[str]) -> list[str]:
    """Prices that are missing for what the run used, as paths to state them under."""
    assert scenario.prices is not None
    tariff, prices = Tariff(scenario), scenario.prices
    found = []
    for kind, entries in scenario.units.kinds.items():
        if any(tariff.of_unit(name) is None for name, _ in individuals(entries)):
            found.append(f"prices.units.{kind}")
    wanted = {PROPPANT: ("proppant", prices.proppant), DIESEL: ("diesel", prices.diesel)}
    wanted |= {FUEL_GAS: ("fuel_gas", prices.fuel_gas), POWER: ("power", prices.power)}
    found += [f"prices.{key}" for what, (key, price) in wanted.items() if what in used and price is None]
    if WATER in used and prices.water is None and not _all_sources_priced(tariff, scenario):
        found.append("prices.water")
    if prices.water_by_source and WATER in used and TAKEN not in used:
        found.append("prices.water_by_source (this run holds no volumes by source: play it again)")
    return found + _unsold(scenario)


def _all_sources_priced(tariff: Tariff, scenario: Scenario) -> bool:
    names = [source.name for source in scenario.water.sources] if scenario.water is not None else []
    return bool(names) and all(name in tariff.prices.water_by_source for name in names)


def _unsold(scenario: Scenario) -> list[str]:
    """What value needs: production of every well, and what it sells for."""
    assert scenario.prices is not None
    silent = [well.name for well in scenario.wells if well.production is None]
    if len(silent) == len(scenario.wells):
        return ["wells.*.production"]
    found = [f"wells.{name}.production" for name in silent]
    found += [] if scenario.prices.oil is not None else ["prices.oil"]
    sells_gas = any(well.production is not None and well.production.gas_oil_ratio for well in scenario.wells)
    return found + (["prices.gas"] if sells_gas and scenario.prices.gas is None else [])


def would_use(scenario: Scenario) -> set[str]:
    """What a run will use that may have a price, as far as the scenario tells before it is played."""
    found = {WATER, TAKEN} | ({PROPPANT} if any(well.proppant_lb > 0 for well in scenario.wells) else set())
    if scenario.fuel is not None:
        pumped = any(well.pressure is not None for well in scenario.wells)
        by_the_hour = bool(scenario.fuel.per_hour) or scenario.fuel.trucks is not None
        found |= set(per_hph(scenario.fuel)) if pumped else set()
        found |= {DIESEL} if by_the_hour else set()
    return found
