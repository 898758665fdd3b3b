"""Marks above a level where a unit waits for the supply: one for each wait, or its share of the time where many."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

import numpy as np
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import draw_ribbon
from analysis.figures.shares import Numbers, hours_within, slice_edges, slice_text
from analysis.figures.stage_lanes import spans
from analysis.figures.supply_rows import Shown, flow_slice_h, supply_shown, waits_for

MOST = 400  # waits that still can be told apart at the narrowest PNG


class Lane(NamedTuple):
    """Where the marks stand and the picture ends, in parts of the capacity."""

    bottom: float
    height: float
    top: float


def draw_waits(ax: Axes, shown: Shown, start: datetime, capacity: float, lane: Lane) -> None:
    """Draw them; the largest share reaches from the bottom of the lane to the top of the picture."""
    waits = waits_for(shown, supply_shown(shown))
    if len(waits) <= MOST:
        _marks(ax, spans(start, waits), capacity, lane)
        return
    edges_h, share = _shares(shown, waits)
    low = np.full(len(share), lane.bottom * capacity)
    high = low + share / share.max() * (lane.top - lane.bottom) * capacity
    draw_ribbon(ax, theme.positions(start, edges_h), low, high, theme.WATER_WAIT_MARK)


def share_text(shown: Shown) -> str:
    """What the key adds where the marks are shares."""
    waits = waits_for(shown, supply_shown(shown))
    if len(waits) <= MOST:
        return ""
    most = 100.0 * _shares(shown, waits)[1].max()
    return f"; the height is the share of each {slice_text(flow_slice_h(shown))}, at the highest {most:.0f} %"


def _marks(ax: Axes, places: list[tuple[float, float]], capacity: float, lane: Lane) -> None:
    """A pale column for each wait, and a full mark above it so that the shortest can be seen."""
    ax.broken_barh(places, (0.0, lane.top * capacity), facecolors=theme.WATER_WAIT, zorder=0.5)
    ax.broken_barh(places, (lane.bottom * capacity, lane.height * capacity), facecolors=theme.WATER_WAIT_MARK)


def _shares(shown: Shown, waits: Sequence[tuple[float, float]]) -> tuple[Numbers, Numbers]:
    """Edges of slices, hours, and the share of each in which a unit waits."""
    edges_h = slice_edges(np.array([shown.from_h]), np.array([shown.to_h]), flow_slice_h(shown), np.inf)
    starts_h, ends_h = np.array(waits).T
    return edges_h, hours_within(starts_h, ends_h, edges_h) / np.diff(edges_h)
