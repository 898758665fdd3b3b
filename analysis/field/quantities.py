"""What of a plan can be calibrated on jobs: each duration with its place in the scenario and what the field showed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from analysis.field.paths import unit_paths, well_paths
from sim import activities
from sim.chance.sampling import mean
from sim.physics.drill_out import plugs_in
from sim.scenario.document import Document
from sim.scenario.equipment import FlowbackSpread, MillingRig
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Shape
from sim.scenario.wells import Well

if TYPE_CHECKING:
    import pandas as pd

Hours = NDArray[np.float64]

FACTOR, TIME, SPEED, MANY = "factor", "time", "speed", "mean of many"


@dataclass(frozen=True)
class Quantity:
    """One value of the plan with the jobs that tell of it.

    `kind` says what the numbers are: factors on the design, hours, feet per hour, or hours of which each number is
    the mean of many (`each_of`). `prior` is what the plan states. `put` turns the calibrated shape, written as a
    scenario writes it, into the value at `paths`; `also` holds what else must then be set, with its reason. `set_aside`
    counts jobs that tell nothing, for they took no longer than what the plan adds to the design.
    """

    name: str
    activity: str
    kind: str
    paths: tuple[str, ...]
    prior: float | Shape
    done: Hours
    unfinished: Hours
    each_of: float = 1.0
    put: Callable[[Any], Any] = field(default=lambda value: value)
    also: tuple[tuple[str, Any, str], ...] = ()
    remark: str = ""
    set_aside: int = 0


def quantities_of(jobs: pd.DataFrame, scenario: Scenario, document: Document) -> Iterator[Quantity]:
    """Every duration that is stated as such, with its observations; stages are in `stage_factors`."""
    yield from _of_wells(jobs, scenario, document)
    yield from _of_strategy(jobs, scenario)
    for number, (kind, entry, path) in _entries(scenario).items():
        if path is not None:
            own = jobs[jobs["unit"].isin(number)]
            yield from _of_units(own, kind, entry, path, scenario)


def split(own: pd.DataFrame, hours: pd.Series[float] | None = None) -> tuple[Hours, Hours]:
    """Hours of the jobs that ended and of those that did not; jobs that took no time tell nothing."""
    taken = own["hours"] if hours is None else hours
    ended = own["ended"].to_numpy(bool)
    numbers: Hours = np.asarray(taken, dtype=np.float64)
    return numbers[ended & (numbers > 0)], numbers[~ended & (numbers > 0)]


def _of_wells(jobs: pd.DataFrame, scenario: Scenario, document: Document) -> Iterator[Quantity]:
    for activity, (leaf, stated) in _WELL_TIMES.items():
        groups: dict[Any, list[Well]] = {}
        for well in scenario.wells:
            if stated(well) is not None:
                groups.setdefault((well.toe.method if "toe" in leaf else "", stated(well)), []).append(well)
        for (method, prior), wells in groups.items():
            names = {well.name for well in wells}
            own = jobs[(jobs["activity"] == activity) & jobs["well"].isin(names)]
            known_h = own["well"].map({well.name: _known_h(activity, well) for well in wells}).astype(float)
            done, unfinished = split(own, own["hours"] - known_h)
            name = activity + (f", {method}" if method else whose(names, len(scenario.wells)))
            paths = well_paths(document, scenario, names, leaf)
            yield Quantity(name, activity, TIME, paths, prior, done, unfinished)


def whose(wells: Collection[str], of: int) -> str:
    """`, Heron 1` or `, 3 wells`: which wells a value is for, unless it is for all of them."""
    if len(wells) == of:
        return ""
    return f", {' and '.join(sorted(wells))}" if len(wells) <= 2 else f", {len(wells)} wells"


def _known_h(activity: str, well: Well) -> float:
    """Hours of a job that follow from the plan, beside those that are uncertain."""
    test = well.injection_test
    return test.volume / test.rate if activity == activities.INJECTION_TEST and test is not None else 0.0


_WELL_TIMES: dict[str, tuple[str, Callable[[Well], Any]]] = {
    activities.NIPPLE_UP: ("preparation.nipple_up", lambda well: well.preparation.nipple_up),
    activities.PRESSURE_TEST: ("preparation.pressure_test", lambda well: well.preparation.pressure_test),
    activities.TOE_PREPARATION: ("toe.time", lambda well: well.toe.hours or None),
    activities.INJECTION_TEST: (
        "injection_test.set_up",
        lambda well: well.injection_test and well.injection_test.set_up,
    ),
    activities.WATCH_PRESSURE: ("injection_test.watch", lambda well: well.injection_test and well.injection_test.watch),
}


def _of_strategy(jobs: pd.DataFrame, scenario: Scenario) -> Iterator[Quantity]:
    stated: dict[str, tuple[str, Any]] = {
        activities.SWAP: ("strategy.swap.time", scenario.strategy.swap.time),
        activities.MOVE: ("strategy.between_groups", scenario.strategy.between_groups),
    }
    if scenario.water is not None:
        stated[activities.ERECT_STORAGE] = ("water.storage.erect", scenario.water.storage.erect)
        if scenario.water.transfer is not None and not scenario.water.lines:  # several are laid as one activity
            stated[activities.LAY_LINE] = ("water.transfer.lay", scenario.water.transfer.lay)
    for activity, (path, prior) in stated.items():
        once = jobs[jobs["activity"] == activity].drop_duplicates(["unit", "start_h"])
        yield Quantity(activity, activity, TIME, (path,), prior, *split(once))


def _entries(scenario: Scenario) -> dict[tuple[str, ...], tuple[str, Any, str | None]]:
    """Units of one entry -> kind, entry, path."""
    found: dict[int, list[str]] = {}
    known = unit_paths(scenario)
    for name, (_, entry, _) in known.items():
        found.setdefault(id(entry), []).append(name)
    return {tuple(names): known[names[0]] for names in found.values()}


def _of_units(own: pd.DataFrame, kind: str, entry: Any, path: str, scenario: Scenario) -> Iterator[Quantity]:
    label = f"{entry.name or _KINDS[kind]}"
    for activity, key in _UNIT_TIMES.items():
        if hasattr(entry, key):
            jobs = own[own["activity"] == activity]
            yield Quantity(
                f"{activity}, {label}", activity, TIME, (f"{path}.{key}",), getattr(entry, key), *split(jobs)
            )
    if isinstance(entry, FlowbackSpread):
        yield _flowing(own, entry, path, label)
    if isinstance(entry, MillingRig):
        yield from _drill_out(own, entry, path, label, scenario)


_KINDS = {
    "preparation_crews": "preparation crew",
    "pumping_fleets": "fleet",
    "wireline_units": "wireline",
    "milling_rigs": "milling rig",
    "flowback_spreads": "flowback spread",
}
_UNIT_TIMES = {
    activities.RIG_UP: "rig_up",
    activities.RIG_DOWN: "rig_down",
    activities.TURN_IN_LINE: "turn_in_line",
}


def _flowing(own: pd.DataFrame, entry: FlowbackSpread, path: str, label: str) -> Quantity:
    """All steps of the choke schedule as one: a log tells when a well was flowed back, not on which choke."""
    jobs, activity = own[own["activity"] == activities.FLOW_BACK], activities.FLOW_BACK
    name, steps = f"{activity}, {label}", entry.choke_steps
    if steps is None:
        return Quantity(name, activity, TIME, (f"{path}.duration",), entry.duration, *split(jobs))
    prior: Any = steps[0] if len(steps) == 1 else _sum_of(steps)
    remark = "one step in the place of all: a log does not tell one choke from the next" if len(steps) > 1 else ""
    return Quantity(
        name, activity, TIME, (f"{path}.choke_steps",), prior, *split(jobs), put=lambda value: [value], remark=remark
    )


def _sum_of(steps: tuple[Any, ...]) -> float | Shape:
    """A lognormal with the mean and the variance of a sum."""
    from math import log, sqrt

    from analysis.field.log_moments import cv_of
    from sim.scenario.shapes import Lognormal

    total = sum(mean(step) for step in steps)
    variance = sum((cv_of(step) * mean(step)) ** 2 for step in steps)
    if variance == 0:
        return float(total)
    spread = log(1 + variance / total**2)
    return Lognormal(log(total) - spread / 2, sqrt(spread))


def _drill_out(own: pd.DataFrame, rig: MillingRig, path: str, label: str, scenario: Scenario) -> Iterator[Quantity]:
    depth_ft = own["well"].map({well.name: well.measured_depth for well in scenario.wells}).astype(float)
    for activity, key in ((activities.TRIP_IN, "run_in"), (activities.TRIP_OUT, "pull_out")):
        mask = (own["activity"] == activity) & own["ended"] & (own["hours"] > 0)
        speeds = (depth_ft[mask] / own.loc[mask, "hours"]).to_numpy(float)
        name = f"{activity}, {label}"
        yield Quantity(name, activity, SPEED, (f"{path}.{key}",), getattr(rig, key), speeds, np.array([]))
    if rig.learning is None:
        plugs = own["well"].map({well.name: plugs_in(well.stage_count) for well in scenario.wells}).astype(float)
        mask = (own["activity"] == activities.MILL_PLUGS) & own["ended"] & (plugs > 0) & (own["hours"] > 0)
        each_h = (own.loc[mask, "hours"] / plugs[mask]).to_numpy(float)
        many = float(plugs[mask].mean()) if mask.any() else 1.0
        name, none = f"{activities.MILL_PLUGS}, one plug, {label}", np.array([])
        yield Quantity(name, activities.MILL_PLUGS, MANY, (f"{path}.per_plug",), rig.per_plug, each_h, none, many)
