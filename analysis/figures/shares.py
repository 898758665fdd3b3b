"""Pieces too short to draw, gathered slice by slice of time into the hours they take of it."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Numbers = npt.NDArray[np.float64]

SLICE_WIDTHS_H = (0.25, 0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 24.0)
MOST_DAYS = 600  # of which each is still two pixels wide at the narrowest PNG
WEEK_H = 168.0


def slice_width_h(span_h: float, at_most: int) -> float:
    """A round slice of time that divides the span into no more than `at_most`.

    Days may be more, as long as each can be seen; then it is weeks, as many as that takes.
    """
    if span_h > MOST_DAYS * SLICE_WIDTHS_H[-1]:
        return WEEK_H * float(np.ceil(span_h / (MOST_DAYS * WEEK_H)))
    return next((width for width in SLICE_WIDTHS_H if width * at_most >= span_h), SLICE_WIDTHS_H[-1])


def slice_text(width_h: float) -> str:
    """The width of a slice as read in a footnote."""
    if width_h > 24.0:
        return f"{width_h / 24.0:g} days"
    return f"{width_h:g} h" if width_h >= 1.0 else f"{width_h * 60:g} min"


def slice_edges(starts_h: Numbers, ends_h: Numbers, width_h: float, exact_h: float) -> Numbers:
    """Edges of slices over all pieces, hours; a piece of at least `exact_h` keeps its own start and end."""
    first_h, last_h = starts_h.min(), ends_h.max()
    long = ends_h - starts_h >= exact_h
    edges = (np.arange(first_h, last_h, width_h), starts_h[long], ends_h[long], [first_h, last_h])
    return np.unique(np.round(np.concatenate(edges), 6))  # a slice of rounding errors would have no true share


def hours_within(starts_h: Numbers, ends_h: Numbers, edges_h: Numbers) -> Numbers:
    """Hours of the given disjoint pieces that fall between each two neighbouring edges."""
    if not len(starts_h):
        return np.zeros(len(edges_h) - 1)
    order = np.argsort(starts_h, kind="stable")
    begin, end = starts_h[order], ends_h[order]
    so_far = np.cumsum(end - begin)
    points = np.column_stack((begin, end)).ravel()
    amounts = np.column_stack((so_far - (end - begin), so_far)).ravel()
    return np.diff(np.interp(edges_h, points, amounts))
