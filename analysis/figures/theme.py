"""How every picture looks: colours, type, date axis, files on disk.

Colours are the muted scheme of P. Tol, "Colour Schemes", technical note SRON/EPS/TN/09-002, issue 3.2 (2021),
made to stay distinct for colour-blind readers. Which trade gets which is our choice: neighbours on a picture also
differ in lightness, so that a grey print can be read. Waits are nearly white and hatched, trouble nearly black.

Nothing here touches matplotlib's global settings: all looks are explicit arguments.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path
from typing import Any, cast

import matplotlib as mpl
import numpy as np
from matplotlib.artist import Artist
from matplotlib.axes import Axes
from matplotlib.colors import to_hex, to_rgb
from matplotlib.dates import date2num
from matplotlib.figure import Figure
from matplotlib.legend_handler import HandlerTuple
from matplotlib.text import Text

from analysis.runs.whole_files import write_whole
from sim import activities

INK, QUIET, GRID = "#222222", "#666666", "#E4E4E4"
TROUBLE, MOVING, OTHER = "#111111", "#DDDDDD", "#808080"
WAIT_FILL, WAIT_HATCH = "#FCFCFC", "#B4B4B4"
WATER_WAIT_MARK, WATER_WAIT = "#CC6677", "#F2D9DD"  # rose of the same scheme, full and thinned with white

TRADE_COLOURS = {
    "preparation": "#999933",  # olive
    "water": "#332288",  # indigo
    "proppant": "#DDCC77",  # sand
    "wireline": "#AA4499",  # purple
    "fracturing": "#44AA99",  # teal
    "drill-out": "#117733",  # green
    "flowback": "#88CCEE",  # cyan
}
SERIES_COLOURS = ("#117733", "#332288", "#AA4499", "#882255")  # dark enough for lines and their names

TRADE_OF_ACTIVITY = {
    activities.NIPPLE_UP: "preparation",
    activities.PRESSURE_TEST: "preparation",
    activities.TOE_PREPARATION: "preparation",
    activities.INJECTION_TEST: "preparation",
    activities.LAY_LINE: "water",
    activities.ERECT_STORAGE: "water",
    activities.FILL_STORAGE: "water",
    activities.FILL_PROPPANT: "proppant",
    activities.PLUG_AND_PERFORATE: "wireline",
    activities.PUMP_STAGE: "fracturing",
    activities.TRIP_IN: "drill-out",
    activities.MILL_PLUGS: "drill-out",
    activities.SWEEP: "drill-out",
    activities.TRIP_OUT: "drill-out",
    activities.FLOW_BACK: "flowback",
    activities.TURN_IN_LINE: "flowback",
    activities.RIG_UP: "moving",
    activities.RIG_DOWN: "moving",
    activities.SWAP: "moving",
    activities.MOVE: "moving",
}

Swatches = dict[str, Artist | tuple[Artist, ...]]  # what the key shows, by its text

SMALL, TEXT, TITLE = 7.5, 8.5, 12.0  # points
WIDTH_IN, DOTS_PER_IN, LEAST_WIDTH_PX = 10.0, 160, 1600
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
TICK_STEPS_H = (1, 2, 3, 6, 12, 24, 48, 168, 336)
_date_number = cast("Callable[[datetime], float]", date2num)  # the library leaves it untyped
_A_MONDAY = datetime(2001, 1, 1)


def new_axes(height_in: float, panels: Sequence[float] = (1.0,)) -> list[Axes]:
    """Axes one above the other on a white figure of their own, heights in the given proportion."""
    figure = Figure(figsize=(WIDTH_IN, height_in), dpi=DOTS_PER_IN, layout="constrained", facecolor="white")
    grid = figure.add_gridspec(len(panels), 1, height_ratios=list(panels))
    return [figure.add_subplot(grid[row]) for row in range(len(panels))]


def dress(ax: Axes, title: str = "", grid: str = "x", *, with_key: bool = False) -> None:
    """Quiet frame, light grid along `grid` ("x", "y" or "both"), title at the left and room below it for a key."""
    ax.set_facecolor("white")
    for side in ("top", "right", "left"):
        ax.spines[side].set_visible(False)
    ax.spines["bottom"].set_color(QUIET)
    ax.set_axisbelow(True)
    ax.grid(visible=False)
    ax.grid(visible=True, axis=cast("Any", grid), color=GRID, linewidth=0.7, linestyle="-")
    ax.tick_params(which="both", labelsize=TEXT, labelcolor=INK, color=QUIET, left=False, length=3)
    if title:
        ax.set_title(title, loc="left", fontsize=TITLE, color=INK, fontweight="bold", pad=24 if with_key else 10)


def name_axes(ax: Axes, x: str = "", y: str = "") -> None:
    """Axis labels; the horizontal one stands at the right so that a footnote fits beside it."""
    if x:
        ax.set_xlabel(x, loc="right", fontsize=TEXT, color=QUIET)
    if y:
        ax.set_ylabel(y, fontsize=TEXT, color=QUIET)


def key(ax: Axes, swatches: Swatches) -> None:
    """One line between title and picture that explains what cannot be labelled directly."""
    legend = ax.legend(
        list(swatches.values()), list(swatches), handler_map={tuple: HandlerTuple(ndivide=None, pad=0.0)},
        loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=max(len(swatches), 1), frameon=False, fontsize=TEXT,
        labelcolor=INK, borderaxespad=0.3, handlelength=1.4, handleheight=0.9, columnspacing=1.5,
        handletextpad=0.5, borderpad=0.0,
    )  # fmt: skip
    legend.set_in_layout(False)  # it may be wider than the axes, which are not to shrink for it


def footnote(ax: Axes, text: str) -> None:
    """Small print below the horizontal axis, from its left end."""
    ax.annotate(
        text, (0, 0), xycoords="axes fraction", xytext=(0, -38), textcoords="offset points", va="top",
        fontsize=SMALL, color=QUIET, annotation_clip=False,
    )  # fmt: skip


def tint(colour: str, strength: float) -> str:
    """The colour thinned with white; strength 1 leaves it, 0 is white."""
    red, green, blue = (1.0 - strength * (1.0 - part) for part in to_rgb(colour))
    return to_hex((red, green, blue))


def shade(colour: str, strength: float) -> str:
    """The colour darkened; strength 1 leaves it, 0 is black."""
    red, green, blue = (strength * part for part in to_rgb(colour))
    return to_hex((red, green, blue))


def natural_order(name: str) -> list[tuple[int, str]]:
    """Order in which "Heron 2" stands before "Heron 10"."""
    return [(int(part), "") if part.isdigit() else (0, part) for part in re.split(r"(\d+)", name)]


def settle(ax: Axes) -> Figure:
    """The figure of the axes, laid out as it will be written, so that lengths on it can be measured.

    Words stand as they are: a name between dollar signs is no formula, and might not be one that can be read.
    """
    figure = ax.get_figure(root=True)
    if figure is None:
        raise ValueError("figure: these axes were removed from their figure, expected axes on a figure")
    for words in figure.findobj(Text):
        words.set_parse_math(False)
    with mpl.rc_context({"text.parse_math": False}):  # what is only made while drawing
        figure.draw_without_rendering()
    return figure


# ----------------------------------------------------------------------------------------------- dates


def moment(start: datetime, hour: float) -> datetime:
    """The date and time a number of hours after the scenario's start."""
    return start + timedelta(hours=float(hour))


