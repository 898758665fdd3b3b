"""A date over two numbers of the plan: shaded, with a contour for every few days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes
from matplotlib.colors import LinearSegmentedColormap

from analysis.figures import theme
from analysis.figures.room import Room, Spot

Numbers = npt.NDArray[np.float64]

SHADES = LinearSegmentedColormap.from_list("early to late", ["#EAF5F2", "#88CCEE", "#6699CC", "#332288"])
LINES = "#2B4A7A"
STEPS_DAYS = (0.5, 1, 2, 5, 7, 14, 28, 56)
MOST_CONTOURS = 12


class Bend(NamedTuple):
    """A knee along one side with its interval, at a number on the other side."""

    place: float
    low: float
    high: float
    at: float
    upwards: bool


class Side(NamedTuple):
    """One axis of the map: its name, the numbers on it, words instead of them if any, and what the plan says."""

    name: str
    numbers: Numbers
    labels: tuple[str, ...] | None = None
    planned: float | None = None


def sweep_map(
    across: Side,
    upwards: Side,
    hours: Numbers,
    start: datetime,
    ax: Axes | None = None,
    *,
    title: str,
    what: str,
    notes: tuple[str, ...] = (),
    bends: Sequence[Bend] = (),
) -> Axes:
    """Hours of a date (a row for each number across, a column for each upwards) as shades with iso-day contours.

    Points whose date lies beyond the horizon (+inf) are crosses. `bends` are drawn as bars over their intervals.
    """
    ax = ax if ax is not None else theme.new_axes(5.8)[0]
    theme.dress(ax, title, grid="both")
    ax.grid(visible=False)
    days = np.where(np.isfinite(hours), hours, np.nan).T / 24.0
    ax.set_xlim(across.numbers[0], across.numbers[-1])
    ax.set_ylim(upwards.numbers[0], upwards.numbers[-1])
    _sides(ax, across, upwards)
    theme.footnote(ax, "\n".join([f"{what}; between the dots, which were played, it is interpolated.", *notes]))
    if np.isfinite(days).any():
        _shade(ax, across, upwards, days, start)
    _points(ax, across, upwards, days)
    _bars(ax, bends)
    if across.planned is not None and upwards.planned is not None:
        _as_planned(ax, across, upwards)
    return ax


def _sides(ax: Axes, across: Side, upwards: Side) -> None:
    theme.name_axes(ax, x=across.name, y=upwards.name)
    if across.labels is not None:
        ax.set_xticks(across.numbers, labels=list(across.labels))
    if upwards.labels is not None:
        ax.set_yticks(upwards.numbers, labels=list(upwards.labels))


def contour_days(days: Numbers) -> Numbers:
    """Whole days (or halves, where all lies within few) to draw contours at."""
    low, high = float(np.nanmin(days)), float(np.nanmax(days))
    step = next((step for step in STEPS_DAYS if (high - low) / step <= MOST_CONTOURS), STEPS_DAYS[-1])
    return np.arange(np.ceil(low / step) * step, high + 1e-9, step)


def _shade(ax: Axes, across: Side, upwards: Side, days: Numbers, start: datetime) -> None:
    low, high = float(np.nanmin(days)), float(np.nanmax(days))
    if high - low < 1e-6:
        ax.set_facecolor(SHADES(0.0))
        return
    shades = np.linspace(low, high, 200)
    ax.contourf(across.numbers, upwards.numbers, days, levels=shades, cmap=SHADES, zorder=0.2)
    levels = contour_days(days)
    lines = ax.contour(across.numbers, upwards.numbers, days, levels=levels, colors=LINES, linewidths=1.0, zorder=1)
    named = {level: theme.day_text(start, 24.0 * level) for level in lines.levels}
    for text in ax.clabel(lines, fmt=named, fontsize=theme.TEXT, colors=theme.INK):
        text.set_bbox({"facecolor": "white", "alpha": 0.75, "linewidth": 0.0, "pad": 1.0})
        text.set_in_layout(False)  # turned words count for wider than they are


def _points(ax: Axes, across: Side, upwards: Side, days: Numbers) -> None:
    x, y = np.meshgrid(across.numbers, upwards.numbers)
    played = np.isfinite(days)
    ax.plot(x[played], y[played], "o", color="white", markersize=3.0, markeredgecolor=theme.QUIET, zorder=2,
            markeredgewidth=0.5, clip_on=False)  # fmt: skip
    if not played.all():  # a line without points would widen the layout to the corner of the figure
        ax.plot(x[~played], y[~played], "x", color=theme.TROUBLE, markersize=5.0, zorder=2, clip_on=False)


def _bars(ax: Axes, bends: Sequence[Bend]) -> None:
    for bend in bends:
        span, at = (bend.low, bend.high), (bend.at, bend.at)
        ax.plot(*((at, span) if bend.upwards else (span, at)), color=theme.INK, linewidth=2.0, zorder=3, clip_on=False)
        spot = (bend.at, bend.place) if bend.upwards else (bend.place, bend.at)
        ax.plot(*spot, "s", color=theme.INK, markersize=6.0, markeredgecolor="white", zorder=3, clip_on=False)


def _as_planned(ax: Axes, across: Side, upwards: Side) -> None:
    x, y = float(across.planned or 0.0), float(upwards.planned or 0.0)
    inside = across.numbers[0] <= x <= across.numbers[-1] and upwards.numbers[0] <= y <= upwards.numbers[-1]
    if inside:
        ax.plot(x, y, "D", color="#882255", markersize=8.0, markeredgecolor="white", zorder=4, clip_on=False)
        spots = [Spot(x, y, side, "center", shift, up) for up in (0.0, 12.0, -12.0) for side, shift in _BESIDE]
        box = {"facecolor": "white", "alpha": 0.75, "linewidth": 0.0, "pad": 1.0}
        Room(ax).write("as planned", spots, color="#882255", fontweight="bold", bbox=box, zorder=4)


_BESIDE = (("left", 9.0), ("right", -9.0))
