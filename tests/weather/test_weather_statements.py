"""What a scenario states about weather: units, conditions, spells, and what is said where they make no sense."""

from __future__ import annotations

import pickle
from datetime import datetime
from typing import Any

import pytest
from pydantic import ValidationError

from sim.scenario.weather import Weather, WeatherTooShortError, contradictions, same_day, start_years
from sim.scenario.weather_limits import BAD_WEATHER, LIGHTNING, Limit, Measured, limits, unit_of
from sim.scenario.weather_record import Record, Table
from sim.scenario.weather_spells import Spells
from tests.weather.stations import seattle

RAINY_DAYS = {"first": "2012-02-28", "every": "24 h", "rain": "0 3.5 0 0"}
WINDY_HOURS = {"first": "2012-01-01", "every": "1 h", "wind": [3, 4, 5], "rain": "0 0 1"}
ALL_YEAR = {"other_months": {"good": "200 h", "bad": "20 h"}}


def refusal(kind: type, stated: Any) -> list[str]:
    """What is said about a part that is stated wrongly."""
    with pytest.raises(ValidationError) as refused:
        kind.model_validate(stated)  # type: ignore[attr-defined] # every part of a scenario has it
    return [f"{'.'.join(map(str, error['loc']))}: {error['msg']}" for error in refused.value.errors()]


@pytest.mark.parametrize(
    ("measured", "number", "unit", "kept"),
    [
        ("wind", 1, "mph", 0.44704),
        ("wind", 35, "mph", 15.6464),
        ("wind", 1, "kt", 1852 / 3600),
        ("wind", 90, "km/h", 25.0),
        ("wind", 10, "ft/s", 3.048),
        ("rain", 0.5, "in/day", 12.7),
        ("rain", 3, "cm", 30.0),
        ("temperature", 32, "degF", 0.0),
        ("temperature", 20, "degF", -20 / 3),
        ("temperature", -40, "degF", -40.0),
        ("temperature", 98.6, "°F", 37.0),
        ("temperature", -5, "degC", -5.0),
    ],
)
def test_units_are_exact(measured: Measured, number: float, unit: str, kept: float) -> None:
    """NIST Special Publication 811 (from memory): mile, foot, inch, nautical mile, and (degF - 32) * 5 / 9."""
    assert unit_of(measured, unit).kept(number) == pytest.approx(kept, rel=1e-15, abs=1e-14)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("wind > 15 m/s", [Limit("wind", ">", 15.0)]),
        ("wind>=15m/s", [Limit("wind", ">=", 15.0)]),
        ("rain > 12.7 mm / day", [Limit("rain", ">", 12.7, 24.0)]),
        ("rain > 4 mm/h", [Limit("rain", ">", 4.0, 1.0)]),
        ("rain > 4 mm", [Limit("rain", ">", 4.0)]),
        ("temperature <= -.5 degC", [Limit("temperature", "<=", -0.5)]),
        ("lightning", [Limit(LIGHTNING)]),
        ("bad weather", [Limit(BAD_WEATHER)]),
        ("wind > 15 m/s or lightning  or temperature > 40 degC",
         [Limit("wind", ">", 15.0), Limit(LIGHTNING), Limit("temperature", ">", 40.0)]),
    ],
)  # fmt: skip
def test_conditions_are_read(text: str, read: list[Limit]) -> None:
    """Reading, sign, value in the unit kept, and the hours over which rain is summed."""
    assert limits(text) == tuple(read)


