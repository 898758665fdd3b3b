"""Weather in a scenario file: a table beside it or spells, what they stop, and every fault where it is to be mended."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from sim.scenario import load, load_stated, read, stated
from sim.scenario.weather_limits import LIGHTNING, Limit, limits
from tests.scenario.files import BASE, said

BY_TABLE = "weather: {table: weather.csv, stops: {crane: wind > 35 mph, haulage: rain > 12.7 mm/day}}\n"
BY_SPELLS = """\
weather:
  spells: {march: {good: 110 h, bad: 9 h}, other_months: {good: 200 h, bad: 6 h}}
  stops: {crane: bad weather, wireline: bad weather}
"""
HEADER = "date,wind [mph],rain [mm]\n"


def days(first: datetime, count: int, wind: str = "10") -> str:
    """Rows of a table, a day each."""
    return "".join(f"{first + timedelta(days=day):%Y-%m-%d},{wind},1.5\n" for day in range(count))


LONG_ENOUGH = HEADER + days(datetime(2020, 1, 1), 500)


def scenario_file(folder: Path, section: str, table: str = LONG_ENOUGH) -> Path:
    """The pad with weather, and its table beside it."""
    (folder / "weather.csv").write_text(table)
    file = folder / "pad.yaml"
    file.write_text(BASE + section)
    return file


@pytest.mark.parametrize("how", ["weather.csv", "{file: weather.csv}"])
def test_a_table_lies_beside_the_scenario(tmp_path: Path, how: str) -> None:
    """It is read in the units of its header, and goes with the scenario wherever that is written down."""
    file = scenario_file(tmp_path, BY_TABLE.replace("weather.csv", how))
    scenario, data = load(file), json.loads(json.dumps(stated(read(file))))
    assert scenario.weather is not None
    record = scenario.weather.record
    assert (record.first, record.every, record.rows) == (datetime(2020, 1, 1), 24.0, 500)
    assert set(record.wind or ()) == {4.4704}
    assert set(record.rain or ()) == {1.5}
    assert scenario.weather.stops.stated() == {
        "crane": (Limit("wind", ">", pytest.approx(15.6464)),),
        "haulage": (Limit("rain", ">", 12.7, 24.0),),
    }
    (tmp_path / "weather.csv").unlink()
    assert load_stated(data) == scenario


def test_spells_need_no_table(tmp_path: Path) -> None:
    """Mean lengths month by month; the stand-down is the usual one."""
    weather = load(scenario_file(tmp_path, BY_SPELLS)).weather
    assert weather is not None
    assert weather.spells is not None
    march, april = (weather.spells.at(datetime(2027, month, 1)) for month in (3, 4))
    assert (march.good, march.bad, april.good, april.bad) == (110.0, 9.0, 200.0, 6.0)
    assert weather.stand_down == 0.5


def test_alternatives_change_the_weather(tmp_path: Path) -> None:
    """By a path inside it, by another condition, by leaving it out, or by other figures of the troubles."""
    alternatives = """\
alternatives:
  stormy: {weather.spells.march.bad: 30 h}
  calm: {weather.stops.crane: null, weather.stops.wireline: null, weather.stops.pumping: bad weather}
  fair: {weather: null}
  careful: {troubles: {misrun: {chance: 1 %}, stuck bit: {}}, trouble_factor: 0.5}
