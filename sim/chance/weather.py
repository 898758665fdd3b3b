"""When weather stops work in one replication: sorted windows, drawn up front, that no crew foresees.

A table is laid over the calendar from the scenario's day in a year drawn for each replication; year, season and the
way one day follows another stay as they were. A daily row stops the whole of its day.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import ceil, floor

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from sim.chance.spells import drawn_spells, runs
from sim.chance.windows import Window, union, within
from sim.scenario.weather import Weather, same_day, start_years
from sim.scenario.weather_limits import LIGHTNING, Limit, Stop
from sim.scenario.weather_record import Record

_SIDES = {">": np.greater, ">=": np.greater_equal, "<": np.less, "<=": np.less_equal}
EVERYTHING = "everything"


def stoppages(weather: Weather, start: datetime, horizon_h: float, stream: Generator) -> dict[str, list[Window]]:
    """Hours from `start` in which each class of work stands still, up to the horizon.

    What stops everything is in every class; work of a class that is not there is stopped by `everything` alone.
    Raises WeatherTooShortError where the table ends before the horizon.
    """
    stops = weather.stops.stated()
    if weather.spells is not None:
        bad = drawn_spells(weather.spells, start, horizon_h, stream)
        found = dict.fromkeys(stops, bad)
    else:
        years = start_years(weather, start, horizon_h)
        begins = same_day(start, years[stream.integers(len(years))])
        found = {work: _stopped(weather, stop, begins, horizon_h) for work, stop in stops.items()}
    everything = found.get(EVERYTHING, [])
    return {EVERYTHING: everything} | {work: union(windows, everything) for work, windows in found.items()}


def stopped_rows(record: Record, stop: Stop, rows: slice = slice(None)) -> NDArray[np.bool_]:
    """Whether each row of a table stops work."""
    passed: NDArray[np.bool_] = np.logical_or.reduce([_passed(record, limit, rows) for limit in stop])
    return passed


def _passed(record: Record, limit: Limit, rows: slice) -> NDArray[np.bool_]:
    values = record.answering(limit)
    assert values is not None  # checked when the scenario is read
    first, end, _ = rows.indices(len(values))
    over = round(limit.over_h / record.every) if limit.over_h > record.every else 1
    before = min(first, over - 1)
    read = np.asarray(values[first - before : end])
    fallen = np.convolve(read, np.ones(over))[: len(read)] if over > 1 else read
    found: NDArray[np.bool_] = _SIDES[limit.sign](fallen[before:], limit.value)
    return found


def _stopped(weather: Weather, stop: Stop, begins: datetime, horizon_h: float) -> list[Window]:
    """Windows in hours from `begins`, a moment in the time of the table."""
    record = weather.record
    offset_h = (begins - record.first) / timedelta(hours=1)
    return within(union(*(_windows(weather, limit, offset_h, horizon_h) for limit in stop)), horizon_h)


def _windows(weather: Weather, limit: Limit, offset_h: float, horizon_h: float) -> Iterator[Window]:
    every = weather.record.every
    stand_down_h = weather.stand_down if limit.reading == LIGHTNING and every == 1 else 0.0
    first = max(floor((offset_h - stand_down_h) / every), 0)
    rows = slice(first, ceil((offset_h + horizon_h) / every))
    for a, b in runs(stopped_rows(weather.record, (limit,), rows)):
        yield float((first + a) * every - offset_h), float((first + b) * every - offset_h + stand_down_h)
