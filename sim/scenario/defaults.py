"""Which values a scenario left unstated, and what stands in for them, with its source."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

from pydantic.fields import FieldInfo

from sim.scenario.equipment import FlowbackSpread, MillingRig
from sim.scenario.part import Part
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Triangular
from sim.scenario.strategy import Strategy
from sim.scenario.troubles import USUAL, AnyTrouble, source_of_usual
from sim.scenario.weather import Weather
from sim.scenario.weather_limits import LIGHTNING
from sim.scenario.wells import COMMON, TOE_TIMES, StageDesign, Toe, Well
from sim.scenario.written import as_written


class DefaultUsed(NamedTuple):
    """A value that nobody stated: the path to state it under, what is taken instead, and on whose word."""

    path: str
    value: str
    source: str
    description: str


def defaults_used(scenario: Scenario) -> list[DefaultUsed]:
    """Every default that the scenario rests on; one shared by all entries of a list is named once, as `wells.*`."""
    return list(_in_part(scenario, ""))


def _in_part(part: Part, prefix: str) -> Iterator[DefaultUsed]:
    for key, field in type(part).model_fields.items():
        path, value = prefix + key, getattr(part, key)
        if key not in part.model_fields_set and "source" in _remarks(field):
            if not _is_idle(part, key):
                yield _default(path, field)
        elif isinstance(part, Toe) and key == "time" and value is None:
            yield from _toe_time(path, part.method)
        elif isinstance(part, Scenario) and key == "troubles":
            for name, trouble in part.troubles.items():
                yield from _in_trouble(name, trouble, f"{path}.{name}.")
        else:
            yield from _inside(value, path)


def _inside(value: object, path: str) -> Iterator[DefaultUsed]:
    if isinstance(value, Part):
        yield from _in_part(value, f"{path}.")
    elif isinstance(value, tuple) and value and isinstance(value[0], Part):
        yield from _in_entries(value, path)


_IDLE: dict[tuple[type[Part], str], Callable[[Any], bool]] = {
    (FlowbackSpread, "duration"): lambda spread: spread.choke_steps is not None,
    (MillingRig, "sweep"): lambda rig: rig.sweep_every is None,
    (StageDesign, "pad"): lambda design: design.fluid_per_length is None,
    (StageDesign, "proppant"): lambda design: design.proppant_per_length is not None,
    (Strategy, "well_spacing"): lambda strategy: strategy.keep_clear_distance is None,
    (Weather, "stand_down"): lambda weather: not _by_lightning(weather),
    (Well, "casing_inside_diameter"): lambda well: well.pressure is None and well.stage_design.fluid_per_length is None,
}
"""Defaults that count for nothing, by what else is stated or not."""


def _is_idle(part: Part, key: str) -> bool:
    counts_not = _IDLE.get((type(part), key))
    return counts_not is not None and counts_not(part)


def _by_lightning(weather: Weather) -> bool:
    return any(limit.reading == LIGHTNING for stop in weather.stops.stated().values() for limit in stop)


def _in_trouble(name: str, trouble: AnyTrouble, prefix: str) -> Iterator[DefaultUsed]:
    """What is usual of a trouble of this name, and the defaults of any."""
    usually = {key: figure for key, figure in USUAL.get(name, {}).items() if key != "strikes"}
    for key, field in type(trouble).model_fields.items():
        if key in trouble.model_fields_set:
            continue
        if key not in usually and "source" in _remarks(field):
            yield _default(prefix + key, field)
        elif key in usually and getattr(trouble, key) is not None:
            meaning = field.description or key
            yield DefaultUsed(prefix + key, as_written(usually[key]), source_of_usual(name, key), meaning)


def _remarks(field: FieldInfo) -> dict[str, Any]:
    extra = field.json_schema_extra
    return extra if isinstance(extra, dict) else {}


def _default(path: str, field: FieldInfo) -> DefaultUsed:
    remarks = _remarks(field)
    value = remarks.get("unstated") or as_written(field.default)
    description = (field.description or path.rpartition(".")[2].replace("_", " ")).partition("; if not stated")[0]
    return DefaultUsed(path, value, remarks["source"], description)


def _toe_time(path: str, method: str) -> Iterator[DefaultUsed]:
    """Hours of toe preparation, which depend on the method."""
    hours = TOE_TIMES[method]
    if isinstance(hours, Triangular):
        value = as_written({"triangular": [f"{part:g} h" for part in (hours.low, hours.mode, hours.high)]})
        yield DefaultUsed(path, value, COMMON, f"hours of toe preparation by {method}")


def _in_entries(entries: tuple[Part, ...], path: str) -> Iterator[DefaultUsed]:
    """Defaults of a list of entries: those of several once, for `*`, the others under the name of their entry."""
    users: dict[DefaultUsed, list[int]] = {}
    for number, entry in enumerate(entries):
        for used in _in_part(entry, ""):
            users.setdefault(used, []).append(number)
    for used, numbers in users.items():
        if len(numbers) == 1:
            yield used._replace(path=f"{_path_of(entries, path, numbers[0])}.{used.path}")
        else:
            some = "" if len(numbers) == len(entries) else f" (in {len(numbers)} of {len(entries)})"
            yield used._replace(path=f"{path}.*.{used.path}", description=used.description + some)


def _path_of(entries: tuple[Part, ...], path: str, number: int) -> str:
    name = getattr(entries[number], "name", None)
    if name is not None:
        return f"{path}.{name}"
    return path if len(entries) == 1 else f"{path}[item {number + 1}]"
