"""How much the wells produce, and what shut-ins and a full facility cost in oil, over all replications."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np
from numpy.typing import NDArray

from analysis.checking.estimates import Estimate, estimate, estimate_within
from analysis.pricing.well_flow import DAYS, HOURS_A_DAY, Flow, ages_days, flowing_days, oil_bbl, within_limit
from sim.scenario.scenario import Scenario

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Volumes:
    """Oil in bbl, gas in mcf, water in bbl; arrays alike in shape."""

    oil: Array
    gas: Array
    water: Array


@dataclass(frozen=True)
class Produced:
    """What a forecast says of production. Oil of wells in bbl, keyed by days on production and `horizon`.

    `lost_to_shut_ins` and `held_back` are oil missing by the horizon; `unknown` names wells that state no production.
    In `unfinished` replications a well that does is not on production by the horizon: it gives nothing by then, and
    after some days on production nobody knows how much, which counts as less than in any other.
    """

    wells: Mapping[str, Mapping[str, Estimate]]
    oil: Estimate
    gas: Estimate
    water: Estimate
    lost_to_shut_ins: Estimate
    shut_in_days: Estimate
    held_back: Estimate
    limited: bool
    unknown: tuple[str, ...]
    unfinished: int
    replications: int


def produced(scenario: Scenario, flow: Flow) -> Produced:
    """Cumulative volumes after some time on production, and by the horizon."""
    horizon_h = scenario.horizon
    total = volumes_by(flow, [horizon_h])
    known = set(flow.wells)
    oil, at_horizon = total.oil[:, 0], oil_bbl(flow, ages_days(flow, horizon_h))
    return Produced(
        {well: _of_well(flow, place, at_horizon[:, place]) for place, well in enumerate(flow.wells)},
        estimate(oil),
        estimate(total.gas[:, 0]),
        estimate(total.water[:, 0]),
        estimate(lost_to_shut_ins_bbl(flow, horizon_h)),
        estimate((flowing_days(flow, horizon_h, shut_ins=False) - flowing_days(flow, horizon_h)).sum(axis=1)),
        estimate(held_back_bbl(flow, horizon_h)),
        bool(np.isfinite(flow.limit_bbl_per_day)),
        tuple(well.name for well in scenario.wells if well.name not in known),
        int(np.isinf(flow.on_h).any(axis=1).sum()),
        len(flow.on_h),
    )


def _of_well(flow: Flow, place: int, by_horizon: Array) -> dict[str, Estimate]:
    """Oil of one well; where it is not on production by the horizon, only that by then is known, which is nothing."""
    on = np.isfinite(flow.on_h[:, place])
    found = {}
    for days in DAYS:
        oil = _after(flow, place, days)
        least, most = (np.where(on, oil, bound) for bound in (-inf, inf))
        found[str(days)] = estimate_within(least, most, as_most=False)
    return found | {"horizon": estimate(by_horizon)}


def _after(flow: Flow, place: int, days: int) -> Array:
    """Oil of one well so many days after it came on production, days of being shut in included."""
    at_h = np.where(np.isfinite(flow.on_h), flow.on_h + days * HOURS_A_DAY, 0.0)
    each = np.broadcast_to(at_h[:, [place]], flow.on_h.shape)
    return oil_bbl(flow, ages_days(flow, each))[:, place]


def volumes_by(flow: Flow, times_h: Sequence[float], later_h: float = 0.0) -> Volumes:
    """What the pad has produced by each of some hours, replications by times; all wells `later_h` later if asked."""
    gas_per_oil = np.array([each.gas_oil_ratio or 0.0 for each in flow.stated])
    water_per_oil = np.array([each.water_per_oil or 0.0 for each in flow.stated])
    by_well = [oil_bbl(flow, ages_days(flow, at_h - later_h)) for at_h in times_h]
    return Volumes(
        np.stack([oil.sum(axis=1) for oil in by_well], axis=1),
        np.stack([oil @ gas_per_oil for oil in by_well], axis=1),
        np.stack([oil @ water_per_oil for oil in by_well], axis=1),
    )


def lost_to_shut_ins_bbl(flow: Flow, at_h: float) -> Array:
    """Oil that the pad lacks by an hour because wells were shut in while their neighbours were fractured.

    Where the facility is full, others flow more meanwhile: what the pad would have given is held to the limit as well.
    """
    if not flow.shut_in:
        return np.zeros(len(flow.on_h))
    never_shut = within_limit(replace(flow, shut_in=()), at_h)
    lost: Array = (oil_bbl(never_shut, ages_days(never_shut, at_h)) - oil_bbl(flow, ages_days(flow, at_h))).sum(axis=1)
    return lost


def held_back_bbl(flow: Flow, at_h: float) -> Array:
    """Oil that the pad lacks by an hour because the facility was full."""
    free = replace(flow, held=None)
    back: Array = (oil_bbl(flow, ages_days(free, at_h)) - oil_bbl(flow, ages_days(flow, at_h))).sum(axis=1)
    return back
