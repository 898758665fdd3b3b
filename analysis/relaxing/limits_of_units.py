"""The limits that the units of a plan are: how many there are, when they arrive, their hours, what they can do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

from analysis.relaxing.limits_written import Changes, replaced
from sim.scenario.equipment import AROUND_THE_CLOCK, Unit
from sim.scenario.scenario import Scenario

CALLED = {
    "preparation_crews": "preparation crew",
    "pumping_fleets": "pumping fleet",
    "wireline_units": "wireline unit",
    "milling_rigs": "milling rig",
    "flowback_spreads": "flowback spread",
}
NO_LIMIT = "100000 bbl/min"

Entry = dict[str, Any]
Found = Iterator[tuple[str, Callable[[dict[str, Any]], Changes]]]


def unit_limits(scenario: Scenario) -> Found:
    """One more of each kind, or of each entry where a kind has several; then what else holds them back."""
    for kind, entries in scenario.units.kinds.items():
        for number, unit in enumerate(entries):
            called = CALLED[kind] if len(entries) == 1 else f"{CALLED[kind]} like {unit.name or f'entry {number + 1}'}"
            yield f"one more {called}", _one_more(kind, number)
    for kind, entries in scenario.units.kinds.items():
        yield from _arrivals(scenario, kind, entries)
        if any(unit.hours != AROUND_THE_CLOCK for unit in entries):
            yield f"{CALLED[kind]}s around the clock", _each(kind, {"hours": "around the clock"})
        if any(unit.at_shift_end != "pause" and unit.hours != AROUND_THE_CLOCK for unit in entries):
            yield f"jobs of {CALLED[kind]}s may pause at the end of a shift", _each(kind, {"at_shift_end": "pause"})
    yield "pumping fleets without a limit of rate", _each("pumping_fleets", {"rate_limit": NO_LIMIT})
    stacks = scenario.units.frac_stacks
    if stacks is not None and stacks < len(scenario.wells):
        yield "frac stacks for all wells", lambda _: [("units.frac_stacks", None)]


def _arrivals(scenario: Scenario, kind: str, entries: Any) -> Found:
    for number, unit in enumerate(entries):
        if unit.arrives is not None and unit.arrives > scenario.start:
            name = unit.name or (CALLED[kind] if len(entries) == 1 else f"{CALLED[kind]} of entry {number + 1}")
            yield f"{name} a day earlier", _earlier(scenario, kind, number, unit)


def _earlier(scenario: Scenario, kind: str, number: int, unit: Unit) -> Callable[[dict[str, Any]], Changes]:
    assert unit.arrives is not None
    moment = max(scenario.start, unit.arrives - timedelta(days=1))
    return lambda plan: _with(plan, kind, number, {"arrives": f"{moment:%Y-%m-%d %H:%M:%S}"})


def _entries(plan: dict[str, Any], kind: str) -> list[Entry]:
    """Entries of a kind as written; the only one may stand for the list."""
    written = plan["units"][kind]
    return list(written) if isinstance(written, list) else [written]


def _with(plan: dict[str, Any], kind: str, number: int, more: Entry) -> Changes:
    entries = _entries(plan, kind)
    entries[number] = {**entries[number], **more}
    return replaced(f"units.{kind}", entries)


def _each(kind: str, more: Entry) -> Callable[[dict[str, Any]], Changes]:
    return lambda plan: replaced(f"units.{kind}", [{**entry, **more} for entry in _entries(plan, kind)])


def _one_more(kind: str, number: int) -> Callable[[dict[str, Any]], Changes]:
    """An entry of its own with a name of its own: the others keep their names, and with them their luck."""

    def changes(plan: dict[str, Any]) -> Changes:
        entries = _entries(plan, kind)
        which = f" {number + 1}" if len(entries) > 1 else ""
        another = {**entries[number], "name": f"Another {CALLED[kind]}{which}", "count": 1}
        return [*replaced(f"units.{kind}", [*entries, another]), *_rates_of(plan, entries[number], another["name"])]

    return changes


def _rates_of(plan: dict[str, Any], entry: Entry, another: str) -> Iterator[tuple[str, Any]]:
    """Prices and fuel that are stated for an entry by its name, for the unit that is added to be like it."""
    for section, key in (("prices", "units"), ("fuel", "per_hour")):
        stated = (plan.get(section) or {}).get(key) or {}
        own = next((name for name in (entry.get("name"), f"{entry.get('name')} 1") if name in stated), None)
        if own is not None:
            yield from replaced(f"{section}.{key}", {**stated, another: stated[own]})
