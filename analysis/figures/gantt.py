"""Who was where and when in one replication, by unit and by well, against real dates.

A pad has hundreds of stages and a page some hundred columns, so single stages cannot be drawn. Whatever lasts
longer than a slice of time stands with its exact start and end; shorter pieces are gathered slice by slice, and
the height of each colour is its share of the slice. No hour of waiting disappears by being narrow.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
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
    joined,
    present,
    swatch,
    trade_of,
    wait_swatch,
)
from analysis.figures.milestones import Milestones, pad_milestones, rows_of
from analysis.figures.room import Room, Spot
from analysis.figures.shares import Numbers, slice_edges, slice_text, slice_width_h
from sim import activities

UNIT_BAR, WELL_BAR, WELL_LIFT = 0.72, 0.50, 0.10  # heights of the bars, of the room a row has
EXACT, SLICES = 220, 150  # parts of the picture: about six pixels at the narrowest PNG, and nine
MARGIN = 0.085  # of the span, at both ends, for the dates written beside bars

TRADES = tuple(theme.TRADE_COLOURS)
TELLING = ("fracturing", "wireline", "drill-out", "flowback", "water", "preparation")
FIRST_WORDS = {"fleet": "fracturing", "milling": "drill-out"} | {trade: trade for trade in TRADES}
WATCH_COLOUR = theme.tint(theme.TRADE_COLOURS["preparation"], 0.40)
SPAN_COLOUR = theme.tint(theme.TRADE_COLOURS["fracturing"], 0.30)
WELL_COLOURS = {name: COLOURS[name] for name in ("preparation", "drill-out", "flowback", "trouble")}
WELL_NOTE = (
    "Dates under a bar: fracturing starts and ends, drill-out starts, flowback starts; beside the diamond: on "
    "production.\nFracturing: the pale bar is the whole span, the height of the full colour is the share of each"
)


class Window(NamedTuple):
    """The hours a picture shows; from how many hours on a piece is drawn as it is, and the slices for the others."""

    from_h: float
    to_h: float
    exact_h: float
    slice_h: float


def gantt_by_unit(
    intervals: pd.DataFrame,
    start: datetime,
    ax: Axes | None = None,
    title: str = "Units on the pad",
    horizon_h: float = math.inf,
) -> Axes:
    """One row per unit, in the order the trades come on location; blank where the unit is not on location.

    `intervals` are the log rows of one replication, `start` is hour zero. Rows of wells pumped together count
    once. The dates beside a bar are the unit's arrival and its leaving, unless `horizon_h` cut its stay short.
    """
    rows = unit_rows(intervals)
    units = units_in_order(rows)
    window = _window(float(rows["start_h"].min()), float(rows["end_h"].max()))
    ax = ax if ax is not None else theme.new_axes(1.6 + 0.40 * len(units))[0]
    theme.key(ax, _unit_key(rows))
    theme.footnote(ax, "Dates beside a bar: the unit arrives, the unit leaves.\n" + _gathered(window))
    _frame(ax, units, start, window, title)
    for place, unit in enumerate(reversed(units)):
        _unit_row(ax, rows[rows["unit"] == unit], place, start, window, horizon_h)
    return ax


def unit_rows(intervals: pd.DataFrame) -> pd.DataFrame:
    """Rows of the units on location with the name of their colour; those of wells pumped together once."""
    rows = intervals[(intervals["unit"] != "") & (intervals["activity"] != activities.ARRIVE)]
    return coloured(rows.drop_duplicates(["unit", "start_h", "end_h"]))


def units_in_order(rows: pd.DataFrame) -> list[str]:
    """Units in the order the trades come on location."""
    ranks = {str(unit): _trade_rank(str(unit), own["activity"]) for unit, own in rows.groupby("unit")}
    return sorted(ranks, key=lambda unit: (ranks[unit], theme.natural_order(unit)))


def gantt_by_well(
    intervals: pd.DataFrame,
    start: datetime,
    ax: Axes | None = None,
    title: str = "Wells on the pad",
    wells: pd.DataFrame | None = None,
) -> Axes:
    """One row per well from rig release to on production, with the dates of its turning points.

    `intervals` are the log rows of one replication, `start` is hour zero. The fracturing span is pale; the
    height of its full colour is the share of time in which this well was being pumped. `wells` are the same
    replication's rows of the table of wells, whose milestones then count, +inf where not reached; without them
    the last row of an activity is taken for its end, even where the horizon cut it short.
    """
    rows = coloured(intervals[intervals["well"] != ""])
    last_h = float(intervals["end_h"].max())
    milestones = pad_milestones(rows, last_h, wells)
    names = sorted(milestones, key=theme.natural_order)
    window = _window(min(well.released_h for well in milestones.values()), last_h)
    ax = ax if ax is not None else theme.new_axes(1.7 + 0.56 * len(names))[0]
    theme.key(ax, _well_key(rows, milestones.values()))
    theme.footnote(ax, WELL_NOTE + f" {slice_text(window.slice_h)} in which the well is pumped.")
    _frame(ax, names, start, window, title, lift=WELL_LIFT)
    room = Room(ax)
    for place, name in enumerate(reversed(names)):
        _well_row(ax, rows[rows["well"] == name], milestones[name], place, start, window)
        _well_dates(room, milestones[name], place, start)
    return ax


def _frame(ax: Axes, names: Sequence[str], start: datetime, window: Window, title: str, lift: float = 0.0) -> None:
    theme.dress(ax, title, with_key=True)
    ax.set_ylim(-0.6, len(names) - 0.4)
    ax.set_yticks([place + lift for place in range(len(names))], labels=list(reversed(names)))
    theme.date_axis(ax, start, window.from_h, window.to_h)


def _window(first_h: float, last_h: float) -> Window:
    span_h = max(last_h - first_h, 1.0)
    return Window(
        first_h - MARGIN * span_h, last_h + MARGIN * span_h, slice_width_h(span_h, EXACT), slice_width_h(span_h, SLICES)
    )


def _gathered(window: Window) -> str:
    exact = slice_text(window.exact_h)
    return f"What is shorter than {exact} is gathered: the height of a colour is its share of the time there."


def _trade_rank(unit: str, activities_done: Iterable[str]) -> int:
    """Place of a unit's trade on the pad, read from what it did, else from its name."""
    did = {trade_of(activity) for activity in activities_done}
    trade = next((trade for trade in TELLING if trade in did), FIRST_WORDS.get(unit.split(maxsplit=1)[0].lower()))
    return TRADES.index(trade) if trade else len(TRADES)


