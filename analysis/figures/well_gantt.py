"""What became of each well and when in one replication, with the dates of its turning points, against real dates."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from datetime import datetime
from typing import NamedTuple

import pandas as pd
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from analysis.figures import theme
from analysis.figures.bars import (
    COLOURS,
    Band,
    coloured,
    draw_block,
    draw_shares,
    draw_wait,
    present,
    swatch,
    wait_swatch,
)
from analysis.figures.gantt_frame import Window, edges_of, frame, window_of
from analysis.figures.milestones import Milestones, pad_milestones, rows_of
from analysis.figures.room import Room, Spot
from analysis.figures.shares import slice_text
from analysis.figures.sheets import Sheet, sheet_at, sheets_of
from sim import activities

ROWS = 24  # wells on a sheet: its height is then that of a page in proportion to its width
BAR, LIFT = 0.50, 0.10  # height of the bars and how far up they stand, of the room a row has
BEFORE = 0.17  # of the span of a sheet, before its first stage: room to say when a well was prepared

WATCH_COLOUR = theme.tint(theme.TRADE_COLOURS["preparation"], 0.40)
SPAN_COLOUR = theme.tint(theme.TRADE_COLOURS["fracturing"], 0.30)
WELL_COLOURS = {name: COLOURS[name] for name in ("preparation", "drill-out", "flowback", "trouble")}
NOTE = (
    "Dates under a bar: fracturing starts and ends, drill-out starts, flowback starts; beside the diamond: on "
    "production.\nFracturing: the pale bar is the whole span, the height of the full colour is the share of each"
)
SHEET_NOTE = "A sheet starts with its first stage; of what came before, the day of preparation stands at the left edge."


class Seen(NamedTuple):
    """Rows of wells with their colours, the turning points of every well in the order of rows, the log's last hour."""

    rows: pd.DataFrame
    milestones: dict[str, Milestones]
    last_h: float


def gantt_by_well(
    intervals: pd.DataFrame,
    start: datetime,
    ax: Axes | None = None,
    title: str = "Wells on the pad",
    wells: pd.DataFrame | None = None,
    sheet: int = 1,
) -> Axes:
    """One row per well from rig release to on production, with the dates of its turning points.

    `intervals` are the log rows of one replication, `start` is hour zero. The fracturing span is pale; the
    height of its full colour is the share of time in which this well was being pumped. `wells` are the same
    replication's rows of the table of wells, whose milestones then count, +inf where not reached; without them
    the last row of an activity is taken for its end, even where the horizon cut it short.

    More than ROWS wells stand on several sheets in the order in which they are fractured; `sheet` chooses one,
    counted from 1, and it shows the hours from its first stage on.
    """
    seen = _seen(intervals, wells)
    return _drawn(seen, sheet_at(len(seen.milestones), ROWS, sheet), start, ax, title)


def well_sheets(
    intervals: pd.DataFrame, start: datetime, title: str, wells: pd.DataFrame, most: int, elsewhere: str
) -> Iterator[Axes]:
    """The same on all sheets, or on the first `most` with a note that says where the wells left out are found."""
    seen = _seen(intervals, wells)
    sheets = sheets_of(len(seen.milestones), ROWS)
    left_out = sheets[-1].last - sheets[:most][-1].last
    rest = f"\nThe other {left_out:,} wells, fractured later, are on no sheet: {elsewhere}" if left_out else ""
    for sheet in sheets[:most]:
        yield _drawn(seen, sheet, start, None, title, rest)


def _seen(intervals: pd.DataFrame, wells: pd.DataFrame | None) -> Seen:
    rows = coloured(intervals[intervals["well"] != ""])
    last_h = float(intervals["end_h"].max())
    found = pad_milestones(rows, last_h, wells)
    return Seen(rows, {name: found[name] for name in _in_order(found)}, last_h)


def _in_order(found: dict[str, Milestones]) -> list[str]:
    """By name where all are on one sheet; on several each is to hold a stretch of the plan."""
    names = sorted(found, key=theme.natural_order)
    return names if len(names) <= ROWS else sorted(names, key=lambda name: _or_never(found[name].fracturing_h))


def _or_never(hour: float | None) -> float:
    return math.inf if hour is None else hour


def _drawn(seen: Seen, sheet: Sheet, start: datetime, ax: Axes | None, title: str, rest: str = "") -> Axes:
    names = list(seen.milestones)[sheet.first - 1 : sheet.last]
    wells = {name: seen.milestones[name] for name in names}
    rows = seen.rows[seen.rows["well"].isin(names)] if sheet.sheets > 1 else seen.rows
    window = _sheet_window(wells.values()) if sheet.sheets > 1 else _whole_window(seen)
    ax = ax if ax is not None else theme.new_axes(1.7 + 0.56 * len(names))[0]
    theme.key(ax, _key(rows, wells.values()))
    note = f"{NOTE} {slice_text(window.slice_h)} in which the well is pumped."
    theme.footnote(ax, note if sheet.sheets == 1 else f"{note}\n{SHEET_NOTE}{rest}")
    order = ", in the order in which they are fractured" if sheet.sheets > 1 else ""
    frame(ax, names, start, window, title + sheet.text("wells") + order, lift=LIFT)
    room = Room(ax)
    for place, name in enumerate(reversed(names)):
        own = rows[rows["well"] == name]
        _row(ax, own, wells[name], place, start, window)
        _dates(room, wells[name], place, start)
        _prepared(room, own, place, start, window)
    return ax


