"""The weather as stated: a table of past weather or lengths of good and bad spells, and the work that each stops."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Annotated

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario.part import OneOrSeveral, Part, default
from sim.scenario.quantities import Hours, PositiveHours
from sim.scenario.weather_limits import BAD_WEATHER, EXAMPLES, Limit, Stop
from sim.scenario.weather_record import Record, Table

MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)


class WeatherTooShortError(Exception):
    """The table of weather ends before the horizon of the scenario, from wherever in it a replication starts."""


def _refused(message: str) -> PydanticCustomError:
    return PydanticCustomError("weather", "{message}", {"message": message})


class Spell(Part):
    """Mean lengths of the spells of good and of bad weather that begin in a month."""

    good: PositiveHours
    bad: Hours = Field(description="0 where the month has no bad weather")

    @model_validator(mode="after")
    def _lasting(self) -> Spell:
        if self.good < 1:
            raise _refused("good weather of less than an hour in the mean, taken for a slip; expected 1 h or more")
        return self


class Spells(Part):
    """Good and bad weather by turns, each spell of random (exponential) length; its month is that of its beginning."""

    january: Spell | None = None
    february: Spell | None = None
    march: Spell | None = None
    april: Spell | None = None
    may: Spell | None = None
    june: Spell | None = None
    july: Spell | None = None
    august: Spell | None = None
    september: Spell | None = None
    october: Spell | None = None
    november: Spell | None = None
    december: Spell | None = None
    other_months: Spell | None = Field(default=None, description="months that are not stated")

    @model_validator(mode="after")
    def _all_year(self) -> Spells:
        bare = [month for month in MONTHS if getattr(self, month) is None]
        if bare and self.other_months is None:
            raise _refused(f"nothing stated for {', '.join(bare)}; expected each month, or other_months")
        return self

    def at(self, moment: datetime) -> Spell:
        """The lengths in force at a moment."""
        spell: Spell | None = getattr(self, MONTHS[moment.month - 1]) or self.other_months
        assert spell is not None  # checked above
        return spell


class Stops(Part):
    """Which work stops, and when; everything else goes on. With spells the only condition is `bad weather`."""

    everything: Stop | None = Field(default=None, description="all work out of doors, for example at lightning")
    crane: Stop | None = Field(default=None, description="lifts, for example at wind > 35 mph")
    haulage: Stop | None = Field(default=None, description="lorries, for example at rain > 0.5 in/day")
    water_lines: Stop | None = Field(default=None, description="water on its way, as at temperature < 20 degF")
    preparation: Stop | None = None
    wireline: Stop | None = None
    pumping: Stop | None = None
    drill_out: Stop | None = None
    flowback: Stop | None = None

    def stated(self) -> dict[str, Stop]:
        """The conditions by class of work."""
        each = {work: getattr(self, work) for work in type(self).model_fields}
        return {work: stop for work, stop in each.items() if stop is not None}


def _kind_of_table(value: object) -> str:
    read = isinstance(value, Record) or (isinstance(value, dict) and "first" in value)
    return "as readings" if read else "as a file"


def _by_name(value: object) -> object:
    if isinstance(value, (str, dict, Part)):
        return {"file": value} if isinstance(value, str) else value
    raise _refused("not a table; expected the name of a csv table beside this file, or {file: ...}")


if TYPE_CHECKING:
    AnyTable = Table | Record
else:
    AnyTable = Annotated[
        Annotated[Table, Tag("as a file")] | Annotated[Record, Tag("as readings")],
        Discriminator(_kind_of_table),
        BeforeValidator(_by_name),
    ]


Year = Annotated[int, Field(ge=1950, le=2199)]


class Weather(Part):
    """Past weather from a table, or spells of good and bad weather, and the work that stops; nobody foresees it."""

    table: AnyTable | None = Field(default=None, description="csv table of past weather")
    spells: Spells | None = Field(default=None, description="mean lengths of good and bad weather, month by month")
    start_years: Annotated[tuple[Year, ...] | None, Field(min_length=1), OneOrSeveral()] = Field(
        default=None, description="years of the table to start in; if not stated: each that leaves enough of it"
    )
    stops: Stops
    stand_down: Hours = default(
        "30 min", "OSHA-NOAA, Lightning Safety When Working Outdoors", "added after an hour with lightning"
    )

    @model_validator(mode="after")
    def _consistent(self) -> Weather:
        faults = list(_faults(self))
        if faults:
            raise _refused("; ".join(faults))
        return self

    @property
    def record(self) -> Record:
        """The readings of the table. Raises ValueError where the table is only named."""
        if not isinstance(self.table, Record):
            raise ValueError("weather from a table that is not read yet")
        return self.table


def _faults(weather: Weather) -> Iterator[str]:
    if (weather.table is None) == (weather.spells is None):
        yield "expected either a table of weather or spells"
        return
    if weather.spells is not None and weather.start_years is not None:
        yield "start_years goes with a table; expected it to be left out with spells"
    stops = weather.stops.stated()
    if not stops:
        yield "stops nothing; expected for example stops: {everything: lightning}"
    for work, limits in stops.items():
        yield from (f"stops.{work}: {fault}" for limit in limits for fault in _unanswered(limit, weather.table))


def _unanswered(limit: Limit, table: Table | Record | None) -> Iterator[str]:
    """Why the weather, as stated, cannot tell whether a limit is passed."""
    if table is None:
        if limit.reading != BAD_WEATHER:
            yield f"spells do not tell {limit.reading}; expected '{BAD_WEATHER}'"
    elif limit.reading == BAD_WEATHER:
        yield f"a table does not say what is bad weather; expected for example '{EXAMPLES[0]}'"
    elif isinstance(table, Record):
        yield from _not_in(table, limit)


def _not_in(record: Record, limit: Limit) -> Iterator[str]:
    if record.answering(limit) is None:
        there = ", ".join(name for name, _ in record.columns())
        hint = "" if limit.reading == "lightning" else ", and is read where its unit is stated"
        yield f"the table was read without {limit.reading}; expected one of {there}{hint}"
    elif limit.over_h == 1 and record.every > 1:
        yield "rain in an hour is not told by a table of days; expected a limit in a day, such as '0.5 in/day'"


def start_years(weather: Weather, start: datetime, horizon_h: float) -> tuple[int, ...]:
    """Years of the table in which a replication may start, on the scenario's day; none with spells.

    Raises WeatherTooShortError where there are none, or where a stated one leaves less than the horizon.
    """
    if weather.table is None:
        return ()
    record = weather.record
    left_h = {year: _left_h(record, same_day(start, year)) for year in range(record.first.year, record.end.year + 1)}
    enough = tuple(year for year, hours in left_h.items() if hours >= horizon_h)
    short = [year for year in weather.start_years or () if year not in enough]
    if enough and not short:
        return weather.start_years or enough
    raise WeatherTooShortError(_too_short(record, start, horizon_h, left_h, short))


def same_day(start: datetime, year: int) -> datetime:
    """The same date and time in another year; 29 February is 28 February where the year has none."""
    try:
        return start.replace(year=year)
    except ValueError:
        return start.replace(year=year, day=28)


def _left_h(record: Record, moment: datetime) -> float:
    """Hours of the table from a moment on; negative where the moment is not in it."""
    return -1.0 if moment < record.first else (record.end - moment) / timedelta(hours=1)


def _too_short(record: Record, start: datetime, horizon_h: float, left_h: dict[int, float], short: list[int]) -> str:
    day, needed = f"{start.day} {MONTHS[start.month - 1].capitalize()}", f"{horizon_h / 24:,.6g} days"
    span = " to ".join(moment.isoformat(" ", "minutes") for moment in (record.first, record.end))
    table = f"the table of weather, {span}"
    enough = [str(year) for year, hours in left_h.items() if hours >= horizon_h]
    if short and enough:
        years = ", ".join(map(str, short))
        return f"start_years: {table}, leaves less than {needed} from {day} in {years}; expected {', '.join(enough)}"
    year = max(left_h, key=lambda each: left_h[each])
    most = f"at most {max(left_h[year], 0) / 24:,.4g} days, in {year}"
    return f"{table}, leaves {most}, from {day} on; expected {needed}: a longer table or a shorter horizon"