def _unit_row(ax: Axes, rows: pd.DataFrame, place: int, start: datetime, window: Window, horizon_h: float) -> None:
    band = Band(place - UNIT_BAR / 2, UNIT_BAR)
    edges_h = _edges(rows, window)
    draw_wait(ax, start, (edges_h[0], edges_h[-1]), band)
    draw_shares(ax, rows, edges_h, start, band)
    leaves = theme.day_text(start, edges_h[-1]) if edges_h[-1] < horizon_h else "unfinished"
    _beside(ax, theme.day_text(start, edges_h[0]), theme.positions(start, edges_h[0]), place, "right", -3.0)
    _beside(ax, leaves, theme.positions(start, edges_h[-1]), place, "left", 3.0)


def _edges(rows: pd.DataFrame, window: Window) -> Numbers:
    pieces = joined(rows)
    starts_h, ends_h = pieces["start_h"].to_numpy(float), pieces["end_h"].to_numpy(float)
    return slice_edges(starts_h, ends_h, window.slice_h, window.exact_h)


def _beside(ax: Axes, text: str, x: float, y: float, side: str, shift_pt: float) -> None:
    ax.annotate(
        text, (x, y), xytext=(shift_pt, 0), textcoords="offset points", ha=side, va="center",
        fontsize=theme.SMALL, color=theme.QUIET,
    )  # fmt: skip


def _well_row(ax: Axes, rows: pd.DataFrame, well: Milestones, place: int, start: datetime, window: Window) -> None:
    band = Band(place + WELL_LIFT - WELL_BAR / 2, WELL_BAR)
    done_h = well.last_h if well.on_production_h is None else well.on_production_h
    draw_wait(ax, start, (well.released_h, done_h), band)
    for activity, name, *hours in rows[["activity", "colour", "start_h", "end_h"]].itertuples(index=False):
        colour = WATCH_COLOUR if activity == activities.WATCH_PRESSURE else WELL_COLOURS.get(name)
        if colour:
            draw_block(ax, start, (hours[0], hours[1]), band, colour)
    _fracturing_span(ax, rows, band, start, window)
    if well.on_production_h is not None:
        ax.plot(theme.positions(start, done_h), place + WELL_LIFT, "D", color=theme.INK, markersize=5)


def _fracturing_span(ax: Axes, rows: pd.DataFrame, band: Band, start: datetime, window: Window) -> None:
    pumped = rows_of(rows[rows["kind"] != "wait"], activities.PUMP_STAGE)
    if pumped.empty:
        return
    from_h, to_h = pumped["start_h"].min(), pumped["end_h"].max()
    draw_block(ax, start, (from_h, to_h), band, SPAN_COLOUR)
    inside = rows["colour"].isin(("fracturing", "trouble")) & (rows["start_h"] >= from_h) & (rows["end_h"] <= to_h)
    shown = rows[inside]
    draw_shares(ax, shown, _edges(shown, window), start, band)


def _well_dates(room: Room, well: Milestones, place: int, start: datetime) -> None:
    """Dates in the lane under the bar; the less telling one gives way where there is no room for both."""
    lane = place + WELL_LIFT - WELL_BAR / 2
    if well.on_production_h is None:
        x = float(theme.positions(start, well.last_h))
        spots = [Spot(x, place + WELL_LIFT, "left", "center", 4.0), Spot(x, lane, "right", "top", 0.0, -1.5)]
        room.write("unfinished", spots, fontsize=theme.SMALL)
    else:
        spot = Spot(float(theme.positions(start, well.on_production_h)), place + WELL_LIFT, "left", "center", 6.0)
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


def _unit_key(rows: pd.DataFrame) -> theme.Swatches:
    names = present(rows)
    texts = {"moving": "moving, rigging", "other": "other work", "trouble": "trouble"}
    swatches: theme.Swatches = {texts[name]: swatch(COLOURS[name]) for name in names if name in texts}
    trades = tuple(swatch(COLOURS[name]) for name in names if name in TRADES)
    at_work: theme.Swatches = {"at work, in the colour of the trade": trades} if trades else {}
    return at_work | swatches | {"waiting": wait_swatch()}


def _well_key(rows: pd.DataFrame, wells: Iterable[Milestones]) -> theme.Swatches:
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
