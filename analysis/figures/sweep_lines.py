"""A date against one number of the plan: P10, P50 and P90 with their bands, and the knee."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.room import Room, Spot

Numbers = npt.NDArray[np.float64]

CONVENTION = "P90: 90 % chance done by"
STYLES = {"P10": ("-", 1.3), "P50": ("-", 2.2), "P90": ("-", 1.3)}
COLOURS = {"P10": "#44AA99", "P50": "#117733", "P90": "#332288"}


class Line(NamedTuple):
    """One quantile over the axis: its hours and their 95 % limits; what is beyond the horizon is not finite."""

    hours: Numbers
    low: Numbers
    high: Numbers


class Mark(NamedTuple):
    """The knee and its interval, on the horizontal axis, and what to write beside it."""

    place: float
    low: float
    high: float
    text: str


def sweep_lines(
    x: Sequence[float],
    lines: Mapping[str, Line],
    start: datetime,
    ax: Axes | None = None,
    *,
    x_name: str,
    title: str,
    labels: Sequence[str] | None = None,
    mark: Mark | None = None,
    planned: float | None = None,
    notes: Sequence[str] = (),
) -> Axes:
    """Quantiles of a date (named P10, P50, P90; hours from the start) over `x`; `labels` replace the numbers on it."""
    ax = ax if ax is not None else theme.new_axes(5.2)[0]
    at = np.asarray(x, dtype=float)
    theme.dress(ax, title, grid="both")
    _limits(ax, at, lines, start)
    theme.name_axes(ax, x=x_name)
    theme.footnote(ax, "\n".join([f"{CONVENTION}. Shaded: 95 % confidence. Later is higher.", *notes]))
    if labels is not None:
        ax.set_xticks(at, labels=list(labels))
    _vertical_dates(ax, start)
    if mark is not None:
        ax.axvspan(mark.low, mark.high, color=theme.tint("#AA4499", 0.18), linewidth=0.0, zorder=0.5)
    room = Room(ax)
    for name, line in lines.items():
        _line(room, at, line, start, name)
    for name, line in lines.items():
        _name(room, at, line, start, name)
    if mark is not None:
        _upright(room, mark.place, mark.text, "#882255", "-")
    if planned is not None and at[0] <= planned <= at[-1]:
        _upright(room, planned, "as planned", theme.QUIET, "--")
    return ax


def _limits(ax: Axes, at: Numbers, lines: Mapping[str, Line], start: datetime) -> None:
    hours = np.concatenate([part for line in lines.values() for part in line])
    finite = hours[np.isfinite(hours)]
    low, high = (float(finite.min()), float(finite.max())) if len(finite) else (0.0, 24.0)
    room = max(0.06 * (high - low), 12.0)
    ax.set_ylim(*theme.positions(start, [low - room, high + room]))
    span = float(np.ptp(at)) or 1.0
    ax.set_xlim(at[0] - 0.02 * span, at[-1] + 0.12 * span)


def _vertical_dates(ax: Axes, start: datetime) -> None:
    """Dates on the vertical axis, at whole days."""
    low, high = ax.get_ylim()
    days = next(step for step in (1, 2, 7, 14, 28, 56, 112, 365, 10_000) if (high - low) / step <= 9)
    first = theme.positions(start, 0.0)
    ticks = [tick for tick in np.arange(np.floor(first), high + 1, days) if low <= tick <= high]
    ax.set_yticks(ticks, labels=[theme.day_text(start, 24.0 * (tick - first)) for tick in ticks])


def _line(room: Room, at: Numbers, line: Line, start: datetime, name: str) -> None:
    y = theme.positions(start, np.where(np.isfinite(line.hours), line.hours, np.nan))
    known = np.isfinite(line.low) & np.isfinite(line.high)
    low, high = (theme.positions(start, np.where(known, side, np.nan)) for side in (line.low, line.high))
    colour, (style, width) = COLOURS[name], STYLES[name]
    room.ax.fill_between(at, low, high, color=theme.tint(colour, 0.16), linewidth=0.0, zorder=0.6)
    room.ax.plot(at, y, style, color=colour, linewidth=width, marker="o", markersize=4.0, markeredgecolor="white")
    seen = np.isfinite(y)
    if seen.sum() > 1:
        room.keep_clear(at[seen], y[seen])


def _name(room: Room, at: Numbers, line: Line, start: datetime, name: str) -> None:
    seen = np.flatnonzero(np.isfinite(line.hours))
    if len(seen):
        last = seen[-1]
        x, y = float(at[last]), float(theme.positions(start, line.hours[last]))
        text = f"{name}  {theme.day_text(start, line.hours[last])}"
        spots = [Spot(x, y, "left", "center", 8.0, up) for up in (0.0, 5.0, -5.0, 10.0, -10.0, 16.0, -16.0)]
        room.write(text, spots, color=COLOURS[name], fontweight="bold" if name == "P50" else "normal")


def _upright(room: Room, x: float, text: str, colour: str, style: str) -> None:
    low, high = room.ax.get_ylim()
    room.ax.axvline(x, color=colour, linewidth=1.2, linestyle=style, zorder=1.5)
    room.keep_clear([x, x], [low, high])
    heights = [low + share * (high - low) for share in (0.93, 0.84, 0.74, 0.6, 0.45, 0.3, 0.15, 0.06)]
    sides = (("left", 6.0), ("right", -6.0))
    spots = [Spot(x, y, side, "center", shift) for y in heights for side, shift in sides]
    room.write(text, spots, color=colour, fontsize=theme.TEXT)
