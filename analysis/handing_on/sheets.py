"""The tables of the workbook, as rows of plain values: headings with their units, dates as dates."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from math import isinf
from typing import NamedTuple

from analysis.checking.estimates import AMOUNTS, Estimate
from analysis.forecasting.summary import Milestone, Summary
from analysis.handing_on.stage_schedule import StageRow
from analysis.pricing.ledger import Ledger
from analysis.pricing.money_answer import money_answer
from analysis.pricing.money_exports import fuel_named, money_named, production_named
from analysis.statistics import QuantileEstimate
from analysis.wording import BEYOND, CONVENTION, NEVER
from sim.scenario.scenario import Scenario

Cell = str | float | int | datetime | None
LATEST = datetime(9999, 1, 1)  # no later date fits into a cell


class Sheet(NamedTuple):
    """A table of the workbook. The first `held` columns stay in sight, as its headings do."""

    name: str
    headings: tuple[str, ...]
    rows: list[tuple[Cell, ...]]
    held: int = 1


def sheets(summary: Summary, ledger: Ledger, stages: Sequence[StageRow], replication: int) -> list[Sheet]:
    """All tables, those that planners rework first."""
    scenario = summary.forecast.scenario
    found = [
        _milestones(scenario, summary),
        _units(scenario, summary),
        Sheet("Stages of one run", STAGE_HEADINGS, [_stage(scenario, stage) for stage in stages], 2),
    ]
    if ledger.money is not None:
        found += [_estimates("Costs", list(money_named(ledger.money))), _cash(ledger)]
    if ledger.produced is not None:
        found.append(_estimates("Production", list(production_named(ledger.produced))))
    if ledger.fuel is not None:
        found.append(_estimates("Fuel", list(fuel_named(ledger.fuel))))
    return [*found, _about(summary, ledger, replication)]


def moment(scenario: Scenario, hours: float | None) -> Cell:
    """A date and time to the minute, or words where the run does not get there."""
    if hours is None:
        return None
    if isinf(hours):
        return BEYOND if hours > 0 else "unknown"
    try:
        at = scenario.moment_at(hours)
    except OverflowError:
        return NEVER
    return at.replace(second=0, microsecond=0) if at < LATEST else NEVER


def _milestones(scenario: Scenario, summary: Summary) -> Sheet:
    chances = tuple(f"P{chance} date ({chance} % chance done by)" for chance in (10, 50, 90))
    headings = ("well", "milestone", *chances, "plan of averages", "P90 less P10, days", "runs not done by the horizon")
    rows = []
    for well, milestones in {"the pad": summary.pad, **summary.wells}.items():
        for each in milestones:
            dates = _three(scenario, each)
            rows.append((well, each.name, *dates, moment(scenario, each.averages_h), _days(each), each.unfinished))
    return Sheet("Milestones", headings, rows, 2)


def _three(scenario: Scenario, milestone: Milestone) -> list[Cell]:
    return [moment(scenario, quantile.value) for quantile in milestone.quantiles]


def _days(milestone: Milestone) -> Cell:
    low, _, high = (quantile.value for quantile in milestone.quantiles)
    return None if isinf(high) or isinf(low) else (high - low) / 24


def _units(scenario: Scenario, summary: Summary) -> Sheet:
    chances = ("P10", "P50", "P90")
    headings = ("unit", *(f"arrives {each}" for each in chances), *(f"leaves {each}" for each in chances))
    rows = []
    for unit, visits in summary.visits.items():
        dates = [date for visit in visits for date in _three(scenario, visit)]
        works = summary.works[unit].mean if unit in summary.works else None
        waits = [share for share in summary.units.get(unit, ()) if share.kind == "wait"]
        most = (waits[0].reason, 100 * waits[0].share.mean) if waits else ("", None)
        rows.append((unit, *dates, None if works is None else 100 * works, *most, summary.not_needed.get(unit, 0)))
    extra = ("works, % of its time", "waits most for", "which takes, % of its time", "not needed in, replications")
    return Sheet("Units", (*headings, *extra), rows)


STAGE_HEADINGS = (
    "well",
    "stage",
    "wireline",
    "run starts",
    "run ends",
    "fleet",
    "pumping starts",
    "pumping ends",
    "pumping, h",
    "lost in run and pumping, h",
    "lost to",
    "water, bbl",
    "proppant, lb",
)


def _stage(scenario: Scenario, row: StageRow) -> tuple[Cell, ...]:
    run = moment(scenario, row.run_start_h), moment(scenario, row.run_end_h)
    pumped = moment(scenario, row.pump_start_h), moment(scenario, row.pump_end_h)
    rest = (row.pumping_h, row.lost_h, row.lost_to, row.water_bbl, row.proppant_lb)
    return (row.well, row.stage, row.wireline, *run, row.fleet, *pumped, *rest)


def _estimates(name: str, named: Sequence[tuple[str, str, str, Estimate]]) -> Sheet:
    headings = ("of", "name", "unit", "P10", "P50", "P90", "mean", "mean, low", "mean, high")
    rows = [(*each[:3], *_values(each[3].quantiles), *_mean(each[3])) for each in named]
    return Sheet(name, headings, rows, 2)


def _values(quantiles: Sequence[QuantileEstimate]) -> list[Cell]:
    return [None if isinf(quantile.value) else quantile.value for quantile in quantiles]


def _mean(found: Estimate) -> list[Cell]:
    return [None if isinf(each) else each for each in (found.mean.mean, found.mean.low, found.mean.high)]


def _cash(ledger: Ledger) -> Sheet:
    assert ledger.money is not None
    cash = ledger.money.cash
    rows: list[tuple[Cell, ...]] = []
    so_far = 0.0
    for place, month in enumerate(cash.months):
        paid, earned = float(cash.paid[:, place].mean()), float(cash.earned[:, place].mean())
        so_far += earned - paid
        rows.append((datetime.strptime(month, "%Y-%m"), paid, earned, earned - paid, so_far))
    return Sheet("Cash", ("month", "paid, USD", "earned, USD", "net, USD", "sum of net, USD"), rows)


def _about(summary: Summary, ledger: Ledger, replication: int) -> Sheet:
    played = summary.forecast
    said: list[tuple[Cell, ...]] = [
        ("plan", played.scenario.title),
        ("start", played.scenario.start),
        ("replications", played.replications),
        ("seed", played.seed),
        ("stages are those of replication", replication),
        ("dates", CONVENTION),
        ("sums and volumes", AMOUNTS),
        ("intervals", "Low and high bound the mean with 95 % confidence. Cash is the mean of all replications."),
        *(("money and production", sentence) for sentence in money_answer(ledger)),
        (
            "caution",
            "This plans time; it does not say that any work is safe. Local codes and licensed practice decide.",
        ),
    ]
    return Sheet("About", ("what", "is"), said)
