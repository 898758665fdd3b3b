"""How the forecast of a date has moved: for each moment of forecasting its P50, within the band from P10 to P90."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from matplotlib.axes import Axes
from matplotlib.ticker import FuncFormatter, MaxNLocator

from analysis.figures import theme

Made = tuple[float, Sequence[float]]  # as of, and P10, P50 and P90, hours from the start


def date_history(made: Sequence[Made], start: datetime, title: str) -> Axes:
    """A band over the moments of forecasting, with the last P50 written beside it."""
    (ax,) = theme.new_axes(4.2)
    colour = theme.TRADE_COLOURS["fracturing"]
    theme.dress(ax, title, grid="both", with_key=True)
    at = theme.positions(start, [as_of_h for as_of_h, _ in made])
    low, middle, high = (theme.positions(start, [hours[k] for _, hours in made]) for k in range(3))
    band = ax.fill_between(at, low, high, color=theme.tint(colour, 0.35), linewidth=0)
    (line,) = ax.plot(at, middle, color=theme.shade(colour, 0.7), marker="o", markersize=4, linewidth=1.6)
    last_h = max(hours[2] for _, hours in made)
    as_of_h = [as_of_h for as_of_h, _ in made]
    span_h = max(max(as_of_h) - min(as_of_h), 24.0)
    theme.date_axis(ax, start, min(as_of_h) - 0.03 * span_h, max(as_of_h) + 0.06 * span_h)
    first, end = float(low.min()), float(theme.positions(start, [last_h])[0])
    ax.set_ylim(first - 0.08 * (end - first) - 0.5, end + 0.08 * (end - first) + 0.5)
    ax.yaxis.set_major_locator(MaxNLocator(nbins=8, steps=[1, 2, 3, 5, 10], integer=True))  # midnights
    ax.yaxis.set_major_formatter(FuncFormatter(lambda place, _: _day(start, place)))
    ax.annotate(
        theme.day_text(start, made[-1][1][1]), (float(at[-1]), float(middle[-1])), xytext=(6, 6),
        textcoords="offset points", fontsize=theme.TEXT, color=theme.INK,
    )  # fmt: skip
    theme.key(ax, {"P50": line, "P10 to P90": band})
    theme.footnote(ax, "P90: 90 % chance done by that date. Each point is a forecast, as of its date below.")
    return ax


def _day(start: datetime, place: float) -> str:
    zero: Any = theme.positions(start, [0.0])[0]
    return theme.day_text(start, 24.0 * (place - float(zero)))
