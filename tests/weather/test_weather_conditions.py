"""Conditions that look beyond one row of an hourly table: lightning and the rain of a day."""

from __future__ import annotations

from datetime import datetime, timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.chance.weather import stopped_rows
from sim.chance.windows import Window
from sim.scenario.weather_limits import limits
from tests.weather.replications import lit, play, record, weather_of

fixed = settings(derandomize=True, deadline=None, max_examples=300)


def test_stand_down_after_lightning() -> None:
    """Half an hour after an hour with lightning (OSHA-NOAA), also where that hour was before the start; not after days.

    Wind stops no longer than it blows.
    """
    table = record("2013-03-01", "1 h", lightning="0 0 1 0 0 1 1 0 0 0", wind="0 0 9 0 0 9 9 0 0 0")
    stops = {"everything": "lightning", "crane": "wind > 5 m/s"}
    midnight = datetime(2027, 3, 1)
    assert play(weather_of(table, stops), 10.0, start=midnight)["everything"] == [(2.0, 3.5), (5.0, 7.5)]
    assert play(weather_of(table, stops), 7.0, start=midnight + timedelta(hours=3))["everything"] == [
        (0.0, 0.5),
        (2.0, 4.5),
    ]
    long = weather_of(table, stops, stand_down="150 min")
    assert play(long, 10.0, start=midnight)["everything"] == [(2.0, 9.5)]
    assert play(weather_of(table, {"crane": "wind > 5 m/s"}), 10.0, start=midnight)["crane"] == [(2.0, 3.0), (5.0, 7.0)]
    days = lit(datetime(2013, 1, 1), 365, datetime(2013, 3, 5))
    assert play(weather_of(days), 240.0, start=midnight)["everything"] == [(96.0, 120.0)]


def test_rain_of_a_day_is_what_fell_in_the_24_hours_up_to_the_end_of_a_row() -> None:
    """A road stays closed for a day after a wet hour; rain before the start counts. A rate is of the hour itself."""
    rain = np.zeros(72)
    rain[[10, 14]] = 8.0
    table = record("2013-03-01", "1 h", rain=rain.tolist())
    midnight = datetime(2027, 3, 1)

    def stopped(condition: str, start: datetime = midnight) -> list[Window]:
        hours = 72 - (start - midnight) / timedelta(hours=1)
        return play(weather_of(table, {"haulage": condition}), hours, start=start)["haulage"]

    assert stopped("rain > 0.5 in/day") == [(14.0, 34.0)]
    assert stopped("rain > 5 mm/day") == [(10.0, 38.0)]
    assert stopped("rain > 16 mm/day") == []
    assert stopped("rain > 0.5 in/day", midnight + timedelta(hours=24.5)) == [(0.0, 9.5)]
    assert stopped("rain > 5 mm/h") == stopped("rain > 5 mm") == [(10.0, 11.0), (14.0, 15.0)]


@fixed
@given(st.lists(st.floats(0, 30), min_size=1, max_size=120), st.floats(0, 60))
def test_rain_of_a_day_is_a_sum(rain: list[float], limit: float) -> None:
    """As adding up the last 24 rows, wherever the reading of the table begins."""
    table, (stop,) = record("2013-03-01", "1 h", rain=rain), limits(f"rain > {limit:.6f} mm/day")
    sums = [sum(rain[max(0, k - 23) : k + 1]) for k in range(len(rain))]
    for first in (0, len(rain) // 2):
        found = stopped_rows(table, (stop,), slice(first, None))
        clear = [abs(fallen - stop.value) > 1e-9 for fallen in sums[first:]]
        assert [a or not b for a, b in zip(found, clear, strict=True)] == [
            fallen > stop.value or not b for fallen, b in zip(sums[first:], clear, strict=True)
        ]
