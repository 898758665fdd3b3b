"""What moves a date, the strongest on top: each input alone from its low to its high value, and luck below them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from matplotlib.axes import Axes
from matplotlib.patches import Patch

from analysis.figures import theme

LOW, HIGH, LUCK = "#88CCEE", "#332288", "#BBBBBB"
ROW_IN, FRAME_IN = 0.55, 1.9
BAR = 0.62


class Bar(NamedTuple):
    """One input: hours of the date at its low and high value, these values in words, and a remark at the right."""

    name: str
    low_h: float
    high_h: float
    low_text: str
    high_text: str
    remark: str = ""


def tornado(
    bars: Sequence[Bar],
    middle_h: float,
    start: datetime,
    ax: Axes | None = None,
    *,
    title: str,
    remarks_name: str = "",
    luck: Bar | None = None,
    notes: Sequence[str] = (),
) -> Axes:
    """Bars from the date at the low value to the date at the high one, around the date with all at their middle."""
    if not bars:
        raise ValueError("tornado: no bars, expected at least one input")
    rows = [*bars, *([] if luck is None else [luck])]
    ax = ax if ax is not None else theme.new_axes(FRAME_IN + ROW_IN * len(rows))[0]
    theme.dress(ax, title, grid="x", with_key=True)
    hours = [hour for bar in rows for hour in (bar.low_h, bar.high_h)]
    room_h = max(0.16 * (max(hours) - min(hours)), 18.0)
    theme.footnote(ax, "\n".join(notes))
    theme.date_axis(ax, start, min(hours) - room_h, max(hours) + room_h)
    ax.set_ylim(len(rows) - 0.4, -0.75)
    ax.set_yticks(range(len(rows)), labels=[bar.name for bar in rows])
    for row, bar in enumerate(bars):
        _bar(ax, row, bar, middle_h, start)
    if luck is not None:
        _luck(ax, len(bars), luck, start)
    _remarks(ax, rows, remarks_name)
    ax.axvline(float(theme.positions(start, middle_h)), color=theme.INK, linewidth=1.0, zorder=3)
    swatches = {"input low": Patch(facecolor=LOW), "input high": Patch(facecolor=HIGH)}
    theme.key(ax, {**swatches, **({"luck, P10 to P90": Patch(facecolor=LUCK)} if luck is not None else {})})
    return ax


def _bar(ax: Axes, row: int, bar: Bar, middle_h: float, start: datetime) -> None:
    """Two halves: from the middle to the date at the low value, and to that at the high one."""
    ends = sorted(
        [(bar.low_h, bar.low_text, LOW), (bar.high_h, bar.high_text, HIGH)], key=lambda end: -abs(end[0] - middle_h)
    )
    for hour, _, colour in ends:
        first, last = theme.positions(start, sorted((hour, middle_h)))
        ax.broken_barh([(first, last - first)], (row - BAR / 2, BAR), facecolors=colour, linewidth=0.0)
    early, late = sorted(ends, key=lambda end: end[0])
    _end(ax, row, early, min(early[0], middle_h), start, "right")
    _end(ax, row, late, max(late[0], middle_h), start, "left")


def _end(ax: Axes, row: int, end: tuple[float, str, str], at_h: float, start: datetime, side: str) -> None:
    shift = -5.0 if side == "right" else 5.0
    ax.annotate(
        end[1], (float(theme.positions(start, at_h)), row), xytext=(shift, 0.0), textcoords="offset points",
        ha=side, va="center", fontsize=theme.SMALL, color=theme.QUIET,
    )  # fmt: skip


def _luck(ax: Axes, row: int, luck: Bar, start: datetime) -> None:
    first, last = theme.positions(start, [luck.low_h, luck.high_h])
    ax.broken_barh([(first, last - first)], (row - BAR / 2, BAR), facecolors=LUCK, linewidth=0.0)
    _end(ax, row, (luck.low_h, luck.low_text, LUCK), luck.low_h, start, "right")
    _end(ax, row, (luck.high_h, luck.high_text, LUCK), luck.high_h, start, "left")


def _remarks(ax: Axes, rows: Sequence[Bar], name: str) -> None:
    for row, text in [(-0.62, name), *((row, bar.remark) for row, bar in enumerate(rows))]:
        if text:
            bold = "bold" if row >= 0 else "normal"
            ax.annotate(
                text, (1.0, row), xycoords=("axes fraction", "data"), xytext=(6.0, 0.0), textcoords="offset points",
                ha="left", va="center", fontsize=theme.TEXT if row >= 0 else theme.SMALL, color=theme.INK,
                fontweight=bold, annotation_clip=False,
            )  # fmt: skip
