"""Small tables of weather, and the stoppages that a replication meets with them."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sim.chance.streams import Streams
from sim.chance.weather import stoppages
from sim.chance.windows import Window
from sim.scenario.weather import Weather
from sim.scenario.weather_record import Record

MARCH = datetime(2027, 3, 1, 6)


def record(first: str, every: str, **readings: object) -> Record:
    """A table once read."""
    return Record.model_validate({"first": first, "every": every, **readings})


def lit(first: datetime, days: int, *strikes: datetime) -> Record:
    """A table of days, of which some have lightning."""
    lightning = [0] * days
    for strike in strikes:
        lightning[(strike - first).days] = 1
    return record(f"{first:%Y-%m-%d}", "24 h", lightning=lightning)


def weather_of(table: object, stops: dict[str, str] | None = None, **stated: Any) -> Weather:
    """Weather from a table; by default lightning stops everything."""
    return Weather.model_validate({"table": table, "stops": stops or {"everything": "lightning"}, **stated})


def play(weather: Weather, horizon_h: float, replication: int = 0, start: datetime = MARCH) -> dict[str, list[Window]]:
    """Stoppages of one replication."""
    return stoppages(weather, start, horizon_h, Streams(3, replication).at("weather", "stoppages"))
