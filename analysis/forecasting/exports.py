"""What a forecast leaves in its run directory for others to read: summary, dates as CSV, pictures."""

from __future__ import annotations

import csv
import io
from math import inf, isinf
from typing import Any

from analysis.forecasting.answer import answer
from analysis.forecasting.summary import Milestone, Share, Summary
from analysis.forecasting.supply_summary import SupplySummary
from analysis.statistics import MeanEstimate, QuantileEstimate
from analysis.wording import CONVENTION, full_date, strategy_text
from sim.scenario.scenario import Scenario


def summary_of(summary: Summary) -> dict[str, Any]:
    """The forecast as plain data: times in hours from the start and as local dates.

    Bounds are None where the replications are too few for them, as are counts that the horizon leaves unknown.
    """
    played = summary.forecast
    scenario = played.scenario
    return {
        "title": scenario.title,
        "strategy": strategy_text(scenario),
        "start": scenario.start.isoformat(),
        "replications": played.replications,
        "seed": played.seed,
        "convention": CONVENTION,
        "answer": answer(summary),
        "pad": _milestones(scenario, summary.pad),
        "wells": {well: _milestones(scenario, milestones) for well, milestones in summary.wells.items()},
        "paces": {name: _mean(pace) for name, pace in summary.paces.items()},
        "units": {unit: _unit(summary, unit) for unit in summary.visits},
        "supplies": {each.supply: _supply(each) for each in summary.supplies},
    }


def _milestones(scenario: Scenario, milestones: tuple[Milestone, ...]) -> dict[str, Any]:
    return {milestone.name: _milestone(scenario, milestone) for milestone in milestones}


def _milestone(scenario: Scenario, milestone: Milestone) -> dict[str, Any]:
    return _quantiles(scenario, milestone) | {
        "mean": _mean(milestone.mean),
        "plan_of_averages": {
            "hours": milestone.averages_h,
            "date": full_date(scenario, milestone.averages_h),
            "replications_later": milestone.later_than_averages,
        },
        "unfinished": milestone.unfinished,
    }


def _quantiles(scenario: Scenario, milestone: Milestone) -> dict[str, Any]:
    return {name_of(quantile): _quantile(scenario, quantile) for quantile in milestone.quantiles}


def name_of(quantile: QuantileEstimate) -> str:
    """P10, P50 or P90."""
    return f"P{100 * quantile.p:.0f}"


def _quantile(scenario: Scenario, quantile: QuantileEstimate) -> dict[str, Any]:
    low, high = _bounds(quantile)
    return {
        "hours": quantile.value,
        "date": full_date(scenario, quantile.value),
        "low_hours": low,
        "high_hours": high,
        "confidence": round(quantile.confidence, 6),
    }


def _bounds(quantile: QuantileEstimate) -> tuple[float | None, float | None]:
    """Bounds of a quantile: infinite is beyond the horizon, None unknown."""
    low = None if quantile.low_rank is None else quantile.low
    return low, None if quantile.high_rank is None else quantile.high


def _mean(mean: MeanEstimate) -> dict[str, float | None]:
    """Infinite where some replications are unfinished; bounds are None where one alone says nothing of the spread."""
    known = mean.mean == inf or not isinf(mean.high)
    low, high = (mean.low, mean.high) if known else (None, None)
    return {"mean": mean.mean, "low": low, "high": high, "confidence": mean.confidence}


def _unit(summary: Summary, unit: str) -> dict[str, Any]:
    scenario = summary.forecast.scenario
    visits: dict[str, Any] = {visit.name.lower(): _quantiles(scenario, visit) for visit in summary.visits[unit]}
    visits["not_needed_in_replications"] = summary.not_needed.get(unit, 0)
    return visits | {"shares_of_time_on_location": [_share(share) for share in summary.units.get(unit, ())]}


def _share(share: Share) -> dict[str, Any]:
    return {"kind": share.kind, "reason": share.reason} | _mean(share.share)


def _supply(each: SupplySummary) -> dict[str, Any]:
    """Figures as quantiles (chance of no more), in bbl, lb, an hour or hours; mean hours starved by part."""
    figures: dict[str, Any] = {
        name: {**{name_of(quantile): quantile.value for quantile in quantiles}, **_mean(each.means[name])}
        for name, quantiles in each.figures.items()
    }
    return {"kind": each.kind} | figures | {"starved_by": {part: _mean(hours) for part, hours in each.parts.items()}}


def dates_csv(summary: Summary) -> str:
    """One line for each milestone of the pad and of every well, with all its quantiles and intervals.

    Hours that the horizon cut off are `inf`, which tables read as a number, and their dates say so in words; bounds
    are empty where the replications are too few for them. A name that a spreadsheet would take for a formula has an
    apostrophe before it, which is common practice.
    """
    scenario, text = summary.forecast.scenario, io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    headings = [heading for chance in (10, 50, 90) for heading in _headings(chance)]
    writer.writerow(["well", "milestone", *headings, "mean hours", "plan of averages hours", "unfinished"])
    for well, milestones in {"": summary.pad, **summary.wells}.items():
        writer.writerows(_line(scenario, well, milestone) for milestone in milestones)
    return text.getvalue()


def _headings(chance: int) -> list[str]:
    return [
        f"P{chance} date ({chance} % chance done by)",
        *(f"P{chance} hours{which}" for which in ("", " low", " high")),
    ]


def _line(scenario: Scenario, well: str, milestone: Milestone) -> list[Any]:
    cells: list[Any] = [no_formula(well), milestone.name]
    for quantile in milestone.quantiles:
        cells += [full_date(scenario, quantile.value), quantile.value, *_bounds(quantile)]
    return [*cells, milestone.mean.mean, milestone.averages_h, milestone.unfinished]


def no_formula(text: str) -> str:
    """Text that no spreadsheet works out: what begins like a formula gets an apostrophe, which most do not show."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
