"""Stoppages of a replication: where they lie on the calendar, what stops together, and that luck goes by name."""

from __future__ import annotations

from collections import Counter
from datetime import datetime, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from sim.chance.weather import stopped_rows
from sim.chance.windows import Window, without
from sim.scenario.weather import Weather, WeatherTooShortError
from sim.scenario.weather_limits import limits
from sim.scenario.weather_record import Record
from tests.theory.tolerance import RISK, assert_mean
from tests.weather.replications import lit, play, record, weather_of
from tests.weather.stations import seattle

fixed = settings(derandomize=True, deadline=None, max_examples=300)


def total(windows: list[Window]) -> float:
    """Hours in all windows."""
    return sum(b - a for a, b in windows)


def test_a_daily_row_stops_its_whole_day_of_the_year() -> None:
    """Lightning on 5 March of the table stops 5 March of the plan from midnight to midnight, also outside shifts."""
    weather = weather_of(lit(datetime(2013, 1, 1), 365, datetime(2013, 3, 5), datetime(2013, 3, 1)))
    assert play(weather, 240.0) == {"everything": [(0.0, 18.0), (90.0, 114.0)]}
    assert play(weather, 100.0) == {"everything": [(0.0, 18.0), (90.0, 100.0)]}
    assert play(weather, 100.0, start=datetime(2030, 3, 5, 18, 30)) == {"everything": [(0.0, 5.5)]}


def test_leap_days() -> None:
    """A start on 29 February begins on the 28th in years without; the days of the table follow each other as they did.

    So beyond the end of a February of which only one of the two years has a 29th, dates are a day apart.
    """
    leap_day = datetime(2028, 2, 29)
    common = weather_of(lit(datetime(2013, 1, 1), 365, datetime(2013, 2, 28), datetime(2013, 3, 2)))
    leap = weather_of(lit(datetime(2012, 1, 1), 366, datetime(2012, 2, 29), datetime(2012, 3, 2)))
    assert play(common, 96.0, start=leap_day)["everything"] == [(0.0, 24.0), (48.0, 72.0)]
    assert play(leap, 96.0, start=leap_day)["everything"] == [(0.0, 24.0), (48.0, 72.0)]
    assert play(leap, 96.0, start=datetime(2027, 2, 28))["everything"] == [(24.0, 48.0), (72.0, 96.0)]


def marked_by_year(weather_years: range) -> Record:
    """Four years of days in which lightning tells the year: so many days from 2 March on."""
    first = datetime(weather_years[0], 1, 1)
    days = (datetime(weather_years[-1] + 1, 1, 1) - first).days
    strikes = [datetime(year, 3, 2) + timedelta(days=k) for year in weather_years for k in range(year - 2010)]
    return lit(first, days, *strikes)


def years_met(weather: Weather, replications: int) -> Counter[int]:
    """How often each year of the table was met."""
    return Counter(2010 + round(total(play(weather, 720.0, k)["everything"]) / 24) for k in range(replications))


def test_the_start_year_is_drawn_for_each_replication() -> None:
    """Each year that leaves enough table is as likely as the others; or each that is stated."""
    n, table = 1200, marked_by_year(range(2012, 2016))
    for stated, years in ((None, [2012, 2013, 2014, 2015]), ([2013, 2015], [2013, 2015])):
        met = years_met(weather_of(table, start_years=stated), n)
        low, high = stats.binom.interval(1 - RISK, n, 1 / len(years))
        assert sorted(met) == years
        assert all(low <= met[year] <= high for year in years)
    assert years_met(weather_of(table, start_years=2014), 20) == {2014: 20}


def test_a_table_is_never_begun_anew() -> None:
    """Beyond its end there is no weather to be had, so nothing is drawn."""
    weather = weather_of(lit(datetime(2013, 1, 1), 365))
    assert play(weather, 306 * 24.0 - 6) == {"everything": []}
    with pytest.raises(
        WeatherTooShortError, match=r"leaves at most 305\.7 days, in 2013, from 1 March on; expected 306"
    ):
        play(weather, 306 * 24.0)


def test_what_stops_everything_stops_each_class() -> None:
    """Windows of a class are its own and those of everything, joined where they touch or overlap."""
    table = record("2013-03-01", "1 h", wind="0 20 0 0 20 20 0 0", lightning="0 0 0 1 1 0 0 0")
    stops = {"everything": "lightning", "crane": "wind > 15 m/s", "haulage": "wind > 100 m/s"}
    found = play(weather_of(table, stops, stand_down="0 h"), 8.0, start=datetime(2027, 3, 1))
    assert found == {"everything": [(3.0, 5.0)], "crane": [(1.0, 2.0), (3.0, 6.0)], "haulage": [(3.0, 5.0)]}


