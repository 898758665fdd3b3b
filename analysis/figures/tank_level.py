"""How full the storage was, what flowed in and out, and when a unit stood waiting for water."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import draw_ribbon, swatch
from analysis.figures.room import Room, Spot
from analysis.figures.shares import Numbers, slice_text
from analysis.figures.stage_lanes import PUMPED, draw_stages, spans, stages_height_in, wells_pumped
from analysis.figures.supply_rows import (
    Shown,
    flow_slice_h,
    level_line,
    mean_flows,
    one_supply,
    pumping_rows,
    shown_rows,
    supply_shown,
    volumes_bbl,
    waits_for,
)
from analysis.figures.supply_waits import Lane, draw_waits, share_text

THOUSAND = 1_000.0
STAGE_LANE, LANE = -0.085, 0.05  # of the capacity: bottom and height of lanes
WAITS = Lane(1.10, LANE, 1.16)
WATER = theme.TRADE_COLOURS["water"]


def tank_level(
    levels: pd.DataFrame,
    intervals: pd.DataFrame,
    capacity_bbl: float,
    start: datetime,
    ax: Axes | None = None,
    zoom: tuple[float, float] | None = None,
    *,
    supply: str | None = None,
    title: str = "Water in storage",
) -> Axes:
    """Level of the storage over time, thousand bbl, with its capacity and the waits for water.

    `levels` and `intervals` are the level and interval rows of one replication, `start` is hour zero, `zoom` the
    first and last hour to show. `supply` names the rows to take where `levels` holds several. On axes of its own
    the picture has two further panels, flows and stages; on given axes the stages are a strip under the level.
    """
    shown = shown_rows(one_supply(levels, supply), intervals, zoom)
    if ax is None:
        return _three_panels(shown, capacity_bbl / THOUSAND, start, title)
    _level(ax, shown, capacity_bbl / THOUSAND, start, title)
    _stage_strip(ax, shown, capacity_bbl / THOUSAND, start)
    theme.footnote(ax, _note(shown))
    theme.date_axis(ax, start, shown.from_h, shown.to_h)
    _level_words(ax, shown, capacity_bbl / THOUSAND, start)
    return ax


def _three_panels(shown: Shown, capacity: float, start: datetime, title: str) -> Axes:
    wells = wells_pumped(shown)
    heights = [3.0, 1.3] + ([stages_height_in(wells, 0.15, 0.15)] if wells else [])
    panels = theme.new_axes(1.4 + sum(heights), heights)
    _level(panels[0], shown, capacity, start, title)
    _flows(panels[1], shown, start)
    if wells:
        draw_stages(panels[2], shown, start, wells)
    theme.footnote(panels[-1], _note(shown))
    for panel in panels:
        theme.date_axis(panel, start, shown.from_h, shown.to_h)
    for panel in panels[:-1]:
        panel.tick_params(axis="x", which="both", labelbottom=False)
        panel.set_xlabel("")
    _level_words(panels[0], shown, capacity, start)
    _flow_words(panels[1], shown)
    return panels[0]


def _level(ax: Axes, shown: Shown, capacity: float, start: datetime, title: str) -> None:
    theme.dress(ax, title, grid="both", with_key=True)
    x, level = _line(shown, capacity, start)
    ax.fill_between(x, level, color=theme.tint(WATER, 0.22), linewidth=0.0)
    ax.plot(x, level, color=WATER, linewidth=0.9)
    ax.axhline(capacity, color=theme.INK, linewidth=1.0, linestyle=(0, (4, 3)))
    theme.name_axes(ax, y="level (thousand bbl)")
    waits = waits_for(shown, supply_shown(shown))
    ax.set_ylim(0.0, WAITS.top * capacity)
    if waits:
        draw_waits(ax, shown, start, capacity, WAITS)
        hours = f"{sum(end_h - start_h for start_h, end_h in waits):,.1f} h in the time shown{share_text(shown)}"
        theme.key(ax, {f"a unit waits for water: {hours}": swatch(theme.WATER_WAIT_MARK)})


def _line(shown: Shown, capacity: float, start: datetime) -> tuple[Numbers, Numbers]:
    hours, level_bbl = level_line(shown, capacity * THOUSAND)
    return theme.positions(start, hours), level_bbl / THOUSAND


def _level_words(ax: Axes, shown: Shown, capacity: float, start: datetime) -> None:
    room, (x, level) = Room(ax), _line(shown, capacity, start)
    room.keep_clear(x, level)
    spots = [Spot(x[-1], capacity, "right", "bottom", 0.0, 2.0), Spot(x[0], capacity, "left", "bottom", 2.0, 2.0)]
    room.write(f"capacity {capacity:,.4g} thousand bbl", spots, fontsize=theme.SMALL)


def _flows(ax: Axes, shown: Shown, start: datetime) -> None:
    theme.dress(ax, grid="both")
    edges_h, kept, drawn = mean_flows(shown)
    x, inflow, outflow = theme.positions(start, edges_h), kept / THOUSAND, drawn / THOUSAND
    draw_ribbon(ax, x, np.zeros(len(outflow)), outflow, theme.tint(WATER, 0.45))
    ax.stairs(inflow, x, baseline=None, color=theme.INK, linewidth=1.2)
    ax.set_ylim(0.0, 1.35 * max(float(inflow.max()), float(outflow.max()), 1e-3))
    theme.name_axes(ax, y="flow (thousand\nbbl/day)")


def _flow_words(ax: Axes, shown: Shown) -> None:
    mean = f"means of {slice_text(flow_slice_h(shown))} or of longer steady flows"
    ax.annotate(
        f"line: flow kept in storage, filled: flow drawn; {mean}", (0, 1), xycoords="axes fraction", xytext=(3, -3),
        textcoords="offset points", va="top", fontsize=theme.SMALL, color=theme.QUIET,
    )  # fmt: skip


def _stage_strip(ax: Axes, shown: Shown, capacity: float, start: datetime) -> None:
    """All stages in one thin lane below the empty level."""
    stages = spans(start, pumping_rows(shown)[["start_h", "end_h"]])
    ax.broken_barh(stages, (STAGE_LANE * capacity, LANE * capacity), facecolors=PUMPED)
    ax.set_ylim(bottom=1.3 * STAGE_LANE * capacity)


def _note(shown: Shown) -> str:
    """What the picture would otherwise leave unsaid: how many stages, no waits, water turned away."""
    stages = len(pumping_rows(shown)[["well", "stage"]].drop_duplicates())
    lines = [f"Green bars: the {stages:,} stages pumped in the time shown."]
    if not waits_for(shown, supply_shown(shown)):
        lines.append("No unit waits for water in the time shown.")
    window_h = np.array([shown.from_h, shown.to_h])
    turned_away_bbl = volumes_bbl(shown, shown.levels["turned_away"], window_h)[0]
    if turned_away_bbl > 0.0:
        lines.append(f"Turned away because storage was full: {turned_away_bbl / THOUSAND:,.1f} thousand bbl.")
    return " ".join(lines)