EXAMPLES = "'wind > 35 mph', 'rain > 0.5 in/day', 'temperature < 20 degF', 'lightning' or 'bad weather'"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (35, "not a condition; expected for example 'wind > 35 mph', or several joined by 'or'"),
        ("wind over 35 mph", f"'wind over 35 mph' is not a condition; expected for example {EXAMPLES}"),
        ("lightening", f"'lightening' is not a condition; did you mean 'lightning'; expected for example {EXAMPLES}"),
        ("wind > 35 mph and lightning", "'mphandlightning' is not a unit of wind; expected one of m/s, km/h, mph, "
         "mi/h, kt, knots, ft/s"),
        ("wind > 35 mph or", "'mphor' is not a unit of wind; expected one of m/s, km/h, mph, mi/h, kt, knots, ft/s"),
        ("wind > 35", "35 without a unit; expected a wind speed such as '35 mph' or '15 m/s'"),
        ("wind > 35 degF", "'degF' is not a unit of wind; expected one of m/s, km/h, mph, mi/h, kt, knots, ft/s"),
        ("gusts > 35 mph", "'gusts' is not a reading of weather; expected wind, rain, temperature"),
        ("temprature < 2 degC", "'temprature' is not a reading of weather; did you mean 'temperature'; expected wind, "
         "rain, temperature"),
        ("wind < 35 mph", "little wind stops no work; expected 'wind >' a limit"),
        ("rain <= 1 mm", "little rain stops no work; expected 'rain >' a limit"),
        ("wind > 350 m/s", "350 m/s is taken for a slip; expected a wind speed of 0 to 120 m/s"),
        ("wind > -3 m/s", "-3 m/s is taken for a slip; expected a wind speed of 0 to 120 m/s"),
        ("temperature < 200 degF", "200 degF is taken for a slip; expected a temperature of -70 to 60 degC"),
    ],
)  # fmt: skip
def test_conditions_that_make_no_sense(text: object, said: str) -> None:
    """Each is told what was expected instead."""
    stated = {"table": RAINY_DAYS, "stops": {"crane": text}}
    assert refusal(Weather, stated) == [f"stops.crane: {said}"]


@pytest.mark.parametrize(
    ("stated", "where", "said"),
    [
        ({"table": RAINY_DAYS, "stops": {}}, "stops",
         "nothing stops; expected for example stops: {everything: lightning}"),
        ({"table": "pad.csv", "stops": {"crane": "bad weather", "haulage": "rain > 1 mm"}}, "stops.crane",
         "a table does not say what is bad weather; expected for example 'wind > 35 mph'"),
        ({"spells": ALL_YEAR, "stops": {"crane": "wind > 9 m/s", "haulage": "bad weather"}}, "stops.crane",
         "spells do not tell wind; expected 'bad weather'"),
        ({"spells": ALL_YEAR, "start_years": 2013, "stops": {"crane": "bad weather"}}, "start_years",
         "goes with a table; expected it to be left out with spells"),
        ({"table": RAINY_DAYS, "stops": {"everything": "lightning or rain > 1 mm"}}, "stops.everything",
         "the table was read without lightning; expected a reading that it holds: rain"),
        ({"table": RAINY_DAYS, "stops": {"crane": "wind > 9 m/s"}}, "stops.crane",
         "the table was read without wind, of which a unit must be stated; expected a reading that it holds: rain"),
        ({"table": RAINY_DAYS, "stops": {"haulage": "rain > 4 mm/h"}}, "stops.haulage",
         "rain in an hour is not told by a table of days; expected a limit in a day, such as '0.5 in/day'"),
        ({"table": {**RAINY_DAYS, "first": "2012-02-26"}, "stops": {"haulage": "rain > 4 mm"}}, "table",
         "the table of weather, 2012-02-26 00:00 to 2012-03-01 00:00, leaves at most 0 days, in 2012, from 1 March on; "
         "expected 2 days: a longer table or a shorter horizon"),
        ({"table": RAINY_DAYS, "start_years": 2011, "stops": {"haulage": "rain > 4 mm"}}, "start_years",
         "the table of weather, 2012-02-28 00:00 to 2012-03-03 00:00, leaves less than 2 days from 1 March in 2011; "
         "expected 2012"),
        ({"table": {**RAINY_DAYS, "first": "2012-02-27"}, "stops": {"haulage": "rain > 4 mm"}}, "table",
         "the table of weather, 2012-02-27 00:00 to 2012-03-02 00:00, leaves at most 1 day, in 2012, from 1 March on; "
         "expected 2 days: a longer table or a shorter horizon"),
    ],
)  # fmt: skip
def test_weather_that_contradicts_itself(stated: dict[str, Any], where: str, said: str) -> None:
    """Conditions that table or spells cannot answer, and tables that are too short, each where it is stated."""
    found = contradictions(Weather.model_validate(stated), datetime(2027, 3, 1), 48.0)
    assert [(".".join(map(str, steps)), message) for steps, message in found] == [(where, said)]


