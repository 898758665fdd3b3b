"""Days gained by each limit that is lifted, largest first, with their intervals."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import NamedTuple

from matplotlib.axes import Axes

from analysis.figures import theme

GAIN, LOSS = theme.TRADE_COLOURS["drill-out"], theme.WATER_WAIT_MARK
PALE = 0.35
WEEK_DAYS = 7.0


class Gain(NamedTuple):
    """A bar: what is lifted, mean days gained, their interval, whether they are more than chance, and a remark."""

    name: str
    days: float
    low: float
    high: float
    is_sure: bool
    remark: str = ""


def gains(bars: Sequence[Gain], title: str, footnote: str) -> Axes:
    """One bar for each, named at the left, its days at its end; a line marks a week where one is in reach."""
    (ax,) = theme.new_axes(1.4 + 0.27 * len(bars))
    theme.dress(ax, title)
    for row, bar in enumerate(bars):
        colour = GAIN if bar.days >= 0 else LOSS
        ax.barh(row, bar.days, height=0.7, color=colour if bar.is_sure else theme.tint(colour, PALE))
        low, high = _interval(bar)
        ax.plot((low, high), (row, row), color=theme.INK, linewidth=1.0, solid_capstyle="butt")
        told = f"{bar.days:.1f}   {bar.remark}".rstrip().replace("-", "\N{MINUS SIGN}")
        ax.annotate(
            told, (max(high, 0.0), row), xytext=(5, 0),
            textcoords="offset points", va="center", fontsize=theme.TEXT, color=theme.INK,
        )  # fmt: skip
    _scale(ax, bars)
    ax.set_yticks(range(len(bars)), labels=[bar.name for bar in bars])
    ax.set_ylim(len(bars) - 0.4, -0.8)
    theme.name_axes(ax, x="days gained")
    theme.footnote(ax, footnote)
    return ax


def _interval(bar: Gain) -> tuple[float, float]:
    """Nothing beyond the bar where one replication alone says nothing of the spread."""
    return (bar.low, bar.high) if isfinite(bar.high) else (bar.days, bar.days)


def _scale(ax: Axes, bars: Sequence[Gain]) -> None:
    most = max(0.1, *(_interval(bar)[1] for bar in bars))
    least = min(0.0, *(_interval(bar)[0] for bar in bars))
    ax.axvline(0, color=theme.QUIET, linewidth=0.8)
    if most > 0.6 * WEEK_DAYS:
        most = max(most, WEEK_DAYS)
        ax.axvline(WEEK_DAYS, color=theme.INK, linewidth=0.9, linestyle=(0, (4, 3)))
        ax.annotate(
            "a week", (WEEK_DAYS, -0.55), xytext=(4, 0), textcoords="offset points", va="center",
            fontsize=theme.TEXT, color=theme.INK,
        )  # fmt: skip
    ax.set_xlim(least * 1.1, most * 1.1)
