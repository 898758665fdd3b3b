"""How a date answers to one or two numbers of the plan: every point played under the same luck."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.forecasting.summary import CHANCES
from analysis.runs.kept_plays import Kept, played
from analysis.runs.kept_points import keeping
from analysis.runs.point_rows import POINTS
from analysis.runs.stopping import NothingPlayedError
from analysis.statistics import QuantileEstimate, quantile_interval
from analysis.studies.chosen_milestone import Chosen
from analysis.studies.paths_in_plan import OPTION, Axis, plans_of
from sim.cluster import Cluster
from sim.log import Log
from sim.replications import chunks_of
from sim.scenario import Document, Problem, Scenario, ScenarioError

Hours = NDArray[np.float64]
MOST_POINTS = 400


@dataclass(frozen=True)
class Swept:
    """Hours of the milestone, a row for each point and a column for each replication, in the order of the axes.

    With two axes the second varies fastest.
    """

    scenario: Scenario
    axes: tuple[Axis, ...]
    milestone: str
    hours: Hours
    seed: int
    asked: int

    @property
    def replications(self) -> int:
        """Replications that were played of every point."""
        return int(self.hours.shape[1])

    @property
    def points(self) -> list[tuple[int, ...]]:
        """Where each row stands: places on the axes."""
        return list(product(*(range(len(axis.values)) for axis in self.axes)))

    @cached_property
    def estimates(self) -> list[tuple[QuantileEstimate, ...]]:
        """P10, P50 and P90 of every point, each with its interval."""
        return [tuple(quantile_interval(row, chance) for chance in CHANCES) for row in self.hours]

    def quantiles(self, place: int) -> Hours:
        """P10 (0), P50 (1) or P90 (2) of every point, hours; +inf beyond the horizon."""
        return np.array([estimates[place].value for estimates in self.estimates])


def points_of(axes: Sequence[Axis]) -> list[dict[str, Any]]:
    """The values at each point. Raises ScenarioError where there are too many of them."""
    count = int(np.prod([len(axis.values) for axis in axes]))
    if count > MOST_POINTS:
        said = f"{count} points; expected at most {MOST_POINTS}: fewer values on each path"
        raise ScenarioError([Problem(OPTION, 0, "", said)])
    paths = [axis.path for axis in axes]
    return [dict(zip(paths, values, strict=True)) for values in product(*(axis.values for axis in axes))]


def plans_at(document: Document, axes: Sequence[Axis]) -> list[Scenario]:
    """The plan of each point, all checked before anything is played."""
    return plans_of(document, points_of(axes), OPTION)


def sweep(
    plans: Sequence[Scenario],
    axes: Sequence[Axis],
    milestone: Chosen,
    n: int,
    seed: int = 0,
    workers: int | Cluster = 1,
    on_progress: Callable[[int], None] = lambda _: None,
    kept: Kept[float] | None = None,
    stated: Scenario | None = None,
) -> Swept:
    """Play `n` replications of each plan. Ctrl-C ends the sweep with the replications that all points have.

    Hours count from the start of the plan as `stated`, or without one from that of the first point.

    Raises NothingPlayedError when stopped before all points have any.
    """
    named = dict(zip(names_of(plans), plans, strict=True))
    base = stated or plans[0]
    hours = played_alike(named, n, seed, workers, milestone.read, on_progress, kept)
    hours += np.array([[base.hours_at(plan.start)] for plan in plans])
    return Swept(base, tuple(axes), milestone.name, hours, seed, n)


def names_of(plans: Sequence[Scenario]) -> list[str]:
    """What the plan of each point is called where it is kept."""
    return [f"point {number}" for number in range(len(plans))]


def played_alike(
    plans: Mapping[str, Scenario],
    n: int,
    seed: int,
    workers: int | Cluster,
    read: Callable[[Log], float],
    on_progress: Callable[[int], None],
    kept: Kept[float] | None = None,
) -> Hours:
    """What `read` says of every replication, a row for each plan; only replications that all plans have.

    What is `kept` already is not played again, and progress is told of what is played.

    Raises NothingPlayedError where there are none.
    """
    done: dict[int, dict[str, list[float]]] = {}
    try:
        kept = kept or keeping(None, POINTS, plans, chunks_of(n))
        for name, chunk, results in played(kept, plans, chunks_of(n), seed, workers, read, on_progress):
            done.setdefault(chunk, {})[name] = results
    except KeyboardInterrupt:
        pass
    level = [done[chunk] for chunk in sorted(done) if len(done[chunk]) == len(plans)]
    if not level:
        raise NothingPlayedError("stopped before every plan had its first replications")
    return np.array([[hour for chunk in level for hour in chunk[name]] for name in plans])