def test_weather_that_contradicts_nothing() -> None:
    """A table that answers its conditions until the horizon, one that is yet to be read, and spells."""
    stops = {"crane": "wind > 9 m/s or rain > 1 mm/h", "haulage": "rain > 1 mm/day"}
    for weather in (
        {"table": WINDY_HOURS, "stops": stops},
        {"table": "pad.csv", "stops": stops},
        {"spells": ALL_YEAR, "stops": {"crane": "bad weather"}},
    ):
        assert list(contradictions(Weather.model_validate(weather), datetime(2027, 1, 1), 3.0)) == []


@pytest.mark.parametrize(
    ("kind", "stated", "said"),
    [
        (Weather, {"stops": {"crane": "wind > 9 m/s"}}, ": expected either a table of weather or spells"),
        (Weather, {"table": RAINY_DAYS, "spells": ALL_YEAR, "stops": {"crane": "bad weather"}},
         ": expected either a table of weather or spells"),
        (Weather, {"table": 5, "stops": {"crane": "wind > 9 m/s"}},
         "table: not a table; expected the name of a csv table beside this file, or {file: ...}"),
        (Table, {"file": "x.csv", "units": {"wind": "degF"}},
         "units.wind: 'degF' is not a unit of wind; expected one of m/s, km/h, mph, mi/h, kt, knots, ft/s"),
        (Record, {"first": "2012-01-01", "every": "3 h", "wind": "1 2"},
         ": rows neither an hour nor a day long; expected every: 1 h or 24 h"),
        (Record, {"first": "2012-01-01", "every": "1 h", "wind": "1 2", "rain": "1"},
         ": readings of different lengths or none at all; expected one of each in every row"),
        (Record, {"first": "2012-01-01", "every": "1 h"},
         ": readings of different lengths or none at all; expected one of each in every row"),
        (Record, {"first": "2012-01-01", "every": "1 h", "wind": "1 -2"},
         "wind: impossible; expected each 0 to 120 m/s"),
        (Spells, {"january": {"good": "60 h", "bad": "10 h"}, "other_months": {"good": "10 min", "bad": "5 h"}},
         "other_months: good weather of less than an hour in the mean, taken for a slip; expected 1 h or more"),
        (Spells, {month: {"good": "60 h", "bad": "10 h"} for month in
                  ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october")},
         ": nothing stated for november, december; expected each month, or other_months"),
    ],
)  # fmt: skip
def test_parts_that_make_no_sense(kind: type, stated: dict[str, Any], said: str) -> None:
    """Each is told what was expected instead."""
    assert refusal(kind, stated) == [said]


def test_readings_that_answer_a_condition() -> None:
    """Frost asks for the lowest temperature of a row, heat for the highest; without them the one there is."""
    both = Record.model_validate(
        {"first": "2012-01-01", "every": "24 h", "temperature": "5", "temp_min": "-2", "temp_max": "11"}
    )
    alone = Record.model_validate({"first": "2012-01-01", "every": "24 h", "temperature": "5"})
    highest = Record.model_validate({"first": "2012-01-01", "every": "24 h", "temp_max": "11"})
    (frost,), (heat,) = limits("temperature < 0 degC"), limits("temperature >= 30 degC")
    assert [record.answering(frost) for record in (both, alone, highest)] == [(-2.0,), (5.0,), None]
    assert [record.answering(heat) for record in (both, alone, highest)] == [(11.0,), (5.0,), (11.0,)]


def test_an_editor_is_told_what_may_stand_where() -> None:
    """A table by its name or with its columns, a year or several, a condition with examples that are conditions."""
    schema = Weather.model_json_schema()
    table = schema["properties"]["table"]["anyOf"]
    assert [each.get("type", "a part") for each in table] == ["string", "a part", "null"]
    assert [each["type"] for each in schema["properties"]["start_years"]["anyOf"]] == ["integer", "array", "null"]
    condition = schema["$defs"]["Stops"]["properties"]["crane"]["anyOf"][0]
    assert condition["type"] == "string"
    assert all(limits(example) for example in condition["examples"])


def test_weather_travels_to_workers() -> None:
    """A copy that went through a pickle is the same weather."""
    weather = Weather.model_validate({"table": WINDY_HOURS, "stops": {"crane": "wind > 9 m/s or rain > 4 mm/h"}})
    assert pickle.loads(pickle.dumps(weather)) == weather


def test_a_table_that_is_not_read_has_no_readings() -> None:
    """Its name alone cannot be simulated."""
    weather = Weather.model_validate({"table": "pad.csv", "stops": {"crane": "wind > 9 m/s"}})
    assert weather.table == Table(file="pad.csv")
    with pytest.raises(ValueError, match=r"^weather from a table that is not read yet$"):
        start_years(weather, datetime(2027, 3, 1), 24.0)


def weather_of_seattle(**stated: Any) -> Weather:
    """Four years of days."""
    return Weather.model_validate({"table": seattle(), "stops": {"crane": "wind > 9 m/s"}, **stated})


def test_years_that_leave_enough_table() -> None:
    """Those from which the table, 2012 to 2015, lasts until the horizon; the very last hour counts."""
    weather, march = weather_of_seattle(), datetime(2027, 3, 1, 6)
    until_new_year_h = 306 * 24.0 - 6
    assert start_years(weather, march, until_new_year_h) == (2012, 2013, 2014, 2015)
    assert start_years(weather, march, until_new_year_h + 0.1) == (2012, 2013, 2014)
    assert start_years(weather_of_seattle(start_years=[2014, 2012]), march, 8760.0) == (2014, 2012)
    assert (
        start_years(Weather.model_validate({"spells": ALL_YEAR, "stops": {"crane": "bad weather"}}), march, 9.0) == ()
    )


def test_a_table_that_begins_later_in_the_year() -> None:
    """In its first year the scenario's day is not in it, though there would be hours enough behind."""
    table = {"first": "2012-03-01 07:00", "every": "1 h", "wind": "3 " * 9000}
    weather = Weather.model_validate({"table": table, "stops": {"crane": "wind > 9 m/s"}})
    assert start_years(weather, datetime(2027, 3, 1, 7), 48.0) == (2012, 2013)
    assert start_years(weather, datetime(2027, 3, 1, 6), 48.0) == (2013,)


@pytest.mark.parametrize(
    ("stated", "days", "said"),
    [
        ({}, 1500, "the table of weather, 2012-01-01 00:00 to 2016-01-01 00:00, leaves at most 1,400.7 days, in 2012, "
         "from 1 March on; expected 1,500 days: a longer table or a shorter horizon"),
        ({"start_years": [2013]}, 1500, "the table of weather, 2012-01-01 00:00 to 2016-01-01 00:00, leaves at most "
         "1,400.7 days, in 2012, from 1 March on; expected 1,500 days: a longer table or a shorter horizon"),
        ({"start_years": [2011, 2013, 2015]}, 365, "the table of weather, 2012-01-01 00:00 to 2016-01-01 "
         "00:00, leaves less than 365 days from 1 March in 2011, 2015; expected 2012, 2013, 2014"),
    ],
)  # fmt: skip
def test_running_off_the_end_of_the_table(stated: dict[str, Any], days: int, said: str) -> None:
    """An error by name, before anything is simulated; never another round of the same years."""
    with pytest.raises(WeatherTooShortError) as refused:
        start_years(weather_of_seattle(**stated), datetime(2027, 3, 1, 6), days * 24.0)
    assert str(refused.value) == said


def test_the_same_day_in_another_year() -> None:
    """29 February is 28 February in years that have none."""
    leap_day = datetime(2028, 2, 29, 6, 30)
    assert same_day(leap_day, 2012) == datetime(2012, 2, 29, 6, 30)
    assert same_day(leap_day, 2013) == datetime(2013, 2, 28, 6, 30)
    assert same_day(datetime(2027, 12, 31), 2012) == datetime(2012, 12, 31)
