"""When the wells of a pad flow in each replication, and how much oil they have given by then.

A well that is shut in, or held back because the facility is full, gets older only by what it flows: its oil comes
later, and is lost only to whoever stops counting before. Arrays are replications by wells; hours count from the start.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim.chance.luck import Luck, drawn
from sim.physics.production import Curve, cumulative_bbl
from sim.scenario.production import Production
from sim.scenario.scenario import Scenario

if TYPE_CHECKING:
    import pandas as pd

Array = NDArray[np.float64]
HOURS_A_DAY = 24.0
DAYS = (30, 90, 365)  # on production, after which the oil of a well is told
ROUNDING = 1e-9
LUCK = "production"  # purpose of the stream that a well's factor is drawn from


@dataclass(frozen=True)
class Held:
    """Days by which wells are younger than they would be without the facility's limit, at times in hours."""

    times_h: Array
    days: Array  # times by replications by wells


@dataclass(frozen=True)
class Flow:
    """The wells that state their production: on since when, with which luck, shut in from when to when."""

    wells: tuple[str, ...]
    stated: tuple[Production, ...]
    on_h: Array
    factor: Array
    shut_in: tuple[tuple[int, int, float, float], ...]  # replication and well by their places, from, to
    limit_bbl_per_day: float = inf
    held: Held | None = None


def flow_of(scenario: Scenario, seed: int, wells: pd.DataFrame, shut_ins: pd.DataFrame) -> Flow:
    """The flow of the wells in the tables of a run; their own luck is drawn here, never in the model."""
    stated = {well.name: well.production for well in scenario.wells if well.production is not None}
    on_h = wells.pivot_table(index="replication", columns="well", values="on_production_h", aggfunc="first")
    on_h = on_h.reindex(columns=list(stated))
    places = {int(number): place for place, number in enumerate(on_h.index)}
    numbers = {name: place for place, name in enumerate(stated)}
    rows = shut_ins.itertuples(index=False, name=None)
    shut_in = tuple((places[rep], numbers[well], low, high) for rep, well, low, high in rows if well in numbers)
    factor = np.array([_factors(stated, seed, int(replication)) for replication in on_h.index])
    limit = inf if scenario.facility is None else scenario.facility.limit * HOURS_A_DAY
    flow = Flow(tuple(stated), tuple(stated.values()), on_h.to_numpy(dtype=float), factor, shut_in, limit)
    return within_limit(flow, _end_h(scenario, flow))


def within_limit(flow: Flow, end_h: float) -> Flow:
    """The same wells held back so that all together keep to the limit of the facility, from the start to an hour."""
    return replace(flow, held=_held_back(flow, end_h))


def _end_h(scenario: Scenario, flow: Flow) -> float:
    """The last hour that anybody asks about: the horizon, the span of value, or so many days of the last well."""
    finite = flow.on_h[np.isfinite(flow.on_h)]
    asked_h = max(finite, default=0.0) + max(DAYS) * HOURS_A_DAY
    return max(scenario.horizon, asked_h, 0.0 if scenario.prices is None else scenario.prices.evaluated_over)


def _factors(stated: dict[str, Production], seed: int, replication: int) -> list[float]:
    """Luck of each well in one replication, from streams of its own name."""
    luck = Luck(drawn(seed, replication))
    return [float(luck.many(name, LUCK, production.factor, 1)[0]) for name, production in stated.items()]


def flowing_days(flow: Flow, at_h: float | Array, *, shut_ins: bool = True) -> Array:
    """Days that each well could have flowed by an hour: since it is on, less what it was shut in."""
    days: Array = np.maximum(at_h - flow.on_h, 0.0) / HOURS_A_DAY
    if shut_ins:
        at = np.broadcast_to(np.asarray(at_h, dtype=np.float64), flow.on_h.shape)
        for replication, well, start_h, end_h in flow.shut_in:
            lost_h = min(max(at[replication, well] - start_h, 0.0), end_h - start_h)
            days[replication, well] = max(days[replication, well] - lost_h / HOURS_A_DAY, 0.0)
    return days


def ages_days(flow: Flow, at_h: float | Array) -> Array:
    """How old each well is by an hour, in days of its own curve."""
    days = flowing_days(flow, at_h)
    if flow.held is None:
        return days
    at: Array = np.broadcast_to(np.asarray(at_h, dtype=np.float64), days.shape)
    return np.maximum(days - _held_days(flow.held, at), 0.0)


def oil_bbl(flow: Flow, ages: Array) -> Array:
    """Oil of each well at these ages."""
    columns = [_of_well(each.curve, ages[:, place]) for place, each in enumerate(flow.stated)]
    return np.stack(columns, axis=1) * flow.factor if columns else np.zeros_like(ages)


def _of_well(curve: Curve, ages: Array) -> Array:
    return np.asarray(cumulative_bbl(curve, ages), dtype=np.float64)


def _held_days(held: Held, at_h: Array) -> Array:
    """Days held back by an hour, even within each step."""
    times = held.times_h
    place = np.clip(np.searchsorted(times, at_h, side="right") - 1, 0, len(times) - 1)
    following = np.minimum(place + 1, len(times) - 1)
    span = np.where(following > place, times[following] - times[place], 1.0)
    share = np.clip((at_h - times[place]) / span, 0.0, 1.0)
    low, high = (np.take_along_axis(held.days, each[np.newaxis], axis=0)[0] for each in (place, following))
    days: Array = low + share * (high - low)
    return days


def _held_back(flow: Flow, end_h: float) -> Held | None:
    """Go through the days on which all wells together could flow more than the limit, and hold all back alike."""
    finite = flow.on_h[np.isfinite(flow.on_h)]
    peaks = np.array([each.curve.peak_bbl_per_day for each in flow.stated])
    if flow.limit_bbl_per_day == inf or not len(finite) or (flow.factor @ peaks).max() <= flow.limit_bbl_per_day:
        return None
    rise_h = max(each.curve.declines_from_days for each in flow.stated) * HOURS_A_DAY
    settled_h = max([finite.max() + rise_h, *(end for *_, end in flow.shut_in)])
    times, held = [float(finite.min())], [np.zeros_like(flow.on_h)]
    while times[-1] < end_h:
        lag, bound = _one_day(flow, times[-1], held[-1])
        times.append(times[-1] + HOURS_A_DAY)
        held.append(lag)
        if times[-1] > settled_h and not bound:
            break
    return Held(np.array(times), np.array(held))


def _one_day(flow: Flow, at_h: float, lag: Array) -> tuple[Array, bool]:
    """Days held back a day later, and whether the limit was in the way in any replication."""
    before = flowing_days(flow, at_h)
    could = flowing_days(flow, at_h + HOURS_A_DAY) - before
    ages: Array = np.maximum(before - lag, 0.0)
    so_far, share = oil_bbl(flow, ages), np.ones((len(ages), 1))
    for _ in range(8):  # a held well declines less: the share is found by trying
        total = (oil_bbl(flow, ages + share * could) - so_far).sum(axis=1, keepdims=True)
        share = share * np.minimum(1.0, flow.limit_bbl_per_day / np.maximum(total, ROUNDING))
    return lag + (1 - share) * could, bool((share < 1).any())