def day_text(start: datetime, hour: float) -> str:
    """Day and month, like "2 May", in English whatever the machine's language."""
    day = moment(start, hour)
    return f"{day.day} {MONTHS[day.month - 1]}"


def positions(start: datetime, hours: Any) -> Any:
    """Places on a date axis (matplotlib's days) of hours from the start."""
    return _date_number(start) + np.asarray(hours, dtype=float) / 24.0


def date_axis(ax: Axes, start: datetime, from_h: float, to_h: float) -> None:
    """A horizontal axis of real dates from `from_h` to `to_h`, labelled with the year or years."""
    first, last = moment(start, from_h), moment(start, to_h)
    dots_per_in = settle(ax).dpi
    width_in = ax.get_window_extent().width / dots_per_in
    ticks, step_h = _ticks(first, last, at_most=max(2, int(width_in / 0.65)))
    ax.xaxis_date()
    ax.set_xlim(_date_number(first), _date_number(last))
    labels = [_tick_text(tick, step_h) for tick in ticks]
    if 0 < step_h < 24 and ticks and ticks[0].hour:
        labels[0] += f"\n{ticks[0].day} {MONTHS[ticks[0].month - 1]}"  # an hour alone does not say of which day
    ax.set_xticks([_date_number(tick) for tick in ticks], labels=labels)
    if step_h in {168, 336}:
        ax.set_xticks([_date_number(day) for day in _regular(first, last, 24)], minor=True)
    years = f"{first.year}" if first.year == last.year else f"{first.year} to {last.year}"
    name_axes(ax, x=f"date ({years}, marked on Mondays)" if step_h in {168, 336} else f"date ({years})")


