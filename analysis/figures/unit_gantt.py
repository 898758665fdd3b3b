"""Who was where and when in one replication, unit by unit, against real dates."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import datetime

import pandas as pd
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import (
    COLOURS,
    Band,
    coloured,
    draw_shares,
    draw_wait,
    present,
    swatch,
    trade_of,
    wait_swatch,
)
from analysis.figures.gantt_frame import MARGIN, Window, edges_of, frame, window_of
from analysis.figures.shares import slice_text
from analysis.figures.sheets import Sheet, sheet_at, sheets_of
from sim import activities

ROWS = 32  # units on a sheet: its height is then that of a page in proportion to its width
UNIT_BAR = 0.72  # height of the bars, of the room a row has
A_YEAR_H, WITH_YEARS = 365 * 24.0, 0.115  # hours; margin where dates have years, of the span

TRADES = tuple(theme.TRADE_COLOURS)
TELLING = ("fracturing", "wireline", "drill-out", "flowback", "water", "preparation")
FIRST_WORDS = {"fleet": "fracturing", "milling": "drill-out"} | {trade: trade for trade in TRADES}


def gantt_by_unit(
    intervals: pd.DataFrame,
    start: datetime,
    ax: Axes | None = None,
    title: str = "Units on the pad",
    horizon_h: float = math.inf,
    sheet: int = 1,
) -> Axes:
    """One row per unit, in the order the trades come on location; blank where the unit is not on location.

    `intervals` are the log rows of one replication, `start` is hour zero. Rows of wells pumped together count
    once. The dates beside a bar are the unit's arrival and its leaving, unless `horizon_h` cut its stay short.
    More than ROWS units stand on several sheets; `sheet` chooses one, counted from 1.
    """
    rows = unit_rows(intervals)
    units = units_in_order(rows)
    return _drawn(rows, units, sheet_at(len(units), ROWS, sheet), start, ax, title, horizon_h)


def unit_sheets(
    intervals: pd.DataFrame, start: datetime, title: str, horizon_h: float, most: int, elsewhere: str
) -> Iterator[Axes]:
    """The same on all sheets, or on the first `most` with a note that says where the units left out are found."""
    rows = unit_rows(intervals)
    units = units_in_order(rows)
    sheets = sheets_of(len(units), ROWS)
    left_out = sheets[-1].last - sheets[:most][-1].last
    rest = f"\nThe other {left_out:,} units are on no sheet: {elsewhere}" if left_out else ""
    for sheet in sheets[:most]:
        yield _drawn(rows, units, sheet, start, None, title, horizon_h, rest)


def unit_rows(intervals: pd.DataFrame) -> pd.DataFrame:
    """Rows of the units on location with the name of their colour; those of wells pumped together once."""
    rows = intervals[(intervals["unit"] != "") & (intervals["activity"] != activities.ARRIVE)]
    return coloured(rows.drop_duplicates(["unit", "start_h", "end_h"]))


def units_in_order(rows: pd.DataFrame) -> list[str]:
    """Units in the order the trades come on location."""
    ranks = {str(unit): _trade_rank(str(unit), own["activity"]) for unit, own in rows.groupby("unit")}
    return sorted(ranks, key=lambda unit: (ranks[unit], theme.natural_order(unit)))


def _drawn(
    rows: pd.DataFrame, units: list[str], sheet: Sheet, start: datetime, ax: Axes | None, title: str, horizon_h: float,
    rest: str = "",
) -> Axes:  # fmt: skip
    """One sheet; all have one axis of dates."""
    first_h, last_h = float(rows["start_h"].min()), float(rows["end_h"].max())
    margin = WITH_YEARS if last_h - first_h > A_YEAR_H else MARGIN
    window = window_of(first_h, last_h, margin, margin)
    shown = units[sheet.first - 1 : sheet.last]
    ax = ax if ax is not None else theme.new_axes(1.6 + 0.40 * len(shown))[0]
    theme.key(ax, _key(rows))
    theme.footnote(ax, "Dates beside a bar: the unit arrives, the unit leaves.\n" + _gathered(window) + rest)
    frame(ax, shown, start, window, title + sheet.text("units"))
    for place, unit in enumerate(reversed(shown)):
        _row(ax, rows[rows["unit"] == unit], place, start, window, horizon_h)
    return ax


def _gathered(window: Window) -> str:
    exact = slice_text(window.exact_h)
    return f"What is shorter than {exact} is gathered: the height of a colour is its share of the time there."


def _trade_rank(unit: str, activities_done: Iterable[str]) -> int:
    """Place of a unit's trade on the pad, read from what it did, else from its name."""
    did = {trade_of(activity) for activity in activities_done}
    trade = next((trade for trade in TELLING if trade in did), FIRST_WORDS.get(unit.split(maxsplit=1)[0].lower()))
    return TRADES.index(trade) if trade else len(TRADES)


def _row(ax: Axes, rows: pd.DataFrame, place: int, start: datetime, window: Window, horizon_h: float) -> None:
    band = Band(place - UNIT_BAR / 2, UNIT_BAR)
    edges_h = edges_of(rows, window)
    draw_wait(ax, start, (edges_h[0], edges_h[-1]), band)
    draw_shares(ax, rows, edges_h, start, band)
    leaves = _day(start, edges_h[-1], window) if edges_h[-1] < horizon_h else "unfinished"
    _beside(ax, _day(start, edges_h[0], window), theme.positions(start, edges_h[0]), place, "right", -3.0)
    _beside(ax, leaves, theme.positions(start, edges_h[-1]), place, "left", 3.0)


def _day(start: datetime, hour: float, window: Window) -> str:
    """With the year where day and month alone may mean several dates."""
    day = theme.day_text(start, hour)
    return (
        f"{day} {theme.moment(start, hour).year}"
        if window.to_h - window.from_h > (1 + 2 * WITH_YEARS) * A_YEAR_H
        else day
    )


def _beside(ax: Axes, text: str, x: float, y: float, side: str, shift_pt: float) -> None:
    ax.annotate(
        text, (x, y), xytext=(shift_pt, 0), textcoords="offset points", ha=side, va="center",
        fontsize=theme.SMALL, color=theme.QUIET,
    )  # fmt: skip


def _key(rows: pd.DataFrame) -> theme.Swatches:
    names = present(rows)
    texts = {"moving": "moving, rigging", "other": "other work", "trouble": "trouble"}
    swatches: theme.Swatches = {texts[name]: swatch(COLOURS[name]) for name in names if name in texts}
    trades = tuple(swatch(COLOURS[name]) for name in names if name in TRADES)
    at_work: theme.Swatches = {"at work, in the colour of the trade": trades} if trades else {}
    return at_work | swatches | {"waiting": wait_swatch()}
