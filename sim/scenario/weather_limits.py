"""When weather stops work, as stated: `wind > 35 mph or lightning`.

Readings are kept in m/s, mm and degC. The registry of quantities knows factors alone, while temperatures are offset
units and rain is a depth in a time, so the few units of weather are converted here, exactly.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Literal, NamedTuple

from pydantic import PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

from sim.scenario.problems import did_you_mean
from sim.scenario.written import shown

Measured = Literal["wind", "rain", "temperature"]

LIGHTNING = "lightning"
BAD_WEATHER = "bad weather"
EXAMPLES = ("wind > 35 mph", "rain > 0.5 in/day", "temperature < 20 degF", LIGHTNING)


class Unit(NamedTuple):
    """(number - zero) * up / down is the number in the unit kept; `per_h`: hours in which it fell, if any are said."""

    up: float
    down: float = 1.0
    zero: float = 0.0
    per_h: float | None = None

    def kept(self, number: float) -> float:
        """`number` of this unit in the unit that readings are kept in."""
        return (number - self.zero) * self.up / self.down


class Kind(NamedTuple):
    """What a reading measures: its name, the unit kept, how it is written, and the range taken for possible."""

    name: str
    unit: str
    units: dict[str, Unit]
    examples: str
    least: float
    most: float


# Exact by definition (NIST Special Publication 811, from memory): mile 1609.344 m, foot 0.3048 m, inch 25.4 mm,
# nautical mile 1852 m, degC = (degF - 32) * 5 / 9.
_SPEEDS = {
    "m/s": Unit(1.0),
    "km/h": Unit(1.0, 3.6),
    "mph": Unit(0.44704),
    "mi/h": Unit(0.44704),
    "kt": Unit(1852.0, 3600.0),
    "knots": Unit(1852.0, 3600.0),
    "ft/s": Unit(0.3048),
}
_DEPTHS = {"mm": Unit(1.0), "cm": Unit(10.0), "in": Unit(25.4)}
_TIMES = {"": None, "/h": 1.0, "/hour": 1.0, "/day": 24.0, "/d": 24.0}
_FALLS = {depth + time: unit._replace(per_h=h) for depth, unit in _DEPTHS.items() for time, h in _TIMES.items()}
_DEGREES = {name: Unit(1.0) for name in ("degC", "°C", "C")} | {
    name: Unit(5.0, 9.0, 32.0) for name in ("degF", "°F", "F")
}

KINDS: dict[Measured, Kind] = {
    "wind": Kind("a wind speed", "m/s", _SPEEDS, "'35 mph' or '15 m/s'", 0.0, 120.0),
    "rain": Kind("a depth of rain", "mm", _FALLS, "'0.5 in/day', '12 mm/day' or '4 mm/h'", 0.0, 2000.0),
    "temperature": Kind("a temperature", "degC", _DEGREES, "'20 degF' or '-5 degC'", -70.0, 60.0),
}
"""What can be measured. Beyond its range a reading is taken for a fault of the instrument, a limit for a slip."""


@dataclass(frozen=True, slots=True)
class Limit:
    """One condition under which work stops: `reading` on the `sign` side of `value`, in the unit kept.

    `over_h`: hours up to the end of a row over which rain is summed, where the unit says so; 0: one row.
    `stated` is the value with its unit as it was written, which makes no difference.
    """

    reading: str
    sign: str = ">"
    value: float = 0.0
    over_h: float = 0.0
    stated: str = field(default="", compare=False)

    def __str__(self) -> str:
        """`wind > 35 mph` or `lightning`, as one would write it."""
        return f"{self.reading} {self.sign} {self.stated}" if self.stated else self.reading


_CONDITION = re.compile(r"([^<>=]*?)\s*(>=|<=|>|<)\s*([-+]?(?:\d+\.?\d*|\.\d+))\s*(.*)")


def _refused(message: str) -> PydanticCustomError:
    return PydanticCustomError("weather_limit", "{message}", {"message": message})


def limits(text: object) -> tuple[Limit, ...]:
    """The conditions joined by `or` in `text`. Raises a pydantic error that says what was expected."""
    if not isinstance(text, str) or len(text) > 500:
        raise _refused(f"not a condition; expected for example '{EXAMPLES[0]}', or several joined by 'or'")
    return tuple(_limit(condition) for condition in re.split(r"\s+or\s+", text.strip()))


def _limit(text: str) -> Limit:
    if text in {LIGHTNING, BAD_WEATHER}:
        return Limit(text)
    match = _CONDITION.fullmatch(text)
    if match is None:
        examples = ", ".join(f"'{example}'" for example in EXAMPLES)
        hint = did_you_mean(text, (LIGHTNING, BAD_WEATHER))
        raise _refused(f"{shown(text)} is not a condition{hint}; expected for example {examples} or '{BAD_WEATHER}'")
    reading, sign, number, unit = match.groups()
    for measured, kind in KINDS.items():
        if reading == measured:
            _refuse_calm(measured, sign)
            return _compared(measured, kind, sign, float(number), unit.replace(" ", ""))
    known = ", ".join(KINDS)
    raise _refused(f"{shown(reading)} is not a reading of weather{did_you_mean(reading, KINDS)}; expected {known}")


def _refuse_calm(measured: Measured, sign: str) -> None:
    if measured != "temperature" and sign.startswith("<"):
        raise _refused(f"little {measured} stops no work; expected '{measured} >' a limit")


def _compared(measured: Measured, kind: Kind, sign: str, number: float, unit: str) -> Limit:
    if not unit:
        raise _refused(f"{number:g} without a unit; expected {kind.name} such as {kind.examples}")
    stated = unit_of(measured, unit)
    value = stated.kept(number)
    if not kind.least <= value <= kind.most:
        span = f"{kind.least:g} to {kind.most:g} {kind.unit}"
        raise _refused(f"{number:g} {unit} is taken for a slip; expected {kind.name} of {span}")
    return Limit(measured, sign, value, stated.per_h or 0.0, f"{number:g} {unit}")


def unit_of(measured: Measured, unit: str) -> Unit:
    """The unit called `unit`. Raises a pydantic error that lists those known."""
    kind = KINDS[measured]
    if unit not in kind.units:
        known = ", ".join(kind.units)
        raise _refused(f"{shown(unit)} is not a unit of {measured}; expected one of {known}")
    return kind.units[unit]


# For the type checker: what a condition is once read. At run time: how it is stated.
if TYPE_CHECKING:
    Stop = tuple[Limit, ...]
else:
    Stop = Annotated[
        tuple[Limit, ...],
        PlainValidator(limits),
        WithJsonSchema({"type": "string", "examples": [*EXAMPLES, " or ".join(EXAMPLES[::3]), BAD_WEATHER]}),
    ]