def _whole_window(seen: Seen) -> Window:
    return window_of(min(well.released_h for well in seen.milestones.values()), seen.last_h)


def _sheet_window(wells: Collection[Milestones]) -> Window:
    """From the first stage on, if there is one, to the last well on production."""
    released_h = min(well.released_h for well in wells)
    first_h = min(_or_never(well.fracturing_h) for well in wells)
    done_h = max(_done_h(well) for well in wells)
    return window_of(first_h if first_h < math.inf else released_h, done_h, BEFORE)


def _done_h(well: Milestones) -> float:
    return well.last_h if well.on_production_h is None else well.on_production_h


def _row(ax: Axes, rows: pd.DataFrame, well: Milestones, place: int, start: datetime, window: Window) -> None:
    band = Band(place + LIFT - BAR / 2, BAR)
    done_h = _done_h(well)
    draw_wait(ax, start, (well.released_h, done_h), band)
    for activity, name, *hours in rows[["activity", "colour", "start_h", "end_h"]].itertuples(index=False):
        colour = WATCH_COLOUR if activity == activities.WATCH_PRESSURE else WELL_COLOURS.get(name)
        if colour:
            draw_block(ax, start, (hours[0], hours[1]), band, colour)
    _fracturing_span(ax, rows, band, start, window)
    if well.on_production_h is not None:
        ax.plot(theme.positions(start, done_h), place + LIFT, "D", color=theme.INK, markersize=5)


def _fracturing_span(ax: Axes, rows: pd.DataFrame, band: Band, start: datetime, window: Window) -> None:
    pumped = rows_of(rows[rows["kind"] != "wait"], activities.PUMP_STAGE)
    if pumped.empty:
        return
    from_h, to_h = pumped["start_h"].min(), pumped["end_h"].max()
    draw_block(ax, start, (from_h, to_h), band, SPAN_COLOUR)
    inside = rows["colour"].isin(("fracturing", "trouble")) & (rows["start_h"] >= from_h) & (rows["end_h"] <= to_h)
    shown = rows[inside]
    draw_shares(ax, shown, edges_of(shown, window), start, band)


def _dates(room: Room, well: Milestones, place: int, start: datetime) -> None:
    """Dates in the lane under the bar; the less telling one gives way where there is no room for both."""
    lane = place + LIFT - BAR / 2
    if well.on_production_h is None:
        x = float(theme.positions(start, well.last_h))
        spots = [Spot(x, place + LIFT, "left", "center", 4.0), Spot(x, lane, "right", "top", 0.0, -1.5)]
        room.write("unfinished", spots, fontsize=theme.SMALL)
    else:
        spot = Spot(float(theme.positions(start, well.on_production_h)), place + LIFT, "left", "center", 6.0)
        room.write(theme.day_text(start, well.on_production_h), [spot], fontsize=theme.SMALL, fontweight="bold")
    for hour, side in (
        (well.fracturing_h, "left"),
        (well.fractured_h, "right"),
        (well.flowback_h, "left"),
        (well.drill_out_h, "left"),
    ):
        if hour is not None:
            spot = Spot(float(theme.positions(start, hour)), lane, side, "top", 0.0, -1.5)
            room.write(theme.day_text(start, hour), [spot], fontsize=theme.SMALL, color=theme.QUIET)


def _prepared(room: Room, rows: pd.DataFrame, place: int, start: datetime, window: Window) -> None:
    """The day on which preparation ended, where the sheet starts later."""
    ended_h = rows.loc[rows["colour"] == "preparation", "end_h"].max()
    if ended_h < window.from_h:  # never so where there is no preparation, whose end is nan
        day, year = theme.day_text(start, ended_h), theme.moment(start, ended_h).year
        spot = Spot(float(theme.positions(start, window.from_h)), place + LIFT - BAR / 2, "left", "top", 1.5, -1.5)
        room.write(f"prepared {day} {year}", [spot], fontsize=theme.SMALL, color=theme.QUIET)


def _key(rows: pd.DataFrame, wells: Iterable[Milestones]) -> theme.Swatches:
    names = {*present(rows), "waiting"}
    pumped = (swatch(SPAN_COLOUR), swatch(COLOURS["fracturing"]))
    swatches: theme.Swatches = {
        "preparation": swatch(COLOURS["preparation"]),
        "watching pressure": swatch(WATCH_COLOUR),
        "fracturing": pumped,
        "drill-out": swatch(COLOURS["drill-out"]),
        "flowback": swatch(COLOURS["flowback"]),
        "trouble": swatch(COLOURS["trouble"]),
        "waiting": wait_swatch(),
        "on production": Line2D([], [], marker="D", color=theme.INK, linestyle="", markersize=5),
    }
    if len(rows_of(rows, activities.WATCH_PRESSURE)):
        names.add("watching pressure")
    if any(well.on_production_h is not None for well in wells):
        names.add("on production")
    return {text: mark for text, mark in swatches.items() if text in names}
