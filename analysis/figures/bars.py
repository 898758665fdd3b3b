"""Bars against dates: what the unit or well did in each slice of time, waits hatched behind it."""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

import numpy as np
import pandas as pd
from matplotlib.axes import Axes
from matplotlib.collections import PolyCollection
from matplotlib.patches import Patch

from analysis.figures import theme
from analysis.figures.shares import Numbers, hours_within

COLOURS = theme.TRADE_COLOURS | {"moving": theme.MOVING, "other": theme.OTHER, "trouble": theme.TROUBLE}
WAIT_HATCH = "/////"


class Band(NamedTuple):
    """Where a bar stands vertically, in rows."""

    bottom: float
    height: float


def trade_of(activity: str) -> str:
    """The trade an activity belongs to, "moving" for getting in and out of place, "other" if unknown."""
    return theme.TRADE_OF_ACTIVITY.get(activity, "other")


def coloured(rows: pd.DataFrame) -> pd.DataFrame:
    """The rows with a column `colour`: a name in COLOURS, or "wait"."""
    if rows.empty:
        raise ValueError("gantt: no intervals to draw, expected at least one row of a unit or a well at work")
    kinds_and_activities = zip(rows["kind"], rows["activity"], strict=True)
    names = [trade_of(activity) if kind == "work" else kind for kind, activity in kinds_and_activities]
    return rows.assign(colour=names)


def joined(rows: pd.DataFrame) -> pd.DataFrame:
    """Rows of one colour that follow one another without a gap, as one."""
    rows = rows.sort_values("start_h", kind="stable")
    begins = (rows["colour"] != rows["colour"].shift()) | (rows["start_h"] > rows["end_h"].shift() + 1e-6)
    return rows.groupby(begins.cumsum()).agg({"start_h": "min", "end_h": "max", "colour": "first"})


def present(rows: pd.DataFrame) -> list[str]:
    """The colours that the rows need, in the order they are piled up: work, moving, trouble."""
    return [name for name in COLOURS if (rows["colour"] == name).any()]


def draw_shares(ax: Axes, rows: pd.DataFrame, edges_h: Numbers, start: datetime, band: Band) -> None:
    """Pile up each colour's share of each slice, trouble hanging from the top; what stays open is waiting."""
    x, base = theme.positions(start, edges_h), np.zeros(len(edges_h) - 1)
    for name in present(rows):
        pieces = rows[rows["colour"] == name]
        hours = hours_within(pieces["start_h"].to_numpy(float), pieces["end_h"].to_numpy(float), edges_h)
        share = np.minimum(hours / np.diff(edges_h), 1.0 - base)
        low = 1.0 - share if name == "trouble" else base
        draw_ribbon(ax, x, band.bottom + band.height * low, band.bottom + band.height * (low + share), COLOURS[name])
        base = base + share


def draw_ribbon(ax: Axes, edges: Numbers, low: Numbers, high: Numbers, colour: str) -> None:
    """Fill between two stepped lines: one outline per unbroken run, so that files stay small."""
    shown = np.flatnonzero(high - low > 1e-6)
    if not len(shown):
        return
    runs = np.split(shown, np.flatnonzero(np.diff(shown) > 1) + 1)
    outlines = [_outline(edges[run[0] : run[-1] + 2], low[run], high[run]) for run in runs]
    ax.add_collection(PolyCollection(outlines, facecolors=colour, edgecolors="none"), autolim=False)


def _outline(edges: Numbers, low: Numbers, high: Numbers) -> Numbers:
    """Corners of a stepped ribbon, without those that lie on a straight level line."""
    along, over, under = np.repeat(edges, 2)[1:-1], np.repeat(high, 2), np.repeat(low, 2)
    corners = np.column_stack((np.append(along, along[::-1]), np.append(over, under[::-1])))
    before, after = np.roll(corners[:, 1], 1), np.roll(corners[:, 1], -1)
    return corners[~(np.isclose(corners[:, 1], before) & np.isclose(corners[:, 1], after))]


def draw_block(ax: Axes, start: datetime, hours: tuple[float, float], band: Band, colour: str) -> None:
    """A plain bar from one hour to another."""
    ax.broken_barh([_span(start, hours)], band, facecolors=colour, linewidth=0.0)


def draw_wait(ax: Axes, start: datetime, hours: tuple[float, float], band: Band) -> None:
    """A pale hatched bar from one hour to another."""
    _hatch(ax.broken_barh([_span(start, hours)], band, facecolors=theme.WAIT_FILL, linewidth=0.0))


def swatch(colour: str) -> Patch:
    """A small square of a colour for the key."""
    return Patch(facecolor=colour, linewidth=0.0)


def wait_swatch() -> Patch:
    """A small hatched square for the key."""
    patch = swatch(theme.WAIT_FILL)
    _hatch(patch)
    return patch


def _span(start: datetime, hours: tuple[float, float]) -> tuple[float, float]:
    begin, end = theme.positions(start, hours)
    return float(begin), float(end - begin)


def _hatch(artist: PolyCollection | Patch) -> None:
    artist.set_hatch(WAIT_HATCH)
    artist.set_hatchcolor(theme.WAIT_HATCH)
    artist.set_hatch_linewidth(0.5)
