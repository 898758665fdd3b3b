"""Milestones of the field on their forecast: reached or not by the dates that were forecast, or not to be told."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf, isfinite
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.field.paths import unit_paths
from analysis.field.played import MILESTONES
from analysis.field.reading import FieldLog
from analysis.statistics import ShareEstimate, quantile, share_interval
from sim import activities
from sim.scenario.scenario import Scenario

Hours = NDArray[np.float64]
Key = tuple[str, str]  # well and milestone
ROUNDING = 1e-9  # of shares of replications


class Milestone(NamedTuple):
    """A milestone against its forecast; hours from the start, `actual_h` infinity where it is not reached.

    `place` is the share of replications in which it came earlier, those at the same moment counted half: the
    probability integral transform, uniform from 0 to 1 over many milestones if forecasts are right. Where it is not
    reached, that of the log's end, which its own exceeds. `earlier` is the share that came strictly earlier, infinity
    where it is not reached, and `due_to` that of the replications in which it came by the log's end.
    """

    well: str
    milestone: str
    actual_h: float
    p10_h: float
    p50_h: float
    p90_h: float
    place: float
    earlier: float
    due_to: float

    @property
    def reached(self) -> bool:
        """Whether it was reached."""
        return isfinite(self.actual_h)

    @property
    def inside(self) -> bool:
        """Whether it fell from P10 to P90."""
        return self.p10_h <= self.actual_h <= self.p90_h

    @property
    def outside(self) -> bool:
        """Whether it fell elsewhere, or must."""
        return not self.inside and (self.reached or self.is_due(0.9))

    def is_due(self, chance: float) -> bool:
        """Whether the date forecast with this chance is past."""
        return self.due_to >= chance - ROUNDING

    def is_met(self, chance: float) -> bool:
        """Whether it was reached by that date: fewer replications came earlier than those that make the quantile."""
        return self.earlier < chance - ROUNDING


class Met(NamedTuple):
    """Of `n` milestones so many did what the forecast says with this chance."""

    chance: float
    hits: int
    n: int

    @property
    def share(self) -> ShareEstimate | None:
        """As a share with its exact interval; None of none."""
        return share_interval(self.hits, self.n) if self.n else None


def milestones_of(
    actual_h: Mapping[Key, float], forecast_h: Mapping[Key, Hours], log: FieldLog, scenario: Scenario
) -> tuple[tuple[Milestone, ...], tuple[Milestone, ...]]:
    """Those that were reached or were not by their P10, in order of date; those past their P90 of which nobody knows.

    A milestone is reached where `actual_h` is finite.
    """
    unknown = _untold(actual_h, log, scenario)
    found = {key: on_forecast(key, hours, forecast_h[key], log.until_h) for key, hours in actual_h.items()}
    told = [each for key, each in found.items() if key not in unknown and (each.reached or each.is_due(0.1))]
    untold = [each for key, each in found.items() if key in unknown and each.is_due(0.9)]
    return tuple(sorted(told, key=lambda each: (each.actual_h, each.p50_h))), tuple(untold)


def on_forecast(key: Key, actual_h: float, forecast_h: Hours, until_h: float) -> Milestone:
    """A milestone on its forecast, hours over the replications, at the end `until_h` of a log."""
    p10_h, p50_h, p90_h = (quantile(forecast_h, chance) for chance in (0.1, 0.5, 0.9))
    earlier = float((forecast_h < actual_h).mean()) if isfinite(actual_h) else inf
    due_to = float((forecast_h <= until_h).mean())
    place = place_of(min(actual_h, until_h), forecast_h)
    return Milestone(*key, actual_h, p10_h, p50_h, p90_h, place, earlier, due_to)


def place_of(actual_h: float, forecast_h: Hours) -> float:
    """Share of the forecast before it, ties counted half.

    Source: Dawid 1984, Journal of the Royal Statistical Society A 147, 278-292 (from memory).
    """
    earlier, same = int((forecast_h < actual_h).sum()), int((forecast_h == actual_h).sum())
    return (earlier + same / 2 + 0.5) / (len(forecast_h) + 1)


def _untold(actual_h: Mapping[Key, float], log: FieldLog, scenario: Scenario) -> set[Key]:
    """Milestones of which the log does not tell.

    A row that decides on their date was left out; no row of any unit that works towards them is there; or they are
    missing, but what comes later at their well shows that they must have been reached, or nothing shows that they are
    not.
    """
    doubtful, silent = _doubtful(log, scenario), _silent(log, scenario)
    happened = {key for key, hours in actual_h.items() if isfinite(hours)} | doubtful
    missing = {key for key in actual_h if key not in happened}
    implied = {key for key in missing if any((key[0], later) in happened for later in _later(key[1]))}
    unsure = {key for key in missing if _is_unsure(*key, log)}
    return doubtful | implied | unsure | {key for key in actual_h if key[1] in silent}


def _later(milestone: str) -> tuple[str, ...]:
    return MILESTONES[MILESTONES.index(milestone) + 1 :]


def _is_unsure(well: str, milestone: str, log: FieldLog) -> bool:
    """Whether a milestone may be reached although no row says so.

    A log does not say whether more preparation is to come for a well at which none is under way. Where a row of its
    flowback was left out, it may have been the last one.
    """
    if milestone == "on_production_h":
        return any((activity, place) == (activities.FLOW_BACK, well) for _, activity, place, _ in log.doubtful)
    own = log.rows[(log.rows["well"] == well) & log.rows["activity"].isin(_PREPARING)]
    return milestone == "prepared_h" and not own.empty and bool(own["end_h"].notna().all())


def _silent(log: FieldLog, scenario: Scenario) -> set[str]:
    """Milestones of units of a kind that has no row in the log."""
    kinds = {name: kind for name, (kind, _, _) in unit_paths(scenario).items()}
    logged = {kinds.get(unit) for unit in log.rows["unit"].unique()}
    return {milestone for milestone, kind in _KINDS.items() if kind not in logged}


def _doubtful(log: FieldLog, scenario: Scenario) -> set[Key]:
    """Milestones of which the log does not tell: a row that decides on their date was left out."""
    last = {well.name: well.stage_count for well in scenario.wells}
    turned = set(log.rows.loc[log.rows["activity"] == activities.TURN_IN_LINE, "well"])
    found = set()
    for _, activity, well, stage in log.doubtful:
        if activity == activities.PUMP_STAGE:
            found |= {(well, "fracturing_start_h")} if stage == 1 else set()
            found |= {(well, "fracturing_end_h")} if stage == last.get(well) else set()
        elif activity in _DECIDES:
            found.add((well, _DECIDES[activity]))
            if activity == activities.FLOW_BACK and well not in turned:  # it took no time, or is not told either
                found.add((well, _DECIDES[activities.TURN_IN_LINE]))
    return found


_DECIDES = {
    activities.NIPPLE_UP: "prepared_h",
    activities.PRESSURE_TEST: "prepared_h",
    activities.TOE_PREPARATION: "prepared_h",
    activities.INJECTION_TEST: "prepared_h",
    activities.WATCH_PRESSURE: "prepared_h",
    activities.TRIP_OUT: "drilled_out_h",
    activities.FLOW_BACK: "flowback_start_h",
    activities.TURN_IN_LINE: "on_production_h",
}
_PREPARING = tuple(activity for activity, milestone in _DECIDES.items() if milestone == "prepared_h")
_KINDS = {
    "prepared_h": "preparation_crews",
    "fracturing_start_h": "pumping_fleets",
    "fracturing_end_h": "pumping_fleets",
    "drilled_out_h": "milling_rigs",
    "flowback_start_h": "flowback_spreads",
    "on_production_h": "flowback_spreads",
}
