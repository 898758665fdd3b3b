"""Quantities with units, converted once at the door to plain floats in one internal system.

Internal units: hours, bbl, bbl/h, lb, ft, ft/h, and for money USD, mcf (thousand standard cubic feet) and mmBtu. One
oilfield barrel is 42 US gallons; the units library's own registry takes `bbl` for 31.5 gallons, so the registry here
starts empty and holds only what follows.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from sim.scenario.written import shown

if TYPE_CHECKING:
    from pint import UnitRegistry

# Exact by definition (NIST Special Publication 811, from memory): foot, pound, US gallon; the barrel of 42 US
# gallons as in US EIA, State Energy Data, appendix C.
_DEFINITIONS = """
hour = [time] = h = hours = hr = hrs
minute = hour / 60 = min = minutes = mins
second = minute / 60 = s = sec = seconds
day = 24 * hour = d = days
week = 7 * day = wk = weeks
foot = [length] = ft = feet
inch = foot / 12 = in = inches
mile = 5280 * foot = mi = miles
metre = foot / 0.3048 = m = metres
kilometre = 1000 * metre = km = kilometres
millimetre = metre / 1000 = mm = millimetres
barrel = [volume] = bbl = bbls = barrels
thousand_barrels = 1000 * barrel = kbbl
us_gallon = barrel / 42 = gal = gallon = gallons
cubic_metre = barrel / 0.158987294928 = m3
litre = cubic_metre / 1000 = L = l = litres
pound = [mass] = lb = lbs = pounds
thousand_pounds = 1000 * pound = klb
short_ton = 2000 * pound = ton = tons
kilogram = pound / 0.45359237 = kg = kilograms
tonne = 1000 * kilogram = t = tonnes
barrel_per_minute = barrel / minute = bpm
psi = [pressure]
kilopascal = psi / 6.894757293168361 = kPa = kilopascals
megapascal = 1000 * kilopascal = MPa = megapascals
bar = 100 * kilopascal = _ = bars
horsepower = [power] = hp
kilowatt = horsepower / 0.7456998715822702 = kW = kilowatts
megawatt = 1000 * kilowatt = MW = megawatts
pound_per_gallon = pound / us_gallon = ppg
kilowatt_hour = kilowatt * hour = kWh
british_thermal_unit = horsepower * hour / 2544.4335 = Btu
million_british_thermal_units = 1e6 * british_thermal_unit = mmBtu = mmbtu
standard_cubic_foot = [gas] = scf
thousand_standard_cubic_feet = 1000 * standard_cubic_foot = mcf = kscf
standard_cubic_metre = 35.3146667 * standard_cubic_foot = sm3
us_dollar = [money] = USD
thousand_us_dollars = 1000 * us_dollar = kUSD
stage = []
plug = []
well = []
"""


class Dimension(NamedTuple):
    """A kind of quantity: its name in messages, the internal unit, and how users may write it.

    `most` is the largest value, in internal units, that is not taken for a slip of the pen.
    """

    name: str
    unit: str
    examples: str
    most: float


TIME = Dimension("a time", "hours", "'12 h', '30 min' or '4 day'", 200_000)
VOLUME = Dimension("a volume", "barrels", "'9500 bbl', '60 kbbl' or '1500 m3'", 1e9)
FLOW = Dimension("a volume per time", "barrels / hour", "'90 bbl/min', '60 kbbl/day' or '15 m3/min'", 1e8)
MASS = Dimension("a mass", "pounds", "'440 klb' or '200 t'", 1e10)
MASS_FLOW = Dimension("a mass per time", "pounds / hour", "'4 million lb/day', '4000 klb/day' or '1800 t/day'", 1e9)
LENGTH = Dimension("a length", "feet", "'20500 ft' or '6250 m'", 100_000)
SPEED = Dimension("a length per time", "feet / hour", "'250 ft/min' or '75 m/min'", 1e6)
PRESSURE = Dimension("a pressure", "psi", "'10000 psi' or '69 MPa'", 50_000)
GRADIENT = Dimension("a pressure per length", "psi / feet", "'0.85 psi/ft' or '19 kPa/m'", 5)
POWER = Dimension("a power", "horsepower", "'2500 hp' or '1900 kW'", 1e6)
DENSITY = Dimension("a mass per volume", "pounds / gallon", "'8.4 ppg' or '1010 kg/m3'", 30)
DIAMETER = Dimension("a length", "inch", "'4.778 in' or '121 mm'", 100)
PER_LENGTH = Dimension("a volume per length", "barrels / feet", "'45 bbl/ft' or '23 m3/m'", 1e4)
LOADING = Dimension("a mass per length", "pounds / feet", "'2200 lb/ft' or '3.3 t/m'", 1e5)
GAS_RATIO = Dimension("gas per volume of oil", "mcf / barrels", "'1.2 mcf/bbl' or '900 scf/bbl'", 1e3)
MONEY = Dimension("an amount of money", "USD", "'12000 USD' or '12 kUSD'", 1e10)
DAY_RATE = Dimension("money per time", "USD / hours", "'85000 USD/day' or '3500 USD/h'", 1e7)
PER_VOLUME = Dimension("money per volume", "USD / barrels", "'0.60 USD/bbl' or '3.60 USD/gal'", 1e5)
PER_MASS = Dimension("money per mass", "USD / pounds", "'45 USD/ton' or '0.02 USD/lb'", 1e3)
PER_GAS = Dimension("money per volume of gas", "USD / mcf", "'3 USD/mcf'", 1e4)
PER_HEAT = Dimension("money per energy", "USD / mmBtu", "'3.50 USD/mmBtu' or '0.08 USD/kWh'", 1e5)
_OF_ROCK_AND_PIPE = (TIME, LENGTH, SPEED, PRESSURE, GRADIENT, POWER, DENSITY)
_OF_SUPPLIES = (VOLUME, FLOW, MASS, MASS_FLOW, PER_LENGTH, LOADING)
_OF_TRADE = (GAS_RATIO, MONEY, DAY_RATE, PER_VOLUME, PER_MASS, PER_GAS, PER_HEAT)
_DIMENSIONS = (*_OF_ROCK_AND_PIPE, *_OF_SUPPLIES, *_OF_TRADE)

_KNOWN = frozenset(re.findall(r"(?:^|=)\s*([A-Za-z][A-Za-z0-9]*)\s*(?==|$)", _DEFINITIONS, re.MULTILINE))
"""Names of units as they may be written: the units library would also take any of them with an s at its end."""
_COMMA = re.compile(r"\d,\d")
_TEXT = re.compile(r"\s*([-+]?(?:\d+(?:_\d+)*\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(thousand|million)?\s*(\S.*?)?\s*$")
_PERCENT = re.compile(r"\s*(\d+\.?\d*|\.\d+)\s*%\s*")
_SCALE = {None: 1.0, "thousand": 1e3, "million": 1e6}
_UNIT = re.compile(r"[A-Za-z][A-Za-z0-9]*(\s*/\s*[A-Za-z][A-Za-z0-9]*)?")
_BARE_M = re.compile(r"\bMM?(?=(bbl|lb|lbs|gal|ft|bpm)\b)")


@lru_cache(maxsize=1)
def _registry() -> UnitRegistry[Any]:
    from pint import UnitRegistry  # noqa: PLC0415 - slow to import, needed only where text is read

    registry: UnitRegistry[Any] = UnitRegistry(None)
    registry.load_definitions(_DEFINITIONS.strip().splitlines())
    return registry


def _refuse(message: str) -> PydanticCustomError:
    return PydanticCustomError("quantity", "{message}", {"message": message})


@lru_cache(maxsize=1024)
def _factor(unit: str, dimension: Dimension) -> float:
    """Internal units in one `unit`, or a refusal that says what was expected."""
    expected = f"expected {dimension.name} such as {dimension.examples}"
    if _BARE_M.search(unit):
        raise _refuse(f"the prefix M means a thousand to some and a million to others: write k or million; {expected}")
    names = {name.strip() for name in unit.split("/")}
    if not (_UNIT.fullmatch(unit) and names <= _KNOWN):  # arithmetic among units is left to nobody
        raise _refuse(f"unit {shown(unit)} is not known; {expected}")
    registry = _registry()
    try:
        written = registry.parse_units(unit)
        target = registry.parse_units(dimension.unit)
        if written.dimensionality == target.dimensionality:
            return float(registry.Quantity(1.0, written).to(target).magnitude)
    except Exception as error:  # whatever the units library stumbles over is not a unit known here
        raise _refuse(f"unit {shown(unit)} is not known; {expected}") from error
    raise _refuse(f"{shown(unit)} is {_name_of(written, registry)}; {expected}")


def _name_of(written: Any, registry: Any) -> str:
    for dimension in _DIMENSIONS:
        if registry.parse_units(dimension.unit).dimensionality == written.dimensionality:
            return dimension.name
    return "not a unit used here"


def parse(value: object, dimension: Dimension, *, positive: bool = False) -> float:
    """The quantity `value`, such as '95 bbl/min', in the internal unit of `dimension`.

    Raises a pydantic error that names the expected dimension. A bare number is refused, except zero where
    zero is allowed: it needs no unit.
    """
    expected = f"expected {dimension.name} such as {dimension.examples}"
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        if value == 0 and not positive:
            return 0.0
        raise _refuse(f"a number without a unit; {expected}")
    _refuse_comma(value, expected)
    match = _TEXT.match(value) if isinstance(value, str) and len(value) < 80 else None
    if match is None:
        raise _refuse(f"not a quantity; {expected}")
    number, scale, unit = match.groups()
    if unit is None:
        raise _refuse(f"a number without a unit; {expected}")
    converted = float(number) * _SCALE[scale] * _factor(unit, dimension)
    _refuse_out_of_range(converted, dimension, positive)
    return converted


def _refuse_comma(value: object, expected: str) -> None:
    """In some countries it marks thousands, in others decimals."""
    if isinstance(value, str) and _COMMA.search(value[:80]):
        raise _refuse(f"a comma in a number: thousands are written without one, decimals with a point; {expected}")


def _refuse_out_of_range(converted: float, dimension: Dimension, positive: bool) -> None:
    expected = f"expected {dimension.name} such as {dimension.examples}"
    if converted < 0:
        raise _refuse(f"negative; {expected}")
    if positive and converted == 0:
        raise _refuse(f"must be more than zero; {expected}")
    if not converted <= dimension.most:
        raise _refuse(f"more than {dimension.most:,.0f} {dimension.unit}, taken for a slip; {expected}")


def parse_share(value: object) -> float:
    """A share such as '1.5 %', as a number from 0 to 1; a bare number is refused, except zero."""
    _refuse_comma(value, "expected a percentage such as '1.5 %'")
    match = _PERCENT.fullmatch(value) if isinstance(value, str) else None
    if match is None and not (value == 0 and not isinstance(value, bool)):
        raise _refuse("not a share; expected a percentage such as '1.5 %'")
    share = float(match[1]) / 100 if match else 0.0
    if share > 1:
        raise _refuse("more than all; expected a percentage from '0 %' to '100 %'")
    return share


def _door(dimension: Dimension, *, positive: bool = False) -> BeforeValidator:
    return BeforeValidator(lambda value: parse(value, dimension, positive=positive))


def _schema(dimension: Dimension, *, positive: bool = False) -> WithJsonSchema:
    """Text with a unit, or where zero is allowed a bare zero."""
    said = f"{dimension.name} with its unit: {dimension.examples}"
    return _text_schema(said, re.findall(r"'([^']*)'", dimension.examples), bare_zero=not positive)


def _text_schema(said: str, examples: list[str], *, bare_zero: bool = True) -> WithJsonSchema:
    bare: dict[str, Any] = {"minimum": 0, "maximum": 0} if bare_zero else {}
    return WithJsonSchema(
        {"type": ["string", "number"] if bare else "string", **bare, "description": said, "examples": examples}
    )


Hours = Annotated[float, TIME, _door(TIME), _schema(TIME)]
PositiveHours = Annotated[float, TIME, _door(TIME, positive=True), _schema(TIME, positive=True)]
Barrels = Annotated[float, VOLUME, _door(VOLUME), _schema(VOLUME)]
PositiveBarrels = Annotated[float, VOLUME, _door(VOLUME, positive=True), _schema(VOLUME, positive=True)]
BarrelsPerHour = Annotated[float, FLOW, _door(FLOW), _schema(FLOW)]
PositiveBarrelsPerHour = Annotated[float, FLOW, _door(FLOW, positive=True), _schema(FLOW, positive=True)]
Pounds = Annotated[float, MASS, _door(MASS), _schema(MASS)]
PositivePounds = Annotated[float, MASS, _door(MASS, positive=True), _schema(MASS, positive=True)]
PositivePoundsPerHour = Annotated[float, MASS_FLOW, _door(MASS_FLOW, positive=True), _schema(MASS_FLOW, positive=True)]
PositiveFeet = Annotated[float, LENGTH, _door(LENGTH, positive=True), _schema(LENGTH, positive=True)]
FeetPerHour = Annotated[float, SPEED, _door(SPEED, positive=True), _schema(SPEED, positive=True)]
Pressure = Annotated[float, PRESSURE, _door(PRESSURE), _schema(PRESSURE)]
PositivePressure = Annotated[float, PRESSURE, _door(PRESSURE, positive=True), _schema(PRESSURE, positive=True)]
PressureGradient = Annotated[float, GRADIENT, _door(GRADIENT, positive=True), _schema(GRADIENT, positive=True)]
Horsepower = Annotated[float, POWER, _door(POWER, positive=True), _schema(POWER, positive=True)]
PoundsPerGallon = Annotated[float, DENSITY, _door(DENSITY, positive=True), _schema(DENSITY, positive=True)]
PositiveInches = Annotated[float, DIAMETER, _door(DIAMETER, positive=True), _schema(DIAMETER, positive=True)]
BarrelsPerFoot = Annotated[float, PER_LENGTH, _door(PER_LENGTH, positive=True), _schema(PER_LENGTH, positive=True)]
PoundsPerFoot = Annotated[float, LOADING, _door(LOADING), _schema(LOADING)]
GasPerBarrel = Annotated[float, GAS_RATIO, _door(GAS_RATIO), _schema(GAS_RATIO)]
Money = Annotated[float, MONEY, _door(MONEY), _schema(MONEY)]
MoneyPerHour = Annotated[float, DAY_RATE, _door(DAY_RATE), _schema(DAY_RATE)]
MoneyPerBarrel = Annotated[float, PER_VOLUME, _door(PER_VOLUME), _schema(PER_VOLUME)]
MoneyPerPound = Annotated[float, PER_MASS, _door(PER_MASS), _schema(PER_MASS)]
MoneyPerGas = Annotated[float, PER_GAS, _door(PER_GAS), _schema(PER_GAS)]
MoneyPerHeat = Annotated[float, PER_HEAT, _door(PER_HEAT), _schema(PER_HEAT)]
ShareAboveNone = Annotated[
    float,
    BeforeValidator(parse_share),
    Field(gt=0),
    _text_schema("a share as a percentage, above 0 %", ["95 %"], bare_zero=False),
]
ShareBelowAll = Annotated[
    float,
    BeforeValidator(parse_share),
    Field(lt=1),
    _text_schema("a share as a percentage, below 100 %", ["10 %"]),
]
Share = Annotated[float, BeforeValidator(parse_share), _text_schema("a share as a percentage", ["1.5 %"])]
