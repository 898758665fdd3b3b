"""What the pictures by unit and by well share: rows with names against real dates, and pieces too short to draw.

A pad has hundreds of stages and a page some hundred columns, so single stages cannot be drawn. Whatever lasts
longer than a slice of time stands with its exact start and end; shorter pieces are gathered slice by slice, and
the height of each colour is its share of the slice. No hour of waiting disappears by being narrow.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

import pandas as pd
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import joined
from analysis.figures.shares import Numbers, slice_edges, slice_width_h

EXACT, SLICES = 220, 150  # parts of the picture: about six pixels at the narrowest PNG, and nine
MARGIN = 0.085  # of the span, for the dates written beside bars


class Window(NamedTuple):
    """The hours a picture shows; from how many hours on a piece is drawn as it is, and the slices for the others."""

    from_h: float
    to_h: float
    exact_h: float
    slice_h: float


def window_of(first_h: float, last_h: float, before: float = MARGIN, after: float = MARGIN) -> Window:
    """The window from the first hour to the last, with margins as parts of the span."""
    span_h = max(last_h - first_h, 1.0)
    return Window(
        first_h - before * span_h, last_h + after * span_h, slice_width_h(span_h, EXACT), slice_width_h(span_h, SLICES)
    )


def frame(ax: Axes, names: Sequence[str], start: datetime, window: Window, title: str, lift: float = 0.0) -> None:
    """Dates below, a row for each name, the first on top."""
    theme.dress(ax, title, with_key=True)
    ax.set_ylim(-0.6, len(names) - 0.4)
    ax.set_yticks([place + lift for place in range(len(names))], labels=list(reversed(names)))
    theme.date_axis(ax, start, window.from_h, window.to_h)


def edges_of(rows: pd.DataFrame, window: Window) -> Numbers:
    """Edges of the slices of a row's pieces, hours; long pieces keep their own."""
    pieces = joined(rows)
    starts_h, ends_h = pieces["start_h"].to_numpy(float), pieces["end_h"].to_numpy(float)
    return slice_edges(starts_h, ends_h, window.slice_h, window.exact_h)
