"""Milestones reached or due, each as a mark on the span that the forecast gave it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Protocol

from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from analysis.figures import theme

ROW_IN = 0.19
INSIDE, OUTSIDE = theme.SERIES_COLOURS[0], theme.SERIES_COLOURS[2]
SPAN = "#D0D0D0"


class Point(Protocol):
    """A milestone with its forecast; hours from the start."""

    @property
    def well(self) -> str: ...  # noqa: D102
    @property
    def milestone(self) -> str: ...  # noqa: D102
    @property
    def actual_h(self) -> float: ...  # noqa: D102
    @property
    def p10_h(self) -> float: ...  # noqa: D102
    @property
    def p50_h(self) -> float: ...  # noqa: D102
    @property
    def p90_h(self) -> float: ...  # noqa: D102
    @property
    def reached(self) -> bool: ...  # noqa: D102
    @property
    def outside(self) -> bool: ...  # noqa: D102


def reached(points: Sequence[Point], names: Mapping[str, str], start: datetime, until_h: float, title: str) -> Axes:
    """A row for each milestone, in the order in which they were reached, the first at the top.

    What is not reached has its mark at `until_h`, where the log ends.
    """
    ax = theme.new_axes(1.3 + ROW_IN * len(points))[0]
    theme.dress(ax, title, with_key=True)
    for row, point in enumerate(points):
        at_h = min(point.actual_h, until_h)
        left, middle, right, actual = theme.positions(start, [point.p10_h, point.p50_h, point.p90_h, at_h])
        ax.plot([left, right], [row, row], color=SPAN, linewidth=7.0, solid_capstyle="butt", zorder=2)
        ax.plot([middle, middle], [row - 0.3, row + 0.3], color=theme.QUIET, linewidth=1.2, zorder=3)
        colour, marker = (OUTSIDE, "D") if point.outside else (INSIDE, "o")
        ax.plot([actual], [row], marker if point.reached else ">", color=colour, markersize=5.0, zorder=4)
    ax.set_yticks(range(len(points)), [f"{point.well}, {names[point.milestone].lower()}" for point in points])
    ax.set_ylim(len(points) - 0.4, -0.6)
    hours = [hour for point in points for hour in (point.p10_h, point.p90_h, min(point.actual_h, until_h))]
    finite = [hour for hour in hours if hour < float("inf")]
    margin = max(0.03 * (max(finite) - min(finite)), 6.0)
    theme.date_axis(ax, start, min(finite) - margin, max(finite) + margin)
    theme.key(ax, _swatches(some_to_come=not all(point.reached for point in points)))
    theme.footnote(ax, "P90: 90 % chance done by that date; P10 and P50 likewise.")
    return ax


def _swatches(*, some_to_come: bool) -> theme.Swatches:
    swatches: theme.Swatches = {
        "forecast, P10 to P90": Patch(facecolor=SPAN, linewidth=0.0),
        "P50": Line2D([], [], color=theme.QUIET, linewidth=1.2, marker="|", linestyle="none", markersize=9.0),
        "field, inside": Line2D([], [], color=INSIDE, marker="o", linestyle="none", markersize=5.0),
        "field, outside": Line2D([], [], color=OUTSIDE, marker="D", linestyle="none", markersize=5.0),
    }
    if some_to_come:
        swatches["not reached when the log ends"] = Line2D(
            [], [], color=theme.QUIET, marker=">", linestyle="none", markersize=5.0
        )
    return swatches
