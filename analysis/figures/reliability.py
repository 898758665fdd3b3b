"""How far forecasts came true: of dates called P50 or P90, what share was met."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from analysis.figures import theme

CHANCES = np.linspace(0.0, 1.0, 101)
MARKED = (0.1, 0.5, 0.9)


def reliability(places: Sequence[float], title: str) -> Axes:
    """Share of the milestones reached by the date forecast with each chance, against that chance.

    `places` are the shares of replications in which each came earlier. The band holds 95 % of such shares at each
    chance if forecasts are right and milestones independent. After Murphy and Winkler 1977, Applied Statistics 26,
    41-47 (from memory).
    """
    from scipy.stats import binom

    n, values = len(places), np.sort(np.asarray(places, dtype=np.float64))
    ax = theme.new_axes(6.0)[0]
    theme.dress(ax, title, grid="both", with_key=True)
    low, high = (binom.ppf(tail, n, CHANCES) / n for tail in (0.025, 0.975))
    ax.fill_between(100 * CHANCES, 100 * low, 100 * high, color=theme.GRID, linewidth=0.0, step="mid", zorder=1)
    ax.plot([0, 100], [0, 100], color=theme.QUIET, linewidth=1.0, zorder=2)
    share = np.searchsorted(values, CHANCES, side="right") / n
    ax.plot(100 * CHANCES, 100 * share, drawstyle="steps-post", color=theme.SERIES_COLOURS[1], linewidth=2.0, zorder=3)
    for chance in MARKED:
        met = 100 * float((values <= chance).mean())
        ax.plot([100 * chance], [met], "o", color=theme.SERIES_COLOURS[1], markersize=6.0, zorder=4)
        ax.annotate(
            f"P{100 * chance:.0f}: {met:.0f} %", (100 * chance, met), xytext=(8, -12), textcoords="offset points",
            fontsize=theme.TEXT, color=theme.INK,
        )  # fmt: skip
    ax.set(xlim=(0, 100), ylim=(0, 100), xticks=range(0, 101, 10), yticks=range(0, 101, 10))
    theme.name_axes(ax, x="chance of being done by the date, by the forecast, %", y="reached by it in the field, %")
    theme.key(ax, _swatches(n))
    theme.footnote(ax, "P90: 90 % chance done by that date. Below the line: dates were too early; above: too late.")
    return ax


def _swatches(n: int) -> theme.Swatches:
    return {
        f"field, {n} milestones": Line2D([], [], color=theme.SERIES_COLOURS[1], linewidth=2.0),
        "a forecast that is right": Line2D([], [], color=theme.QUIET, linewidth=1.0),
        "95 % of right forecasts, if milestones are independent": Patch(facecolor=theme.GRID, linewidth=0.0),
    }
