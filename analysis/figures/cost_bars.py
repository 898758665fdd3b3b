"""What it costs, by what for and by which unit: a bar for each mean, a whisker from P10 to P90, and both in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from matplotlib.axes import Axes

from analysis.figures import theme

MILLION = 1e6
BAR, WAITING = theme.TRADE_COLOURS["fracturing"], theme.WATER_WAIT_MARK
ROOM = 1.55  # of the largest, so that words fit beside the bars


class Cost(NamedTuple):
    """A cost in USD: its mean with its interval, and what 10 % and 90 % of the replications do not exceed."""

    name: str
    mean: float
    mean_low: float
    mean_high: float
    low: float
    high: float
    waiting: bool = False


def cost_bars(panels: Mapping[str, Sequence[Cost]], title: str, footnote: str) -> Axes:
    """A panel for each heading of `panels`, one above the other on one scale. Returns the top axes."""
    shown = {heading: costs for heading, costs in panels.items() if costs}
    heights = [0.7 + 0.3 * len(costs) for costs in shown.values()]
    axes = theme.new_axes(1.3 + sum(heights), heights)
    largest = max(max(cost.high, cost.mean) for costs in shown.values() for cost in costs) / MILLION or 1.0
    for number, (ax, (heading, costs)) in enumerate(zip(axes, shown.items(), strict=True)):
        _panel(ax, costs, title if number == 0 else "", heading)
        ax.set_xlim(0.0, ROOM * largest)
        ax.tick_params(axis="x", labelbottom=number == len(shown) - 1)
    theme.name_axes(axes[-1], x="million USD")
    theme.footnote(axes[-1], footnote)
    return axes[0]


def _panel(ax: Axes, costs: Sequence[Cost], title: str, heading: str) -> None:
    theme.dress(ax, title)
    ax.set_ylim(len(costs) - 0.4, -0.6)
    ax.set_yticks(range(len(costs)), labels=[cost.name for cost in costs])
    theme.name_axes(ax, y=heading)
    for row, cost in enumerate(costs):
        ax.barh(row, cost.mean / MILLION, height=0.62, color=WAITING if cost.waiting else BAR)
        low, high = cost.low / MILLION, cost.high / MILLION
        ax.plot([low, high], [row, row], color=theme.INK, linewidth=1.2)
        for end in (low, high) if low < high else ():
            ax.plot([end, end], [row - 0.16, row + 0.16], color=theme.INK, linewidth=1.2)
        ax.annotate(
            _words(cost), (max(high, cost.mean / MILLION), row), xytext=(6, 0), textcoords="offset points", va="center",
            fontsize=theme.TEXT, color=theme.INK,
        )  # fmt: skip


def _words(cost: Cost) -> str:
    """The mean with half its interval, and the span in brackets, each only where it says something."""
    half = f"{(cost.mean_high - cost.mean) / MILLION:.2f}"
    spread = "" if half in {"0.00", "inf"} else f" ± {half}"
    low, high = f"{cost.low / MILLION:.2f}", f"{cost.high / MILLION:.2f}"
    return f"{cost.mean / MILLION:.2f}{spread}" + ("" if low == high else f" ({low} to {high})")
