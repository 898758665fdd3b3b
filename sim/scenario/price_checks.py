"""What prices, fuel and production name or promise that the rest of the scenario does not hold."""

from __future__ import annotations

from collections.abc import Iterator

from sim.activities import FLOWBACK_WATER
from sim.scenario.document import Steps
from sim.scenario.equipment import individuals
from sim.scenario.feasibility import Finding
from sim.scenario.problems import did_you_mean
from sim.scenario.production import shortcomings
from sim.scenario.scenario import Scenario


def price_keys(scenario: Scenario) -> dict[str, tuple[str, ...]]:
    """Keys under which prices of each unit may stand, the first before the others: its name, its entry's, its kind."""
    found: dict[str, tuple[str, ...]] = {}
    for kind, entries in scenario.units.kinds.items():
        for name, stated in individuals(entries):
            own = (name,) if stated.name is None or stated.name == name else (name, stated.name)
            found[name] = (*own, kind)
    return found


def priced_nobody(scenario: Scenario) -> Iterator[Finding]:
    """Prices of units that are not there."""
    if scenario.prices is not None:
        yield from _unknown_units(scenario, scenario.prices.units, ("prices", "units"))
    if scenario.fuel is not None:
        yield from _unknown_units(scenario, scenario.fuel.per_hour, ("fuel", "per_hour"))


def _unknown_units(scenario: Scenario, stated: object, steps: Steps) -> Iterator[Finding]:
    keys = price_keys(scenario)
    known = dict.fromkeys([*scenario.units.kinds, *(key for unit in keys.values() for key in unit[:-1])])
    for name in stated if isinstance(stated, dict) else ():
        if name not in known:
            hint = did_you_mean(name, known)
            kinds = ", ".join(scenario.units.kinds)
            message = f"no unit or kind of units is called {name}{hint}; expected the name of a unit, or one of {kinds}"
            yield Finding((*steps, name), message)


def priced_no_source(scenario: Scenario) -> Iterator[Finding]:
    """Prices of water from sources that are not there."""
    if scenario.prices is None:
        return
    water = scenario.water
    known = [] if water is None else [source.name for source in water.sources]
    known += [FLOWBACK_WATER] if water is not None and water.flowback_to is not None else []
    for name in scenario.prices.water_by_source:
        if name not in known:
            sources = f"one of {', '.join(known)}" if known else "none, for the scenario states no sources"
            message = f"no source of water is called {name}{did_you_mean(name, known)}; expected {sources}"
            yield Finding(("prices", "water_by_source", name), message)


def endless_production(scenario: Scenario) -> Iterator[Finding]:
    """Wells that would produce without end, or state one thing twice."""
    for number, well in enumerate(scenario.wells):
        if well.production is not None:
            for steps, message in shortcomings(well.production):
                yield Finding(("wells", number, "production", *steps), message)