def _ticks(first: datetime, last: datetime, at_most: int) -> tuple[list[datetime], int]:
    span_h = (last - first) / timedelta(hours=1)
    for step_h in TICK_STEPS_H:
        if span_h <= step_h * at_most:
            return _regular(first, last, step_h), step_h
    return _months(first, last, at_most), 0


def _regular(first: datetime, last: datetime, step_h: int) -> list[datetime]:
    step = timedelta(hours=step_h)
    tick = _A_MONDAY + math.ceil((first - _A_MONDAY) / step) * step
    ticks = []
    while tick <= last:
        ticks.append(tick)
        tick += step
    return ticks


def _months(first: datetime, last: datetime, at_most: int) -> list[datetime]:
    from_month, to_month = first.year * 12 + first.month - 1, last.year * 12 + last.month - 1
    step = next((step for step in (1, 2, 3, 6) if (to_month - from_month) / step <= at_most), 12)
    months = range(-(-from_month // step) * step, to_month + 1, step)
    return [day for day in (datetime(m // 12, m % 12 + 1, 1) for m in months) if day >= first]


def _tick_text(tick: datetime, step_h: int) -> str:
    if step_h == 0:
        return f"{MONTHS[tick.month - 1]}\n{tick.year}" if tick.month == 1 else MONTHS[tick.month - 1]
    if step_h < 24 and tick.hour:
        return f"{tick.hour:02d}:00"
    return f"{tick.day} {MONTHS[tick.month - 1]}"


# ---------------------------------------------------------------------------------------------- files


def save(figure: Figure, path_without_suffix: str | Path) -> tuple[Path, Path]:
    """Write PNG (at least 1600 px wide) and SVG; equal figures give equal bytes."""
    png, svg = Path(f"{path_without_suffix}.png"), Path(f"{path_without_suffix}.svg")
    dots_per_in = max(DOTS_PER_IN, math.ceil(LEAST_WIDTH_PX / figure.get_figwidth()))
    dots = BytesIO()
    with mpl.rc_context({"savefig.bbox": None, "text.parse_math": False}):
        figure.savefig(dots, format="png", dpi=dots_per_in, metadata={"Software": None})
    write_whole(png, dots.getvalue())
    write_whole(svg, svg_bytes(figure))
    return png, svg


def svg_bytes(figure: Figure) -> bytes:
    """The figure as SVG, its letters as outlines, so that it looks alike everywhere."""
    plain: Any = {"savefig.bbox": None, "text.parse_math": False}
    settings = {"svg.hashsalt": "padtempo", "svg.fonttype": "path"} | plain
    written = BytesIO()
    with mpl.rc_context(settings):
        figure.savefig(written, format="svg", metadata={"Date": None, "Creator": None})
    return written.getvalue()
