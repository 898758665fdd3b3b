"""A table of past weather: as stated, and once read, row after row without a hole."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario.part import Part, default
from sim.scenario.quantities import PositiveHours
from sim.scenario.weather_limits import KINDS, Limit, Measured, unit_of
from sim.scenario.wells import Moment

_HOUR = timedelta(hours=1)


def _refused(message: str) -> PydanticCustomError:
    return PydanticCustomError("weather_record", "{message}", {"message": message})


class Columns(Part):
    """What the columns are called in the table, where they are not called so already."""

    time: str | None = Field(default=None, description="date or date and time; if not stated: time, date, or year ...")
    wind: str | None = None
    rain: str | None = None
    temperature: str | None = None
    temp_min: str | None = Field(default=None, description="lowest temperature of the row")
    temp_max: str | None = Field(default=None, description="highest temperature of the row")
    lightning: str | None = Field(default=None, description="yes or no, or a count of strikes")


def _unit(measured: Measured) -> Any:
    def known(text: str) -> str:
        unit_of(measured, text.replace(" ", ""))
        return text.replace(" ", "")

    return Annotated[str, AfterValidator(known), WithJsonSchema({"enum": list(KINDS[measured].units)})]


# For the type checker: what is there once read. At run time: how it is stated.
if TYPE_CHECKING:
    WindUnit = str
    RainUnit = str
    TemperatureUnit = str
else:
    WindUnit, RainUnit, TemperatureUnit = _unit("wind"), _unit("rain"), _unit("temperature")


class ColumnUnits(Part):
    """Units of the columns, where the header does not say them: `wind [mph]`."""

    wind: WindUnit | None = None
    rain: RainUnit | None = Field(default=None, description="a depth alone is what fell in one row")
    temperature: TemperatureUnit | None = Field(default=None, description="of temp_min and temp_max too")


class Table(Part):
    """A csv table of daily or hourly weather beside the scenario; a column is read where its unit is stated."""

    file: str = Field(description="name of the csv table, beside this file")
    columns: Columns = Field(default_factory=Columns)
    units: ColumnUnits = Field(default_factory=ColumnUnits)
    gaps: Literal["refuse", "as the day before"] = default("refuse", "no weather is invented", "holes in the table")


def _numbers(value: object) -> object:
    return value.split() if isinstance(value, str) else value


def _readings(measured: Measured | None = None) -> Any:
    def possible(values: tuple[float, ...]) -> tuple[float, ...]:
        kind = KINDS[measured] if measured else None
        if kind and values and not kind.least <= min(values) <= max(values) <= kind.most:
            raise _refused(f"impossible; expected each {kind.least:g} to {kind.most:g} {kind.unit}")
        return values

    schema = WithJsonSchema({"type": "string", "description": "numbers between blanks"})
    return Annotated[tuple[float, ...], BeforeValidator(_numbers), AfterValidator(possible), schema]


if TYPE_CHECKING:
    Wind = tuple[float, ...]
    Rain = tuple[float, ...]
    Temperature = tuple[float, ...]
    Flags = tuple[float, ...]
else:
    Wind, Rain, Temperature, Flags = _readings("wind"), _readings("rain"), _readings("temperature"), _readings()


class Record(Part):
    """A table once read: readings row after row without a hole; a row lasts from its time until the next one's."""

    first: Moment = Field(description="when the first row begins")
    every: PositiveHours = Field(description="length of a row: 1 h or 24 h")
    wind: Wind | None = Field(default=None, description="m/s")
    rain: Rain | None = Field(default=None, description="mm in each row")
    temperature: Temperature | None = Field(default=None, description="degC")
    temp_min: Temperature | None = Field(default=None, description="lowest in each row, degC")
    temp_max: Temperature | None = Field(default=None, description="highest in each row, degC")
    lightning: Flags | None = Field(default=None, description="0: none")
    filled: int = Field(default=0, ge=0, description="readings taken from the day before")

    @model_validator(mode="after")
    def _even(self) -> Record:
        lengths = {len(values) for _, values in self.columns()}
        if self.every not in {1.0, 24.0}:
            raise _refused("rows neither an hour nor a day long; expected every: 1 h or 24 h")
        if len(lengths) != 1 or 0 in lengths:
            raise _refused("readings of different lengths or none at all; expected one of each in every row")
        return self

    def columns(self) -> Iterator[tuple[str, tuple[float, ...]]]:
        """Each reading that is there, by name."""
        for name in Columns.model_fields:
            values = getattr(self, name, None)
            if values is not None:
                yield name, values

    @property
    def rows(self) -> int:
        """How many rows."""
        return len(next(self.columns())[1])

    @property
    def end(self) -> datetime:
        """When the last row ends."""
        return self.first + self.rows * self.every * _HOUR

    def answering(self, limit: Limit) -> tuple[float, ...] | None:
        """The readings that a limit is about, if they are there: of a day's temperatures the one nearer to it."""
        extreme = "temp_min" if limit.sign.startswith("<") else "temp_max"
        names = (extreme, limit.reading) if limit.reading == "temperature" else (limit.reading,)
        there = dict(self.columns())
        return next((there[name] for name in names if name in there), None)
