"""Cash month by month: what is paid and what comes in, and what is left so far in its band."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import swatch

Array = npt.NDArray[np.float64]

MILLION = 1e6
PAID, EARNED, SO_FAR = theme.WATER_WAIT_MARK, theme.TRADE_COLOURS["fracturing"], theme.TRADE_COLOURS["water"]
LABELS = 13  # months named on the axis at most


class Spread(NamedTuple):
    """What 10 %, 50 % and 90 % of the replications do not exceed, month by month."""

    low: Array
    middle: Array
    high: Array


def cash_flow(months: Sequence[str], paid: Spread, earned: Spread, so_far: Spread, title: str, footnote: str) -> Axes:
    """Bars of each month with whiskers, below the sum so far. USD; `months` like 2027-03. Returns the top axes."""
    above, below = theme.new_axes(5.6, (1.3, 1.0))
    theme.dress(above, title, grid="y", with_key=True)
    theme.dress(below, grid="y")
    places = np.arange(len(months), dtype=float)
    _bars(above, places, Spread(-paid.high, -paid.middle, -paid.low), PAID)
    _bars(above, places, earned, EARNED)
    theme.key(above, {
        "paid": swatch(PAID),
        "earned": swatch(EARNED),
        "earned less paid, so far": swatch(SO_FAR),
    })  # fmt: skip
    below.fill_between(places, so_far.low / MILLION, so_far.high / MILLION, color=theme.tint(SO_FAR, 0.22), linewidth=0)
    below.plot(places, so_far.middle / MILLION, color=SO_FAR, linewidth=1.9, marker="o", markersize=3.5)
    theme.name_axes(above, y="a month\n(million USD)")
    theme.name_axes(below, y="so far\n(million USD)")
    _frame(above, below, months)
    theme.footnote(below, footnote)
    return above


def _bars(ax: Axes, places: Array, spread: Spread, colour: str) -> None:
    ax.bar(places, spread.middle / MILLION, width=0.7, color=colour)
    seen = (spread.high - spread.low) > 0
    ax.vlines(places[seen], spread.low[seen] / MILLION, spread.high[seen] / MILLION, color=theme.INK, linewidth=1.1)


def _frame(above: Axes, below: Axes, months: Sequence[str]) -> None:
    step = -(-len(months) // LABELS)
    ticks = list(range(0, len(months), step))
    for ax in (above, below):
        ax.axhline(0.0, color=theme.INK, linewidth=0.9)
        ax.set_xlim(-0.7, len(months) - 0.3)
        ax.set_xticks(ticks, labels=[_month(months[tick]) for tick in ticks])
    above.tick_params(axis="x", labelbottom=False)


def _month(name: str) -> str:
    """Mar 2027, in English whatever the machine's language."""
    year, month = name.split("-")
    return f"{theme.MONTHS[int(month) - 1]}\n{year}"
