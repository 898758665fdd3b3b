"""A weather table in the place of its name: what a scenario carries to workers and into a manifest."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from sim.scenario.document import Document, Place, node_of, plain
from sim.scenario.weather import Weather
from sim.scenario.weather_table import with_weather

DAYS = "date,wind [m/s],rain [mm]\n2015-03-01,3,0\n2015-03-02,4,1.5\n2015-03-03,5,0\n"


def document(folder: Path | None, table: object) -> Document:
    """A scenario, as far as it is about weather, in line 4 of its file."""
    data = {"title": "a pad", "weather": {"table": table, "stops": {"crane": "wind > 30 mph"}}}
    return Document(node_of(data, Place("pad.yaml", 4)), folder)


@pytest.mark.parametrize("table", ["weather.csv", {"file": "weather.csv"}])
def test_readings_stand_in_the_place_of_a_table(table: object, tmp_path: Path) -> None:
    """As with a table of wells, so that a scenario and its manifest carry all they need; and only once."""
    (tmp_path / "weather.csv").write_text(DAYS)
    once = with_weather(document(tmp_path, table))
    assert once.problems == ()
    assert with_weather(replace(once, folder=None)) == replace(once, folder=None)
    weather = Weather.model_validate(plain(once.root)["weather"])
    assert weather.record.wind == (3.0, 4.0, 5.0)


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ("gone.csv", "pad.yaml:4: weather.table: no such file; expected a csv table of weather (got 'gone.csv')"),
        ({"file": "."}, "pad.yaml:4: weather.table: a folder; expected a csv table of weather (got '.')"),
        ("torn.csv", "torn.csv:3: rain: blank; expected a number, or gaps: as the day before (got '')"),
    ],
)
def test_what_is_wrong_with_a_table_stays_with_the_document(table: object, said: str, tmp_path: Path) -> None:
    """A table that is not there is a problem with its name; the document itself stays as written."""
    (tmp_path / "torn.csv").write_text(DAYS.replace("1.5", ""))
    written = document(tmp_path, table)
    read_through = with_weather(written)
    assert [str(problem).removeprefix(f"{tmp_path}/") for problem in read_through.problems] == [said]
    assert read_through.root == written.root


def test_tables_stated_wrongly_are_left_to_the_models(tmp_path: Path) -> None:
    """Nothing is read, and nothing said twice."""
    for table in (5, {"file": "weather.csv", "gap": "refuse"}, None):
        assert with_weather(document(tmp_path, table)) == document(tmp_path, table)
    bare = Document(node_of({"title": "a pad"}, Place("pad.yaml", 1)), tmp_path)
    assert with_weather(bare) == bare


def test_plain_data_has_no_folder_to_look_in() -> None:
    """Without a file there is nothing beside it."""
    (problem,) = with_weather(document(None, "weather.csv")).problems
    assert str(problem) == (
        "pad.yaml:4: weather.table: a table needs a scenario file beside it; expected its readings (got 'weather.csv')"
    )