def test_work_that_nothing_stops() -> None:
    """Everything is always there, so that a class without conditions of its own finds what stops it."""
    table = record("2013-03-01", "1 h", wind="0 20 0 0")
    assert play(weather_of(table, {"crane": "wind > 15 m/s"}), 4.0, start=datetime(2027, 3, 1)) == {
        "everything": [],
        "crane": [(1.0, 2.0)],
    }


@fixed
@given(st.data())
def test_windows_are_the_rows_that_stop(data: st.DataObject) -> None:
    """Looking every quarter of an hour: stopped exactly where the row is, from hour zero to the horizon."""
    every = data.draw(st.sampled_from([1, 24]))
    flags = data.draw(st.lists(st.integers(0, 1), min_size=2, max_size=60))
    table = record("2013-03-01", f"{every} h", lightning=flags)
    offset_h = data.draw(st.integers(0, 4 * every * (len(flags) - 1))) / 4
    horizon_h = data.draw(st.integers(1, round(4 * (every * len(flags) - offset_h)))) / 4
    start = datetime(2027, 3, 1) + timedelta(hours=offset_h)
    windows = play(weather_of(table, stand_down="0 h"), horizon_h, start=start)["everything"]
    edges = [edge for window in windows for edge in window]
    assert edges == sorted(set(edges))
    assert all(0 <= edge <= horizon_h for edge in edges)
    for k in range(round(4 * horizon_h)):
        at_h = k / 4 + 0.1
        assert any(a <= at_h < b for a, b in windows) == flags[int((offset_h + at_h) // every)]


def test_a_year_of_seattle() -> None:
    """Its windy hours are those of the days from the start on, in whichever year a replication finds itself."""
    table = seattle()
    windy = stopped_rows(table, limits("wind >= 5 m/s"))
    hours = {year: 24.0 * windy[(datetime(year, 3, 1) - table.first).days :][:240].sum() for year in range(2012, 2016)}
    weather = weather_of(table, {"crane": "wind >= 5 m/s"})
    met = {total(play(weather, 240 * 24.0, k, datetime(2027, 3, 1))["crane"]) for k in range(60)}
    assert met == set(hours.values())
    assert len(met) > 1


def test_the_same_name_meets_the_same_weather() -> None:
    """Whatever was drawn before; another replication meets other weather."""
    spells = Weather.model_validate(
        {"spells": {"other_months": {"good": "60 h", "bad": "12 h"}}, "stops": {"crane": "bad weather"}}
    )
    table = weather_of(seattle(), {"crane": "wind >= 5 m/s"})
    for weather in (spells, table):
        first = [play(weather, 2000.0, k) for k in range(12)]
        again = [play(weather, 2000.0, k) for k in reversed(range(12))]
        assert first == again[::-1]
        assert len({str(found) for found in first}) == (12 if weather is spells else 4)


def spelled(stops: dict[str, str], **months: object) -> Weather:
    """Weather by spells."""
    return Weather.model_validate({"spells": months, "stops": stops})


def test_spells_stop_every_class_that_they_are_stated_for_at_once() -> None:
    """There is one kind of bad weather; what it does not stop goes on."""
    months = {"other_months": {"good": "100 h", "bad": "25 h"}}
    some = play(spelled({"crane": "bad weather", "haulage": "bad weather"}, **months), 1000.0)
    assert some["crane"] == some["haulage"] != []
    assert some["everything"] == []
    every = play(spelled({"everything": "bad weather"}, **months), 1000.0)
    assert every == {"everything": some["crane"]}


def test_weather_shortens_the_hours_of_work_by_its_share() -> None:
    """Of day shifts as of nights: what is left of the windows is the share of good weather, exact in the mean."""
    shifts = [(24.0 * day, 24.0 * day + 12.0) for day in range(100)]
    weather = spelled({"crane": "bad weather"}, other_months={"good": "30 h", "bad": "10 h"})
    left = [total(without(shifts, play(weather, 2400.0, k)["crane"])) / 1200 for k in range(400)]
    assert_mean(left, 0.75)


@pytest.mark.parametrize("table", [{"file": "pad.csv"}, "pad.csv"])
def test_a_table_must_be_read_first(table: Any) -> None:
    """A name has no weather."""
    with pytest.raises(ValueError, match=r"^weather from a table that is not read yet$"):
        play(weather_of(table), 24.0)


def test_windows_are_apart() -> None:
    """Nothing to be joined is left, so that they can be taken out of a calendar in one pass."""
    stops = {"everything": "rain > 5 mm/day or wind > 6 m/s", "crane": "wind > 4 m/s or temperature < 2 degC"}
    for k in range(8):
        for windows in play(weather_of(seattle(), stops), 300 * 24.0, k).values():
            assert all(end < begin for (_, end), (begin, _) in pairwise(windows))
