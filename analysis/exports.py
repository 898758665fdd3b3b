"""What a forecast leaves in its run directory for others to read: summary, dates as CSV, pictures."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from analysis.answer import answer
from analysis.statistics import MeanEstimate
from analysis.summary import Milestone, Share, Summary
from analysis.wording import CONVENTION, full_date, strategy_text
from sim.scenario.scenario import Scenario


def summary_of(summary: Summary) -> dict[str, Any]:
    """The forecast as plain data: times in hours from the start and as local dates."""
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
        "units": {unit: _unit(summary, unit, shares) for unit, shares in summary.units.items()},
    }


def _milestones(scenario: Scenario, milestones: tuple[Milestone, ...]) -> dict[str, Any]:
    return {milestone.name: _milestone(scenario, milestone) for milestone in milestones}


def _milestone(scenario: Scenario, milestone: Milestone) -> dict[str, Any]:
    quantiles = {
        f"P{100 * quantile.p:.0f}": {
            "hours": quantile.value,
            "date": full_date(scenario, quantile.value),
            "low_hours": quantile.low,
            "high_hours": quantile.high,
            "confidence": round(quantile.confidence, 6),
        }
        for quantile in milestone.quantiles
    }
    return quantiles | {
        "mean": _mean(milestone.mean),
        "plan_of_averages": {
            "hours": milestone.averages_h,
            "date": full_date(scenario, milestone.averages_h),
            "replications_later": milestone.later_than_averages,
        },
        "unfinished": milestone.unfinished,
    }


def _mean(mean: MeanEstimate) -> dict[str, float]:
    return {"mean": mean.mean, "low": mean.low, "high": mean.high, "confidence": mean.confidence}


def _unit(summary: Summary, unit: str, shares: tuple[Share, ...]) -> dict[str, Any]:
    scenario = summary.forecast.scenario
    visits = {visit.name.lower(): _visit(scenario, visit) for visit in summary.visits[unit]}
    return visits | {
        "shares_of_time_on_location": [
            {"kind": share.kind, "reason": share.reason} | _mean(share.share) for share in shares
        ]
    }


def _visit(scenario: Scenario, visit: Milestone) -> Mapping[str, Any]:
    return {key: value for key, value in _milestone(scenario, visit).items() if key.startswith("P")}


def dates_csv(summary: Summary) -> str:
    """One line for each milestone of the pad and of every well, with all its quantiles and intervals."""
    scenario, text = summary.forecast.scenario, io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    headings = [
        f"{quantile}_{what}"
        for quantile in ("P10", "P50", "P90")
        for what in ("date", "hours", "low_hours", "high_hours")
    ]
    writer.writerow(["well", "milestone", *headings, "mean_hours", "plan_of_averages_hours", "unfinished"])
    for well, milestones in {"": summary.pad, **summary.wells}.items():
        writer.writerows(_line(scenario, well, milestone) for milestone in milestones)
    return text.getvalue()


def _line(scenario: Scenario, well: str, milestone: Milestone) -> list[Any]:
    cells: list[Any] = [well, milestone.name]
    for quantile in milestone.quantiles:
        cells += [full_date(scenario, quantile.value), quantile.value, quantile.low, quantile.high]
    return [*cells, milestone.mean.mean, milestone.averages_h, milestone.unfinished]
