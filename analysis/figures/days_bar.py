"""One bar from the start to a milestone, split by what its days went to, each part labelled on a line of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import WAIT_HATCH
from sim import activities

BAR_ROWS = 1.5  # height of the whole bar, in lines of labels
_COLOURS = theme.TRADE_COLOURS | {
    "pumping": theme.TRADE_COLOURS["fracturing"],
    "water system": theme.TRADE_COLOURS["water"],
    "rig up, swap, move": "#BBBBBB",
    "troubles": theme.TROUBLE,
}
_HATCHED = {
    activities.RIG_RELEASE,
    activities.ARRIVAL,
    activities.ON_CALL,
    activities.OUTSIDE_HOURS,
    activities.CREW_CHANGE,
    activities.WEATHER,
    activities.WATER,
    activities.FACILITY,
}
_SAID = {
    activities.RIG_RELEASE: "until the drilling rig leaves",
    activities.ARRIVAL: "until units arrive as planned",
    activities.OUTSIDE_HOURS: "waiting for the next shift",
    activities.CREW_CHANGE: "crew changes",
    activities.WEATHER: "waiting for weather",
    activities.WATER: "waiting for water",
    activities.FACILITY: "waiting for the facility",
}


class Slice(NamedTuple):
    """A part of the bar: mean days, and the days that 10 % and 90 % of the replications do not exceed.

    `said` is what it is called where that is not the usual wording for its name.
    """

    name: str
    mean: float
    low: float
    high: float
    said: str = ""


def days_bar(slices: Sequence[Slice], total: Slice, title: str, footnote: str) -> Axes:
    """The bar with its parts in the order given, and below it each part again, where it stands, with its days."""
    (ax,) = theme.new_axes(1.5 + 0.3 * (len(slices) + BAR_ROWS))
    theme.dress(ax, title)
    begin = 0.0
    for row, each in enumerate(slices, start=1):
        ax.barh(0, each.mean, left=begin, height=BAR_ROWS, **_look(each.name))
        ax.barh(row + BAR_ROWS / 2, each.mean, left=begin, height=0.62, **_look(each.name))
        _label(ax, each, row + BAR_ROWS / 2, begin, total.mean)
        begin += each.mean
    ax.annotate(
        f" {_days(total)}", (begin, 0), va="center", fontsize=theme.TEXT + 1, color=theme.INK, fontweight="bold"
    )
    ax.set_ylim(len(slices) + 0.6 + BAR_ROWS / 2, -0.6 - BAR_ROWS / 2)
    ax.set_xlim(0, total.mean * 1.27)
    ax.set_yticks([])
    theme.name_axes(ax, x="days from the start")
    theme.footnote(ax, footnote)
    return ax


def _look(name: str) -> dict[str, Any]:
    if name in _HATCHED:
        return {"facecolor": theme.WAIT_FILL, "hatch": WAIT_HATCH, "edgecolor": theme.WAIT_HATCH, "linewidth": 0.6}
    return {"facecolor": _COLOURS.get(name, theme.OTHER), "edgecolor": "white", "linewidth": 0.6}


def _days(each: Slice) -> str:
    spread = "" if f"{each.low:.1f}" == f"{each.high:.1f}" else f" ({each.low:.1f} to {each.high:.1f})"
    return f"{each.mean:.1f} days{spread}" if each.mean >= 0.05 else f"less than 0.1 day{spread}"


def _label(ax: Axes, each: Slice, y: float, begin: float, total: float) -> None:
    """Beside the part, on the side where there is more room."""
    end, text = begin + each.mean, f"{each.said or _SAID.get(each.name, each.name)}  {_days(each)}"
    after = begin < 0.5 * total
    ax.annotate(
        text, (end if after else begin, y), xytext=(5 if after else -5, 0), textcoords="offset points",
        ha="left" if after else "right", va="center", fontsize=theme.TEXT, color=theme.INK,
    )  # fmt: skip
