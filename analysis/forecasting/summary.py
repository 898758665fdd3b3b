"""The answer of a forecast: dates with their chances and intervals, shares of time, and what averages would promise."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

import numpy as np

from analysis.checking.averages import Plan, plan_of_averages
from analysis.forecasting.forecast import Forecast
from analysis.forecasting.supply_summary import SupplySummary, supply_summaries
from analysis.statistics import MeanEstimate, QuantileEstimate, mean_interval, quantile_interval

if TYPE_CHECKING:
    import pandas as pd

CHANCES = (0.1, 0.5, 0.9)
ROUNDING_H = 1e-6  # without luck, the plan of averages and the run may differ by a last bit

PAD_MILESTONES = {
    "Fracturing starts": "fracturing_start_h",
    "Fracturing ends": "fracturing_end_h",
    "First production": "first_production_h",
    "Every well on production": "all_on_production_h",
}
WELL_MILESTONES = {
    "Prepared": "prepared_h",
    "Fracturing starts": "fracturing_start_h",
    "Fracturing ends": "fracturing_end_h",
    "Drilled out": "drilled_out_h",
    "Flowback starts": "flowback_start_h",
    "On production": "on_production_h",
}


@dataclass(frozen=True)
class Milestone:
    """One date: its P10, P50 and P90 with intervals, its mean, and what averages promise; hours from the start.

    `later_than_averages` is None where the promise lies beyond the horizon, as do the unfinished: which of them comes
    first is unknown.
    """

    name: str
    quantiles: tuple[QuantileEstimate, ...]
    mean: MeanEstimate
    averages_h: float
    later_than_averages: int | None
    unfinished: int
    replications: int


@dataclass(frozen=True)
class Share:
    """Share of its time on location that a unit spends on something."""

    kind: str
    reason: str
    share: MeanEstimate


@dataclass(frozen=True)
class Summary:
    """Everything a forecast says, in numbers.

    `paces` are means per replication, such as stages a day; `works` is the share of its time on location that a unit
    works, `units` what all of that time goes to. `visits` are over the replications in which a unit comes, or may still
    come after the horizon: the others did not need it.
    """

    forecast: Forecast
    pad: tuple[Milestone, ...]
    wells: Mapping[str, tuple[Milestone, ...]]
    paces: Mapping[str, MeanEstimate]
    works: Mapping[str, MeanEstimate]
    units: Mapping[str, tuple[Share, ...]]
    visits: Mapping[str, tuple[Milestone, Milestone]]
    supplies: tuple[SupplySummary, ...] = ()

    def milestone(self, name: str) -> Milestone:
        """A milestone of the pad."""
        return next(each for each in self.pad if each.name == name)

    @property
    def not_needed(self) -> dict[str, int]:
        """Replications that were finished without a unit, of each of which there are any."""
        found = {unit: self.forecast.replications - arrives.replications for unit, (arrives, _) in self.visits.items()}
        return {unit: count for unit, count in found.items() if count}


def summarise(played: Forecast) -> Summary:
    """Reduce the tables of a forecast to its answer."""
    plan = plan_of_averages(played.scenario)
    shares, horizon_h = _shares(played.units), played.scenario.horizon
    return Summary(
        played,
        tuple(
            _milestone(name, played.pads[column], _of_pad(plan, column), horizon_h)
            for name, column in PAD_MILESTONES.items()
        ),
        _wells(played, plan),
        _paces(played),
        {unit: _works(table) for unit, table in shares.items()},
        {unit: _listed(table) for unit, table in shares.items()},
        _visits(played, horizon_h),
        supply_summaries(played.supplies, played.shortages, played.replications),
    )


def _milestone(name: str, values: pd.Series[float], averages_h: float, horizon_h: float) -> Milestone:
    hours = np.asarray(values, dtype=np.float64)
    unfinished = int(np.isinf(hours).sum())
    later = int((hours > averages_h + ROUNDING_H).sum())
    return Milestone(
        name,
        tuple(quantile_interval(hours, chance) for chance in CHANCES),
        mean_interval(hours),
        averages_h,
        None if unfinished and averages_h > horizon_h - ROUNDING_H else later,
        unfinished,
        len(hours),
    )


def _of_pad(plan: Plan, column: str) -> float:
    wells = plan.on_production_h if column.endswith("production_h") else getattr(plan, column)
    first = column in {"first_production_h", "fracturing_start_h"}
    return min(wells.values()) if first else max(wells.values())


def _wells(played: Forecast, plan: Plan) -> dict[str, tuple[Milestone, ...]]:
    by_well = {str(name): rows for name, rows in played.wells.groupby("well", sort=False)}
    return {
        well: tuple(
            _milestone(name, rows[column], getattr(plan, column)[well], played.scenario.horizon)
            for name, column in WELL_MILESTONES.items()
        )
        for well, rows in by_well.items()
    }


def _paces(played: Forecast) -> dict[str, MeanEstimate]:
    columns = {"Stages a day": "stages_per_day", "Pumping hours a day": "pumping_h_per_day"}
    return {name: mean_interval(played.pads[column].to_numpy(dtype=float)) for name, column in columns.items()}


def _shares(units: pd.DataFrame) -> dict[str, pd.DataFrame]:
    """Shares of each unit's time on location, a row for each replication in which it was there.

    Columns are kind and reason; what a replication did not see counts as nothing.
    """
    found: dict[str, pd.DataFrame] = {}
    for unit in units["unit"].unique():  # one after the other: together they would be there twice
        rows = units.loc[units["unit"] == unit, ["replication", "kind", "reason", "hours"]]
        hours = rows.pivot_table(index="replication", columns=["kind", "reason"], values="hours", fill_value=0.0)
        found[str(unit)] = hours.div(hours.sum(axis=1), axis=0)
    return found


def _works(shares: pd.DataFrame) -> MeanEstimate:
    kinds = shares.columns.get_level_values("kind")
    return mean_interval(shares.loc[:, kinds == "work"].sum(axis=1).to_numpy(dtype=float))


def _listed(shares: pd.DataFrame) -> tuple[Share, ...]:
    """Largest first."""
    listed = [Share(*what, mean_interval(shares[what].to_numpy())) for what in _kinds_and_reasons(shares)]
    return tuple(sorted(listed, key=lambda share: -share.share.mean))


def _kinds_and_reasons(table: pd.DataFrame) -> list[tuple[str, str]]:
    return [(str(label[0]), str(label[1])) for label in table.columns.to_flat_index()]


def _visits(played: Forecast, horizon_h: float) -> dict[str, tuple[Milestone, Milestone]]:
    """When each unit arrives and leaves: beyond the horizon where the work is unfinished and it has not come."""
    unfinished = played.pads.loc[np.isinf(played.pads["all_on_production_h"]), "replication"]
    found = {}
    for unit, rows in played.visits.groupby("unit", sort=False):
        came = rows.set_index("replication")[["arrives_h", "leaves_h"]]
        hours = came.reindex(came.index.union(unfinished), fill_value=inf)
        found[str(unit)] = (
            _milestone("Arrives", hours["arrives_h"], inf, horizon_h),
            _milestone("Leaves", hours["leaves_h"], inf, horizon_h),
        )
    return found


def not_needed_text(summary: Summary) -> str:
    """Which units some replications did without, so that dates of theirs are over the others; empty if none."""
    counts = [f"{unit} in {count}" for unit, count in summary.not_needed.items()]
    of = summary.forecast.replications
    return f"Not needed, and left out of its dates: {', '.join(counts)} of {of} replications." if counts else ""
