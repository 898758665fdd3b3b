"""How far forecasts came true: of dates called P50 or P90, what share was met."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from numpy.typing import NDArray

from analysis.figures import theme

CHANCES = tuple(percent / 100 for percent in range(1, 101))
MARKED = (0.1, 0.5, 0.9)


def reliability(met: Sequence[tuple[float, int, int]], title: str) -> Axes:
    """Share of the milestones reached by the date forecast with each chance, against that chance.

    `met` holds for each of CHANCES how many milestones were reached by their date, and of how many that date is past;
    chances of which none is past are not drawn. The band holds 95 % of such shares at each chance if forecasts are
    right and milestones independent. After Murphy and Winkler 1977, Applied Statistics 26, 41-47 (from memory).
    """
    ax = theme.new_axes(6.0)[0]
    theme.dress(ax, title, grid="both", with_key=True)
    ax.plot([0, 100], [0, 100], color=theme.QUIET, linewidth=1.0, zorder=2)
    counted = np.array([each for each in met if each[2] > 0], dtype=np.float64).reshape(-1, 3)
    _draw_band(ax, counted)
    chances, share = 100 * counted[:, 0], 100 * counted[:, 1] / counted[:, 2]
    ax.plot(chances, share, drawstyle="steps-post", color=theme.SERIES_COLOURS[1], linewidth=2.0, zorder=3)
    for chance, hits, n in counted[np.isin(counted[:, 0], MARKED)]:
        _mark(ax, 100 * chance, 100 * hits / n, int(n))
    ax.set(xlim=(0, 100), ylim=(0, 100), xticks=range(0, 101, 10), yticks=range(0, 101, 10))
    theme.name_axes(ax, x="chance of being done by the date, by the forecast, %", y="reached by it in the field, %")
    theme.key(ax, _swatches())
    theme.footnote(
        ax,
        "P90: 90 % chance done by that date. Below the line: dates were too early; above: too late. "
        "Counted: milestones whose date with that chance is past, reached or not.",
    )
    return ax


def _draw_band(ax: Axes, counted: NDArray[np.float64]) -> None:
    from scipy.stats import binom

    chances, n = counted[:, 0], counted[:, 2]
    low, high = (100 * binom.ppf(tail, n, chances) / n for tail in (0.025, 0.975))
    ax.fill_between(100 * chances, low, high, color=theme.GRID, linewidth=0.0, step="mid", zorder=1)


def _mark(ax: Axes, chance: float, share: float, n: int) -> None:
    ax.plot([chance], [share], "o", color=theme.SERIES_COLOURS[1], markersize=6.0, zorder=4)
    offset, side = ((8, -12), "left") if chance < 80 else ((4, -18), "right")
    ax.annotate(
        f"P{chance:.0f}: {share:.0f} % of {n}", (chance, share), xytext=offset, textcoords="offset points", ha=side,
        fontsize=theme.TEXT, color=theme.INK,
    )  # fmt: skip


def _swatches() -> theme.Swatches:
    return {
        "field": Line2D([], [], color=theme.SERIES_COLOURS[1], linewidth=2.0),
        "a forecast that is right": Line2D([], [], color=theme.QUIET, linewidth=1.0),
        "95 % of right forecasts, if milestones are independent": Patch(facecolor=theme.GRID, linewidth=0.0),
    }
