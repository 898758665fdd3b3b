"""What keeping a promise costs: each candidate's cost against the chance with which it keeps it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from analysis.figures import theme
from analysis.figures.room import Room, Spot

LOOKS = {
    "keeps it": ("o", "#117733", "#117733"),
    "undecided": ("o", "#999933", "white"),
    "breaks it": ("X", "#AA4499", "#AA4499"),
    "dearer": ("o", "#AAAAAA", "white"),
}


class Dot(NamedTuple):
    """One candidate: cost, share of replications that kept the promise with its interval, verdict and values."""

    cost: float
    share: float
    low: float
    high: float
    verdict: str
    text: str
    named: bool = False


def promise_costs(
    dots: Sequence[Dot], chance: float, ax: Axes | None = None, *, title: str, currency: str, notes: Sequence[str] = ()
) -> Axes:
    """Share of replications that kept the promise over cost, with 95 % intervals and the promised chance as a line."""
    if not dots:
        raise ValueError("promise costs: no candidates, expected at least one")
    ax = ax if ax is not None else theme.new_axes(5.4)[0]
    theme.dress(ax, title, grid="both", with_key=True)
    costs = [dot.cost for dot in dots]
    span = (max(costs) - min(costs)) or 1.0
    ax.set_xlim(min(costs) - 0.06 * span, max(costs) + 0.1 * span)
    ax.set_ylim(-4.0, 106.0)
    ax.set_yticks([0, 25, 50, 75, 100])
    ax.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}".replace(",", " "))
    theme.name_axes(ax, x=f"cost ({currency})" if currency else "cost", y="promise kept (% of replications)")
    theme.footnote(ax, "\n".join(notes))
    ax.axhline(100 * chance, color=theme.INK, linewidth=1.0, linestyle="--", zorder=1)
    for dot in dots:
        marker, edge, fill = LOOKS[dot.verdict]
        ax.plot([dot.cost] * 2, [100 * dot.low, 100 * dot.high], color=theme.tint(edge, 0.5), linewidth=1.4, zorder=2)
        ax.plot(dot.cost, 100 * dot.share, marker, color=edge, markerfacecolor=fill, markersize=8.0, zorder=3)
    present = [verdict for verdict in LOOKS if any(dot.verdict == verdict for dot in dots)]
    theme.key(ax, {verdict: _swatch(verdict) for verdict in present})
    _name(ax, dots, chance)
    return ax


def _swatch(verdict: str) -> Line2D:
    marker, edge, fill = LOOKS[verdict]
    return Line2D([], [], linestyle="", marker=marker, color=edge, markerfacecolor=fill, markersize=8.0)


def _name(ax: Axes, dots: Sequence[Dot], chance: float) -> None:
    room = Room(ax)
    for dot in dots:
        room.keep_clear([dot.cost, dot.cost], [100 * dot.low - 1.0, 100 * dot.high + 1.0])
    left, right = ax.get_xlim()
    room.keep_clear([left, right], [100 * chance] * 2)
    at_line = [
        Spot(x, 100 * chance, side, "top", shift, -4.0)
        for x, side, shift in ((left, "left", 4.0), (right, "right", -4.0))
    ]
    room.write(f"promised: {100 * chance:g} %", at_line, fontsize=theme.SMALL)
    for dot in dots:
        if dot.named:
            far = [
                (14.0, -34.0),
                (14.0, -60.0),
                (-14.0, -34.0),
                (14.0, -90.0),
                (-14.0, -90.0),
                (30.0, -130.0),
                (-30.0, -150.0),
            ]
            spots = [
                Spot(dot.cost, 100 * dot.share, "left" if right_pt > 0 else "right", "center", right_pt, up_pt)
                for right_pt, up_pt in far
            ]
            room.write(dot.text, spots, color=LOOKS[dot.verdict][1], fontweight="bold")
