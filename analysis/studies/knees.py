"""The knee of a sweep: of P90 over one path, or over two along each row and each column of the map."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from analysis.forecasting.summary import CHANCES
from analysis.statistics import quantile
from analysis.studies.knee import LEAST_POINTS, Knee, NoKnee, knee
from analysis.studies.paths_in_plan import Axis
from analysis.studies.sweep import Hours, Swept
from sim.chance.streams import own_generator

P90 = 2  # place among the chances
LEAST_DAYS = 0.5  # over the whole range: less is nothing to plan for, wherever it bends
LEAST_REPLICATIONS = 20  # fewer, drawn again, say little of what others would have been


class Along(NamedTuple):
    """The knee along one of two paths, at each value of the other."""

    axis: Axis
    other: Axis
    found: tuple[Knee | NoKnee, ...]


Found = Knee | NoKnee | None | tuple[Along, ...]
"""Of one path, or along each of two; none is looked for over words."""


def knee_of(swept: Swept) -> Found:
    """Where one more step stops paying, with its interval, or why that is not stated."""
    axes = swept.axes
    if len(axes) == 1:
        return None if axes[0].kind == "word" else _sought(swept, axes[0], swept.hours, "knee")
    hours = swept.hours.reshape(*(len(axis.values) for axis in axes), -1)
    sides = [(0, axes[0], axes[1]), (1, axes[1], axes[0])]
    return tuple(
        Along(axis, other, tuple(_at_each(swept, axis, other, np.moveaxis(hours, 1 - number, 0))))
        for number, axis, other in sides
        if axis.kind != "word"
    )


def _at_each(swept: Swept, axis: Axis, other: Axis, slices: Hours) -> list[Knee | NoKnee]:
    """`slices` has one set of rows over the path for each value of the other."""
    return [_sought(swept, axis, rows, f"knee at {other.text(place)}") for place, rows in enumerate(slices)]


def _sought(swept: Swept, axis: Axis, hours: Hours, purpose: str) -> Knee | NoKnee:
    if swept.replications < LEAST_REPLICATIONS:
        return NoKnee(f"its interval takes at least {LEAST_REPLICATIONS} replications")
    late = np.array([quantile(row, CHANCES[P90]) for row in hours])
    if np.isfinite(late).sum() >= LEAST_POINTS and np.ptp(late[np.isfinite(late)]) < LEAST_DAYS * 24:
        return NoKnee("P90 moves by less than half a day in all")
    return knee(np.array(axis.numbers), hours, CHANCES[P90], own_generator(swept.seed, 0, axis.path, purpose))
