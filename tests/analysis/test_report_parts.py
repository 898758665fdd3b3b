"""The parts of a report against small cases that can be worked out by hand."""

from __future__ import annotations

import json
from datetime import datetime
from math import inf
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from synthetic_pad import START, pad

from analysis.checking.estimates import estimate
from analysis.report import palette
from analysis.report.curves import band_of
from analysis.report.gantt import gantts
from analysis.report.interactive import embedded, in_script, milliseconds
from analysis.report.parts import estimate_table, from_terminal
from analysis.statistics import quantile_interval
from sim.log import Interval, Log


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour (Web Content Accessibility Guidelines 2.2, glossary)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (the same guidelines)."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_reckoned_as_published() -> None:
    """Black on white is 21 to 1; #777777 on white just misses level AA at 4.48 (WebAIM's checker, from memory)."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)


@pytest.mark.parametrize("colours", [palette.LIGHT, palette.DARK, palette.PAPER], ids=["light", "dark", "paper"])
def test_every_ink_can_be_read_on_its_ground(colours: dict[str, str]) -> None:
    """Criterion 1.4.3, level AA: 4.5 to 1."""
    for ink, ground in palette.TEXT_ON:
        assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)


def test_light_dark_and_paper_name_the_same_colours() -> None:
    """Or one of them would fall back to that of another."""
    assert set(palette.LIGHT) == set(palette.DARK) == set(palette.PAPER)


@given(st.lists(st.floats(0, 1e4), min_size=1, max_size=300))
@settings(derandomize=True, max_examples=30, deadline=None)
def test_band_is_made_of_the_intervals_of_its_quantiles(hours: list[float]) -> None:
    """And holds the curve; it ends where replications are too few for a bound."""
    band = band_of(np.array(hours))
    for chance, early, late in zip(band.chance, band.early_h, band.late_h, strict=True):
        found = quantile_interval(hours, round(float(chance), 4))
        assert (early, late) == (found.low, found.high)
        assert early <= found.value <= late
    if len(hours) < 6:  # 1 - 2 / 2 ** 5 is below 95 %
        assert len(band.chance) == 0


def test_band_reaches_the_horizon() -> None:
    """A bound that is beyond the horizon is one all the same."""
    band = band_of(np.array([10.0] * 50 + [inf] * 50))
    assert band.late_h[-1] == inf
    assert band.early_h[0] == 10.0


def log_of(intervals: pd.DataFrame) -> Log:
    """A log that holds these rows."""
    rows = [Interval(*row) for row in intervals.itertuples(index=False, name=None)]
    return Log(0, 0, float(intervals["end_h"].max()) + 1, {}, rows)


def drawn_bars(figure: Any, number: int) -> pd.DataFrame:
    """What one set of bars of a figure holds."""
    return pd.DataFrame({name: list(column) for name, column in figure.renderers[number].data_source.data.items()})


def test_bars_of_units_are_the_rows_of_the_log() -> None:
    """Hour by hour: work and waits of every unit, none lost and none twice."""
    intervals, _ = pad()
    wells = pd.DataFrame(
        columns=["well", "fracturing_start_h", "fracturing_end_h", "flowback_start_h", "on_production_h"]
    )
    log = log_of(intervals)
    by_unit, by_well = gantts(log, wells, START)
    bars = pd.concat([drawn_bars(by_unit, 0), drawn_bars(by_unit, 1)])
    rows = intervals[(intervals["unit"] != "") & (intervals["activity"] != "arrive")]
    hours = (bars["right"] - bars["left"]) / 3_600_000
    assert hours.groupby(bars["unit"]).sum().to_dict() == pytest.approx(
        (rows["end_h"] - rows["start_h"]).groupby(rows["unit"]).sum().to_dict()
    )
    assert bars["hours"].sum() == pytest.approx(hours.sum())
    assert by_unit.x_range is by_well.x_range


def test_figures_are_numbered_anew_and_end_no_script() -> None:
    """The same figures drawn twice give the same text, with whatever names."""
    intervals, _ = pad()
    intervals = intervals.assign(well=intervals["well"].where(intervals["well"] == "", "</script><!--p1001"))
    wells = pd.DataFrame(
        columns=["well", "fracturing_start_h", "fracturing_end_h", "flowback_start_h", "on_production_h"]
    )
    log = log_of(intervals)
    texts = [embedded(dict(zip(("a", "b"), gantts(log, wells, START), strict=True))) for _ in range(2)]
    assert texts[0] == texts[1]
    document, roots = texts[0]
    assert "<" not in document
    assert "</script><!--p1001" in json.dumps(json.loads(document))
    assert [root["id"] for root in json.loads(document)["roots"]] == list(json.loads(roots))


def test_json_in_a_script_is_the_same_json() -> None:
    """Nothing that HTML knows is left in it."""
    value = {"a": "</script>&<!-- \u2028", "b": [1.5, None]}
    text = in_script(value)
    assert json.loads(text) == value
    assert not set("<>&\u2028") & set(text)


def test_hours_are_shown_as_local_time() -> None:
    """A day is a day, and hour zero the start; checked against the standard library."""
    start = datetime(2027, 3, 1, 6)
    seconds = (datetime(2027, 3, 2, 6) - datetime(1970, 1, 1)).total_seconds()
    assert milliseconds(start, 24.0) == seconds * 1000


def test_terminal_table_keeps_every_cell() -> None:
    """Headings, cells with their further lines, and which columns are numbers."""
    from rich.table import Table

    shown = Table(title="Costs")
    shown.add_column("for")
    shown.add_column("mean", justify="right")
    shown.add_row("a [b]", "1\n± 2")
    shown.add_row("all", "3", style="bold")
    table = from_terminal(shown, "Note.")
    assert (table.caption, table.headings, table.note, table.texts) == ("Costs", ("for", "mean"), "Note.", 1)
    assert [[cell.text for cell in row.cells] for row in table.rows] == [["a [b]", "1"], ["all", "3"]]
    assert table.rows[0].cells[1].small == ("± 2",)
    assert [row.strong for row in table.rows] == [False, True]


def test_estimates_stand_with_their_intervals() -> None:
    """Of 1 to 9 the median is 5, between the 2nd and the 8th with 96 % confidence; P10 and P90 lack a bound."""
    table = estimate_table("Sums", "of", {"x": estimate([float(k) for k in range(1, 10)])}, digits=0)
    name, early, middle, late, mean = table.rows[0].cells
    assert name.text == "x"
    assert (early.small, late.small) == (("[?, 4]",), ("[6, ?]",))
    assert (middle.text, middle.small, mean.text) == ("5", ("[2, 8]",), "5")