troubles: {misrun: {lost: 2 h}}
"""
    file = scenario_file(tmp_path, BY_SPELLS + alternatives)
    stormy, calm, careful = (load(file, name) for name in ("stormy", "calm", "careful"))
    assert stormy.weather is not None
    assert stormy.weather.spells is not None
    assert stormy.weather.spells.march is not None
    assert (stormy.weather.spells.march.good, stormy.weather.spells.march.bad) == (110.0, 30.0)
    assert calm.weather is not None
    assert list(calm.weather.stops.stated()) == ["pumping"]
    assert load(file, "fair").weather is None
    misrun = careful.activity_troubles["misrun"]
    assert (misrun.chance, misrun.lost) == (0.01, 2.0)
    assert list(careful.troubles) == ["misrun", "stuck bit"]
    assert (careful.trouble_factor, stormy.trouble_factor) == (0.5, 1.0)
    assert list(stormy.troubles) == ["misrun"]


def test_an_alternative_may_name_another_table(tmp_path: Path) -> None:
    """It lies beside the file as well, and a fault in it is told with the alternative."""
    (tmp_path / "windy.csv").write_text(HEADER + days(datetime(2020, 1, 1), 500, wind="40"))
    file = scenario_file(tmp_path, BY_TABLE + "alternatives: {windy: {weather.table: windy.csv}}\n")
    windy = load(file, "windy").weather
    assert windy is not None
    assert set(windy.record.wind or ()) == {40 * 0.44704}
    assert load_stated(json.loads(json.dumps(stated(read(file)))), "windy").weather == windy
    (tmp_path / "windy.csv").unlink()
    assert said(tmp_path, file.read_text()) == [
        "pad.yaml:34: alternatives.windy.weather.table: no such file; expected a csv table of weather (got 'windy.csv')"
    ]


@pytest.mark.parametrize("patch", ["weather.table: windy.csv", "weather: {table: windy.csv, stand_down: 1 h}"])
def test_a_table_of_an_alternative_is_written_out_without_what_the_other_has(tmp_path: Path, patch: str) -> None:
    """A scenario written out needs neither table any more, and no rain of the one gets into the other."""
    dry = (HEADER + days(datetime(2020, 1, 1), 500, wind="40")).replace(",1.5\n", "\n").replace(",rain [mm]", "")
    (tmp_path / "windy.csv").write_text(dry)
    no_rain = BY_TABLE.replace(", haulage: rain > 12.7 mm/day", "")
    file = scenario_file(tmp_path, no_rain + f"alternatives: {{windy: {{{patch}}}}}\n")
    windy, plain = load(file, "windy").weather, json.loads(json.dumps(stated(read(file))))
    assert windy is not None
    assert windy.record.rain is None
    (tmp_path / "windy.csv").unlink()
    assert load_stated(plain, "windy").weather == windy


@pytest.mark.parametrize(
    ("section", "table", "lines"),
    [
        (
            BY_TABLE,
            HEADER + days(datetime(2020, 1, 1), 300) + "2020-10-27,11,wet\n2020-10-28,9000,0\n",
            [
                "weather.csv:302: rain: not a number; expected one such as 3.5 (got 'wet')",
                "weather.csv:303: wind: impossible, 4023.4 m/s; expected a wind speed of 0 to 120 m/s (got 9000)",
            ],
        ),
        (
            BY_TABLE,
            HEADER + days(datetime(2020, 1, 1), 100),
            [
                "pad.yaml:33: weather.table: the table of weather, 2020-01-01 00:00 to 2020-04-10 00:00, leaves at most"
                " 39.7 days, in 2020, from 1 March on; expected 240 days: a longer table or a shorter horizon"
            ],
        ),
        (
            BY_TABLE.replace("stops: ", "start_years: [2020, 2021], stops: "),
            LONG_ENOUGH,
            [
                "pad.yaml:33: weather.start_years: the table of weather, 2020-01-01 00:00 to 2021-05-15 00:00, leaves"
                " less than 240 days from 1 March in 2021; expected 2020"
            ],
        ),
        (
            BY_TABLE.replace("wind > 35 mph", "lightning"),
            LONG_ENOUGH,
            [
                "pad.yaml:33: weather.stops.crane: the table was read without lightning; expected a reading that it"
                " holds: wind, rain (got 'lightning')"
            ],
        ),
        (
            BY_TABLE.replace("wind > 35 mph", "wnd > 35 mph"),
            LONG_ENOUGH,
            [
                "pad.yaml:33: weather.stops.crane: 'wnd' is not a reading of weather; did you mean 'wind'; expected"
                " wind, rain, temperature (got 'wnd > 35 mph')"
            ],
        ),
        (
            BY_TABLE.replace("crane", "crain"),
            LONG_ENOUGH,
            [
                "pad.yaml:33: weather.stops.crain: unknown key; did you mean 'crane'; known keys: everything, crane,"
                " haulage, water_lines, preparation, wireline, pumping, drill_out, flowback"
            ],
        ),
        (
            BY_TABLE.replace("weather.csv", "{file: weather.csv, unit: {wind: mph}}"),
            LONG_ENOUGH,
            ["pad.yaml:33: weather.table.unit: unknown key; did you mean 'units'; known keys: file, columns, units, "
                "gaps"],
        ),
        (
            BY_TABLE.replace("weather.csv", "{file: weather.csv, columns: {wind: gusts}}"),
            LONG_ENOUGH,
            ["weather.csv:1: no column 'gusts'; the columns are date, wind, rain"],
        ),
        (
            BY_SPELLS.replace("crane: bad weather", "crane: wind > 35 mph"),
            "",
            ["pad.yaml:35: weather.stops.crane: spells do not tell wind; expected 'bad weather' (got 'wind > 35 mph')"],
        ),
        (
            BY_SPELLS.replace("bad: 9 h", "bad: 9"),
            "",
            [
                "pad.yaml:34: weather.spells.march.bad: a number without a unit; expected a time such as '12 h',"
                " '30 min' or '4 day' (got 9)"
            ],
        ),
        (
            BY_SPELLS.replace("march:", "smarch:"),
            "",
            [
                "pad.yaml:34: weather.spells.smarch: unknown key; did you mean 'march'; known keys: january, february,"
                " march, april, may, june, july, august, september, october, november, december, other_months"
            ],
        ),
        (
            "weather: {stops: {crane: lightning}}\n",
            "",
            ["pad.yaml:33: weather: expected either a table of weather or spells (got {stops: {crane: lightning}})"],
        ),
        (
            "weather: {table: weather.csv}\n",
            LONG_ENOUGH,
            ["pad.yaml:33: weather: missing: stops is required (which work stops, and when; everything else goes on)"],
        ),
    ],
)  # fmt: skip
def test_each_slip_about_the_weather_is_one_plain_line(
    tmp_path: Path, section: str, table: str, lines: list[str]
) -> None:
    """A fault in the table is told by its own line, any other by that of the scenario file."""
    file = scenario_file(tmp_path, section, table)
    assert said(tmp_path, file.read_text()) == lines


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("wind > 35 mph", "wind > 35 mph"),
        ("wind>=12.5m/s", "wind >= 12.5 m/s"),
        ("rain > 0.50 in / day", "rain > 0.5 in/day"),
        ("temperature < -5 degC", "temperature < -5 degC"),
        ("lightning", "lightning"),
        ("bad weather", "bad weather"),
    ],
)
def test_conditions_are_shown_as_one_would_write_them(written: str, shown: str) -> None:
    """In the unit that was stated, and so that they could be read again."""
    (limit,) = limits(written)
    assert str(limit) == shown
    assert limits(shown) == (limit,)


def test_how_a_condition_was_written_makes_no_difference() -> None:
    """One inch and 25.4 mm are the same rain."""
    assert limits("rain > 1 in/day or lightning") == limits("rain > 25.4 mm/d or lightning")
    assert Limit(LIGHTNING) in limits("wind > 9 m/s or lightning")
