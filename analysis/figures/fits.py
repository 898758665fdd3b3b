"""Durations of the field beside the distribution fitted to them: how often each, and how far probabilities agree."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from analysis.figures import theme

Numbers = NDArray[np.float64]
Curve = Callable[[Numbers], Numbers]

ROW_IN = 2.3
BAND = 1.36  # 95 % point of the Kolmogorov distance times the root of n (Smirnov 1948, from memory)


class Fitted(NamedTuple):
    """Observations, the density and distribution fitted, and those that the plan states, if it does."""

    name: str
    unit: str
    values: Numbers
    density: Curve
    distribution: Curve
    plan_density: Curve | None
    note: str


def fits(figures: Sequence[Fitted], title: str) -> Figure:
    """A row for each: histogram with fit and plan at the left, probability against probability at the right."""
    height = ROW_IN * len(figures) + 0.7
    figure = Figure(figsize=(theme.WIDTH_IN, height), dpi=theme.DOTS_PER_IN, layout="constrained", facecolor="white")
    figure.suptitle(title, x=0.01, ha="left", fontsize=theme.TITLE, color=theme.INK, fontweight="bold")
    grid = figure.add_gridspec(len(figures), 2, width_ratios=[2.6, 1.0])
    for row, each in enumerate(figures):
        _histogram(figure.add_subplot(grid[row, 0]), each, with_key=row == 0)
        _probabilities(figure.add_subplot(grid[row, 1]), each, last=row == len(figures) - 1)
    return figure


def _histogram(ax: Axes, each: Fitted, *, with_key: bool) -> None:
    theme.dress(ax, grid="y")
    low, high = each.values.min(), np.quantile(each.values, 0.995)
    x = np.linspace(max(low * 0.8, 1e-6), high * 1.15, 300)
    bins = min(30, max(6, int(2 * np.sqrt(len(each.values)))))
    ax.hist(
        each.values, bins=list(np.linspace(low, high, bins + 1)), density=True, color="#BBBBBB", label="field", zorder=2
    )
    ax.plot(x, each.density(x), color=theme.SERIES_COLOURS[1], linewidth=1.8, label="fit", zorder=4)
    if each.plan_density is not None:
        ax.plot(
            x,
            each.plan_density(x),
            color=theme.SERIES_COLOURS[0],
            linewidth=1.4,
            linestyle="--",
            label="plan",
            zorder=3,
        )
    ax.set_xlim(x[0], x[-1])
    ax.set_yticks([])
    ax.text(0.0, 1.02, each.name, transform=ax.transAxes, fontsize=theme.TEXT, color=theme.INK, fontweight="bold")
    ax.text(
        0.99, 0.95, each.note, transform=ax.transAxes, ha="right", va="top", fontsize=theme.SMALL, color=theme.QUIET
    )
    theme.name_axes(ax, x=each.unit)
    if with_key:
        ax.legend(
            loc="lower right", bbox_to_anchor=(1.0, 1.0), ncols=3, frameon=False, fontsize=theme.TEXT, borderaxespad=0.2
        )


def _probabilities(ax: Axes, each: Fitted, *, last: bool) -> None:
    theme.dress(ax, grid="both")
    n = len(each.values)
    observed = (np.arange(n) + 0.5) / n
    fitted = each.distribution(np.sort(each.values))
    reach = BAND / np.sqrt(n)
    diagonal = np.array([0.0, 1.0])
    ax.fill_between(diagonal, diagonal - reach, diagonal + reach, color=theme.GRID, linewidth=0.0, zorder=1)
    ax.plot(diagonal, diagonal, color=theme.QUIET, linewidth=0.8, zorder=2)
    ax.plot(fitted, observed, ".", color=theme.SERIES_COLOURS[1], markersize=3.0, zorder=3)
    ax.set(xlim=(0, 1), ylim=(0, 1), aspect="equal", xticks=[0, 0.5, 1], yticks=[0, 0.5, 1])
    theme.name_axes(ax, x="chance by the fit (grey: 95 % band)" if last else "", y="share of the field")
