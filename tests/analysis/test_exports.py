"""The files that a forecast leaves for others: plain JSON, plain CSV, and nothing unsaid about the horizon."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from math import inf
from pathlib import Path
from typing import Any, NoReturn

import pandas as pd
import pytest

from analysis.forecasting.exports import dates_csv, summary_of
from analysis.forecasting.forecast import forecast
from analysis.forecasting.summary import Summary, summarise
from analysis.runs.run_directory import create, write_summary
from tests.pads import pad, units, well

REPLICATIONS = 12


@cache
def summary(horizon: str = "60 day", replications: int = REPLICATIONS) -> Summary:
    """Two wells in a zipper, flowback of five days on average; ten days are too few for some."""
    wells = [well(name, 3, "2 h", {"exponential": "2 h"}, toe=True) for name in ("Heron, the 1st", 'Heron "2"')]
    spreads = {"rig_up": "1 h", "duration": {"exponential": "5 day"}, "turn_in_line": "1 h"}
    scenario = pad(wells, {}, units=units(flowback_spreads=spreads), horizon=horizon)
    return summarise(forecast(scenario, replications))


def refuse(word: str) -> NoReturn:
    """JSON has no NaN and no infinity, though Python would write and read them."""
    raise AssertionError(f"{word} is not JSON")


def written(found: Summary, folder: Path) -> dict[str, Any]:
    """The summary as a reader of the run directory gets it."""
    write_summary(create(folder / "run", overwrite=False), summary_of(found))
    text = (folder / "run" / "summary.json").read_text(encoding="utf-8")
    content: dict[str, Any] = json.loads(text, parse_constant=refuse)
    return content


def rows_of(found: Summary) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(dates_csv(found))))


def test_summary_is_plain_json(tmp_path: Path) -> None:
    """Everything that the terminal says is there, with the convention in words."""
    content = written(summary(), tmp_path)
    assert content["convention"].startswith("P90: 90 % chance done by")
    assert (content["replications"], content["seed"]) == (REPLICATIONS, 0)
    assert set(content["wells"]) == {"Heron, the 1st", 'Heron "2"'}
    assert set(content["pad"]) == {
        "Fracturing starts", "Fracturing ends", "First production", "Every well on production",
    }  # fmt: skip
    assert set(content["pad"]["First production"]) >= {"P10", "P50", "P90", "mean", "plan_of_averages", "unfinished"}
    assert {"Fleet", "Wireline", "Flowback spread"} <= set(content["units"])


def test_intervals_surround_what_they_belong_to(tmp_path: Path) -> None:
    """Every quantile and every mean carries bounds around it and the confidence of at least 95 %."""
    found = written(summary(), tmp_path)["pad"]["Every well on production"]
    middle, mean = found["P50"], found["mean"]
    assert middle["low_hours"] <= middle["hours"] <= middle["high_hours"]
    assert middle["confidence"] >= 0.95
    assert mean["low"] < mean["mean"] < mean["high"]


def test_unknown_bounds_are_null(tmp_path: Path) -> None:
    """Twelve replications bound no P90 from above, and one alone bounds nothing: unknown is not beyond the horizon."""
    twelve = written(summary(), tmp_path / "twelve")["pad"]["First production"]
    assert twelve["P90"]["high_hours"] is None
    assert twelve["P10"]["low_hours"] is None
    one = written(summary(replications=1), tmp_path / "one")["pad"]["First production"]
    assert (one["mean"]["low"], one["mean"]["high"]) == (None, None)
    assert isinstance(one["mean"]["mean"], float)


def test_horizon_in_json(tmp_path: Path) -> None:
    """Where most replications do not finish, hours, date and mean say so, and the unfinished are counted."""
    content = written(summary(horizon="4 day"), tmp_path)
    last = content["pad"]["Every well on production"]
    assert (last["P90"]["hours"], last["P90"]["date"]) == ("beyond horizon", "beyond the horizon")
    assert last["mean"]["mean"] == "beyond horizon"
    assert last["unfinished"] > REPLICATIONS / 2
    assert content["pad"]["Fracturing ends"]["unfinished"] == 0
    assert content["units"]["Flowback spread"]["leaves"]["P90"]["date"] == "beyond the horizon"


def test_shares_of_a_unit_add_up(tmp_path: Path) -> None:
    """Work, waits and trouble are all of a unit's time on location."""
    for unit in written(summary(), tmp_path)["units"].values():
        assert sum(share["mean"] for share in unit["shares_of_time_on_location"]) == pytest.approx(1.0)


def test_table_of_dates_has_a_line_for_every_milestone() -> None:
    """Four of the pad, then six of each well, names with commas and quotes included."""
    found = rows_of(summary())
    assert [row["well"] for row in found] == [""] * 4 + ["Heron, the 1st"] * 6 + ['Heron "2"'] * 6
    assert len({(row["well"], row["milestone"]) for row in found}) == 16


def test_table_of_dates_states_the_convention() -> None:
    """The headings of the dates say what P10, P50 and P90 are."""
    headings = dates_csv(summary()).partition("\n")[0]
    for chance in (10, 50, 90):
        assert f"P{chance} date ({chance} % chance done by)" in headings


def test_table_of_dates_agrees_with_the_summary() -> None:
    """The same numbers, to the last digit."""
    found = summary()
    for row, milestone in zip(rows_of(found), found.pad, strict=False):
        assert row["milestone"] == milestone.name
        assert [float(row[f"P{chance} hours"]) for chance in (10, 50, 90)] == [
            quantile.value for quantile in milestone.quantiles
        ]


def test_table_of_dates_reads_as_numbers() -> None:
    """Hours parse as numbers, infinite beyond the horizon; unknown bounds are missing, which is something else."""
    table = pd.read_csv(io.StringIO(dates_csv(summary(horizon="4 day"))))
    last = table[table["milestone"] == "Every well on production"].iloc[0]
    assert last["P90 hours"] == inf
    assert last["P90 date (90 % chance done by)"] == "beyond the horizon"
    assert pd.isna(last["P90 hours high"])
    assert last["unfinished"] > REPLICATIONS / 2
    hours = [name for name in table.columns if "hours" in name]
    assert all(pd.api.types.is_numeric_dtype(table[name]) for name in hours)


@pytest.mark.parametrize("name", ["=1+2", "+Heron", "-Heron", "@Heron"])
def test_name_is_never_a_formula(name: str) -> None:
    """A spreadsheet would work out what begins so; the apostrophe before it makes it text. Numbers stay numbers."""
    wells = [well(each, 1, "2 h", "2 h", toe=True) for each in (name, "Heron = 2")]
    table = rows_of(summarise(forecast(pad(wells, {}, units=units(), horizon="60 day"), 2)))
    assert {row["well"] for row in table} == {"", f"'{name}", "Heron = 2"}
    assert all(float(row["mean hours"]) >= 0 for row in table)
