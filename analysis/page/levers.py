"""The few numbers of a plan that matter most, as levers: what each is now, how far it goes, what moving it changes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

from analysis.page.folder import NotAllowedError
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water

BBL_PER_HOUR = "bbl/h"


class Lever(NamedTuple):
    """A number that can be moved; `now` is what the plan states, as a multiple where it stands for several."""

    key: str
    label: str
    now: float
    low: float
    high: float
    step: float
    unit: str
    stands_for: str = ""  # what the plan states, where `now` is 100 % of it


def levers_of(scenario: Scenario) -> list[Lever]:
    """Those that this plan has."""
    found = []
    if scenario.water is not None:
        found += [
            Lever("water", "water rate", 100, 40, 250, 10, "%", _rate_words(scenario.water)),
            Lever("storage", "water storage", 100, 50, 400, 10, "%", _volume_words(scenario.water)),
        ]
    wireline = scenario.units.wireline_units
    if len(wireline) == 1:
        found.append(Lever("wireline", "wireline units", wireline[0].count, 1, 8, 1, ""))
    wells, rotation = len(scenario.wells), scenario.strategy.wells_in_rotation
    if wells > 1 and len(rotation) == 1:
        most = max(min(wells, 12), rotation[0])
        found.append(Lever("rotation", "wells in rotation", rotation[0], 1, most, 1, ""))
    if scenario.troubles:
        found.append(
            Lever(
                "troubles",
                "troubles",
                100 * scenario.trouble_factor,
                0,
                300,
                10,
                "%",
                "100 % strikes as often as stated",
            )
        )
    return found


def _rate_words(water: Water) -> str:
    rates = [f"{source.rate * 24 / 1000:.4g}" for source in water.sources]
    line = "" if water.transfer is None else f", line {water.transfer.limit * 24 / 1000:.4g}"
    return f"100 %: sources {' + '.join(rates)}{line} kbbl/day"


def _volume_words(water: Water) -> str:
    return f"100 %: {water.storage.capacity / 1000:.4g} kbbl"


def changes_of(scenario: Scenario, moved: dict[str, float]) -> list[tuple[str, Any]]:
    """What the levers change, as paths and values. Raises NotAllowedError for a lever the plan has not."""
    known = {lever.key: lever for lever in levers_of(scenario)}
    changes: list[tuple[str, Any]] = []
    for key, value in moved.items():
        lever = known.get(key)
        if lever is None or not lever.low <= value <= lever.high:
            raise NotAllowedError(f"no such lever in this plan, or beyond its ends: {key[:40]}")
        changes += _CHANGES[key](scenario, value)
    return changes


def _water(scenario: Scenario, percent: float) -> list[tuple[str, Any]]:
    water = scenario.water
    if water is None:
        return []
    found: list[tuple[str, Any]] = []
    for source in water.sources:
        path = f"water.sources.{source.name}.rate" if len(water.sources) > 1 else "water.sources.rate"
        found.append((path, f"{source.rate * percent / 100:.6g} {BBL_PER_HOUR}"))
    if water.transfer is not None:
        found.append(("water.transfer.limit", f"{water.transfer.limit * percent / 100:.6g} {BBL_PER_HOUR}"))
    return found


def _storage(scenario: Scenario, percent: float) -> list[tuple[str, Any]]:
    if scenario.water is None:
        return []
    storage, found = scenario.water.storage, []
    found.append(("water.storage.capacity", f"{storage.capacity * percent / 100:.6g} bbl"))
    if storage.fill_to is not None:
        found.append(("water.storage.fill_to", f"{storage.fill_to * percent / 100:.6g} bbl"))
    return found


_CHANGES: dict[str, Callable[[Scenario, float], list[tuple[str, Any]]]] = {
    "water": _water,
    "storage": _storage,
    "wireline": lambda _, value: [("units.wireline_units.count", int(value))],
    "rotation": lambda _, value: [("strategy.wells_in_rotation", int(value))],
    "troubles": lambda _, value: [("trouble_factor", value / 100)],
}
