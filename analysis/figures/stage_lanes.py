"""When stages were pumped, under a picture of supplies: a lane for each well, or the pace of all where many."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import draw_ribbon
from analysis.figures.shares import slice_edges, slice_text
from analysis.figures.supply_rows import Shown, flow_slice_h, pumping_rows

LANES = 24  # wells up to which each has a lane of its own
PACE_IN = 1.0  # inches
PUMPED = theme.TRADE_COLOURS["fracturing"]


def wells_pumped(shown: Shown) -> list[str]:
    """Wells with a stage in the time shown, in the order of their names."""
    return sorted((str(well) for well in pumping_rows(shown)["well"].unique()), key=theme.natural_order)


def stages_height_in(wells: Sequence[str], frame_in: float, lane_in: float) -> float:
    """Inches that the panel needs."""
    return frame_in + lane_in * len(wells) if len(wells) <= LANES else PACE_IN


def draw_stages(ax: Axes, shown: Shown, start: datetime, wells: Sequence[str]) -> None:
    """A lane for each well, the first on top; of more than LANES wells the stages a day of all."""
    if len(wells) > LANES:
        _pace(ax, shown, start, wells)
        return
    theme.dress(ax)
    rows = pumping_rows(shown)
    for place, well in enumerate(reversed(wells)):
        own = rows.loc[rows["well"] == well, ["start_h", "end_h"]]
        ax.broken_barh(spans(start, own), (place - 0.4, 0.8), facecolors=PUMPED)
    ax.set_ylim(-0.7, len(wells) - 0.3)
    ax.set_yticks(range(len(wells)), labels=list(reversed(wells)), fontsize=theme.SMALL)
    theme.name_axes(ax, y="stages")


def spans(start: datetime, stretches: Any) -> list[tuple[float, float]]:
    """Starts and lengths on the date axis of stretches of hours."""
    places = theme.positions(start, np.asarray(stretches, dtype=float).reshape(-1, 2))
    return [(float(begin), float(end - begin)) for begin, end in places]


def _pace(ax: Axes, shown: Shown, start: datetime, wells: Sequence[str]) -> None:
    """Stages begun a day, slice by slice."""
    theme.dress(ax, grid="both")
    whole = np.array([shown.from_h]), np.array([shown.to_h])
    edges_h = slice_edges(*whole, flow_slice_h(shown), np.inf)
    a_day = np.histogram(_begun_h(shown), edges_h)[0] * 24.0 / np.diff(edges_h)
    draw_ribbon(ax, theme.positions(start, edges_h), np.zeros(len(a_day)), a_day, PUMPED)
    ax.set_ylim(0.0, 1.35 * max(float(a_day.max()), 1e-3))
    theme.name_axes(ax, y="stages\na day")
    ax.annotate(
        f"stages begun a day, all {len(wells):,} wells together; means of {slice_text(flow_slice_h(shown))}", (0, 1),
        xycoords="axes fraction", xytext=(3, -3), textcoords="offset points", va="top", fontsize=theme.SMALL,
        color=theme.QUIET,
    )  # fmt: skip


def _begun_h(shown: Shown) -> pd.Series[float]:
    """Hours at which stages begin; one that trouble interrupts begins once."""
    return pumping_rows(shown).groupby(["well", "stage"])["start_h"].min()
