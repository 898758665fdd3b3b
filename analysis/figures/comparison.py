"""Plans side by side: by when each is done with what chance, and by how much each differs from the base plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.room import Room, Spot

Values = npt.NDArray[np.float64]

MOST_PLANS = 8
BASE_LOOK: dict[str, Any] = {"color": theme.INK, "linewidth": 2.6, "linestyle": "-"}
LINE_STYLES = ("--", "-.", (0, (1, 1.2)), (0, (6, 1.5)), (0, (4, 1, 1, 1, 1, 1)), (0, (2, 2)), (0, (8, 2, 2, 2)))
NAME_HEIGHTS = (50, 70, 30, 84, 16, 93, 7)  # where a curve's name is tried, percent
SPANS = (5, 25, 75, 95)  # percent of the paired differences in the thin and the thick bar
MARGIN = 0.05


@dataclass(frozen=True)
class Scale:
    """The axis that both panels share: dates from `start`, or where it is None days or another number."""

    start: datetime | None
    per_unit: float  # of the values on the axis, in the unit of the values: 24 where hours are shown as days
    label: str

    def at(self, values: Any) -> Any:
        """Places on the axis."""
        if self.start is not None:
            return theme.positions(self.start, values)
        return np.asarray(values, dtype=float) / self.per_unit

    def text(self, value: float) -> str:
        """A value in words."""
        return theme.day_text(self.start, value) if self.start is not None else f"{value / self.per_unit:.1f}"


@dataclass(frozen=True)
class Difference:
    """A plan less the base plan in every replication, between bounds; what to say of it."""

    low: Values
    high: Values
    text: str


def comparison(
    values: Mapping[str, Values],
    differences: Mapping[str, Difference],
    scale: Scale,
    *,
    title: str,
    y_label: str = "chance done by (%)",
    notes: tuple[str, ...] = (),
    horizon: float | None = None,
) -> list[Axes]:
    """Curves above, paired differences below, on one axis.

    `values` holds each plan's value in every replication, the base plan's first, +inf where unfinished by `horizon`;
    `differences` each other plan less the base plan, drawn from where the base plan has its P50. Plans beyond the first
    eight are left out and counted.
    """
    names = list(values)[:MOST_PLANS]
    shown = {name: np.sort(values[name]) for name in names}
    rows = {name: differences[name] for name in names[1:]}
    above, below = theme.new_axes(4.6 + 0.42 * len(rows), (3.4, 0.6 + 0.42 * len(rows)))
    middle = _quantile(shown[names[0]], 50)
    span = _span(shown, rows, middle, horizon)
    left_out = len(values) - len(names)
    more = (
        f"Thickest line above: {names[0]}.",
        *([f"Plans not shown: {left_out} of {len(values)}."] if left_out else []),
    )
    _frame(above, below, scale, span, title, y_label, (*notes, *more))
    looks = dict(zip(names, _looks(len(names)), strict=True))
    _differences(below, scale, rows, middle, span, looks)
    _middle(above, below, scale, names[0], middle)
    room = Room(above)  # only now: what stands below decides how wide the panels are
    alike = _alike(shown)
    for name in alike:
        _curve(room, scale, shown[name], span[1] if horizon is None else min(span[1], horizon), looks[name])
    for name in (names[0], *list(alike)[:0:-1]):
        _name(room, scale, " = ".join([name, *alike[name]]), shown[name], looks[name])
    return [above, below]


def _alike(shown: Mapping[str, Values]) -> dict[str, list[str]]:
    """Curves to draw, each with the plans whose curve lies exactly on it."""
    found: dict[str, list[str]] = {}
    for name, sample in shown.items():
        same = next((first for first in found if np.array_equal(shown[first], sample)), None)
        if same is None:
            found[name] = []
        else:
            found[same].append(name)
    return found


def _quantile(ordered: Values, percent: int) -> float:
    """The first value that so many percent of the replications do not exceed; +inf if the horizon hides it."""
    return float(ordered[max(-(-len(ordered) * percent // 100), 1) - 1])


def _looks(count: int) -> list[dict[str, Any]]:
    """The base plan black and thick; the others differ in colour and in dashes, so that grey is enough."""
    others = [
        {"color": theme.SERIES_COLOURS[n % len(theme.SERIES_COLOURS)], "linewidth": 1.9, "linestyle": LINE_STYLES[n]}
        for n in range(count - 1)
    ]
    return [BASE_LOOK, *others]


def _span(
    shown: Mapping[str, Values], rows: Mapping[str, Difference], middle: float, horizon: float | None
) -> tuple[float, float]:
    """First and last value on the axis: all that is finite, in both panels."""
    found = [sample[np.isfinite(sample)] for sample in shown.values()]
    if np.isfinite(middle):
        found += [middle + np.percentile(bound[np.isfinite(bound)], (5, 95)) for bound in _bounds(rows)]
    if horizon is not None and any(np.isinf(sample).any() for sample in shown.values()):
        found.append(np.array([horizon]))
    known = np.concatenate(found) if any(map(len, found)) else np.array([0.0, horizon or 1.0])
    room = MARGIN * (known.max() - known.min()) or max(abs(known.max()) * MARGIN, 0.1)
    return float(known.min() - room), float(known.max() + room)


def _bounds(rows: Mapping[str, Difference]) -> list[Values]:
    bounds = [bound for row in rows.values() for bound in (row.low, row.high)]
    return [bound for bound in bounds if np.isfinite(bound).any()]


def _frame(
    above: Axes, below: Axes, scale: Scale, span: tuple[float, float], title: str, y_label: str, notes: tuple[str, ...]
) -> None:
    theme.dress(above, title, grid="both")
    theme.dress(below, grid="x")
    above.set_ylim(0.0, 104.0)
    above.set_yticks([0, 10, 25, 50, 75, 90, 100])
    theme.name_axes(above, y=y_label)
    theme.footnote(below, "\n".join(notes))
    for ax in (above, below):
        if scale.start is not None:
            theme.date_axis(ax, scale.start, *span)
        else:
            ax.set_xlim(*(float(scale.at(end)) for end in span))
            theme.name_axes(ax, x=scale.label)
    above.set_xlabel("")
    above.tick_params(labelbottom=False)


def _curve(room: Room, scale: Scale, ordered: Values, end: float, look: Mapping[str, Any]) -> None:
    finite = ordered[np.isfinite(ordered)]
    if not len(finite):
        return
    to_the_end = [max(end, finite[-1])] if len(finite) < len(ordered) else []
    x = scale.at(np.concatenate((np.repeat(finite, 2), to_the_end)))
    y = np.repeat(100.0 * np.arange(len(finite) + 1) / len(ordered), 2)[1 : len(x) + 1]
    room.ax.plot(x, y, **look)
    room.keep_clear(x, y)


def _name(room: Room, scale: Scale, name: str, ordered: Values, look: Mapping[str, Any]) -> None:
    reached = [(_quantile(ordered, height), height) for height in NAME_HEIGHTS]
    spots = [
        Spot(float(scale.at(value)), height, side, "center", sign * right_pt)
        for right_pt in (7.0, 14.0, 70.0)
        for value, height in reached
        if np.isfinite(value)
        for side, sign in (("right", -1.0), ("left", 1.0))
    ]
    room.write(name, spots, color=look["color"], fontweight="bold", fontsize=theme.TEXT + 0.5)


def _middle(above: Axes, below: Axes, scale: Scale, name: str, middle: float) -> None:
    if not np.isfinite(middle):
        return
    for ax in (above, below):
        ax.axvline(float(scale.at(middle)), color=theme.QUIET, linewidth=0.9, linestyle=":", zorder=0.8)
    below.set_title(
        f"Under the same luck, set off from the P50 of {name}, {scale.text(middle)}:",
        loc="left", fontsize=theme.TEXT + 0.5, color=theme.INK, pad=5,
    )  # fmt: skip


def _differences(
    ax: Axes,
    scale: Scale,
    rows: Mapping[str, Difference],
    middle: float,
    span: tuple[float, float],
    looks: Mapping[str, Mapping[str, Any]],
) -> None:
    """A row for each plan: thin from 5 to 95 % of its differences, thick for the middle half, a dot at the median.

    The thin line has the dashes of the plan's curve, which tells whose it is where there was no room for its name.
    """
    names = list(rows)
    ax.set_ylim(len(names) - 0.4, -0.75)
    ax.set_yticks(range(len(names)), labels=names)
    if not np.isfinite(middle):
        ax.text(0.01, 0.5, "the P50 of the base plan is beyond its horizon", transform=ax.transAxes, color=theme.QUIET)
        return
    at: Callable[[float], float] = lambda value: float(scale.at(np.clip(middle + value, *span)))  # noqa: E731
    for y, (name, row) in enumerate(rows.items()):
        outer, inner, right, end = (at(each) for each in _ends(row))
        colour = looks[name]["color"]
        ax.plot([outer, end], [y, y], color=colour, linewidth=1.5, linestyle=looks[name]["linestyle"])
        ax.plot([inner, right], [y, y], color=colour, linewidth=5.5, solid_capstyle="butt")
        ax.plot((outer + end) / 2 if outer == end else at(_median(row)), y, "o", color="white", markersize=5.0,
                markeredgecolor=colour, markeredgewidth=1.4, zorder=4)  # fmt: skip
        _say(ax, row.text, y, outer, end)


def _ends(row: Difference) -> tuple[float, float, float, float]:
    low, high = np.sort(row.low), np.sort(row.high)
    first, left, right, last = SPANS
    return _quantile(low, first), _quantile(low, left), _quantile(high, right), _quantile(high, last)


def _median(row: Difference) -> float:
    low, high = _quantile(np.sort(row.low), 50), _quantile(np.sort(row.high), 50)
    return high if np.isinf(low) else low


def _say(ax: Axes, text: str, y: float, left: float, right: float) -> None:
    """What is said of a row, on the side where there is more room."""
    first, last = ax.get_xlim()
    side, x, shift = ("left", right, 8) if last - right > left - first else ("right", left, -8)
    ax.annotate(text, (x, y), xytext=(shift, 0), textcoords="offset points", ha=side, va="center", fontsize=theme.TEXT,
                color=theme.INK, bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0})  # fmt: skip
