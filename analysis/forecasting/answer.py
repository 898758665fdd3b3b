"""The answer of a forecast in three or four sentences, for whoever reads no further."""

from __future__ import annotations

from math import inf

from analysis.forecasting.summary import Milestone, Share, Summary
from analysis.wording import BEYOND, by_text, date_text, in_words, percent, strategy_text
from sim.activities import supply_of
from sim.scenario.equipment import individuals

LONG_H = 24.0  # of waiting for a supply, before it is named among what keeps a pad from getting done


def answer(summary: Summary) -> list[str]:
    """Sentences, most important first."""
    return [
        *_dates(summary),
        *_unfinished(summary),
        *_starved(summary),
        _averages(summary),
        *_fleets(summary),
    ]


def _dates(summary: Summary) -> list[str]:
    scenario = summary.forecast.scenario
    wells = len(scenario.wells)
    of_all = "both wells" if wells == 2 else f"all {in_words(wells)} wells"
    first, last = summary.milestone("First production"), summary.milestone("Every well on production")
    opening = f"{scenario.title}, {strategy_text(scenario)}: "
    if wells == 1:
        return [f"{opening}on production {_by(summary, last)}."]
    return [f"{opening}first production {_by(summary, first)}; {of_all} {_by(summary, last)}."]


def _by(summary: Summary, milestone: Milestone) -> str:
    _, middle, late = milestone.quantiles
    return by_text(summary.forecast.scenario, middle.value, late.value)


def _unfinished(summary: Summary) -> list[str]:
    last = summary.milestone("Every well on production")
    if not last.unfinished:
        return []
    horizon = date_text(summary.forecast.scenario, summary.forecast.scenario.horizon)
    return [
        f"In {last.unfinished} of {last.replications} replications not every well is on production by the horizon, "
        f"{horizon}; such dates count as {BEYOND}."
    ]


def _starved(summary: Summary) -> list[str]:
    """Of a pad that does not get done: which supply it waits for longest, which part of it, and since when."""
    longest = max(summary.supplies, key=lambda each: each.means["starved_h"].mean, default=None)
    unfinished = summary.milestone("Every well on production").unfinished
    if not unfinished or longest is None or longest.means["starved_h"].mean < LONG_H:
        return []
    hours, scenario = longest.means["starved_h"], summary.forecast.scenario
    spread = f" ± {hours.high - hours.mean:,.0f}" if hours.high < inf else ""
    part = next((name for name in longest.parts if name), "")
    of = f", most for want of its {part}" if part else ""
    since = "" if longest.first.value == inf else f", first on {date_text(scenario, longest.first.value)} (P50)"
    return [f"Units wait for {longest.supply}{of}: {hours.mean:,.0f}{spread} h in the mean{since}."]


def _averages(summary: Summary) -> str:
    scenario = summary.forecast.scenario
    last = summary.milestone("Every well on production")
    promised = date_text(scenario, last.averages_h)
    if last.later_than_averages is None:
        unknown = f"unknown in {last.unfinished} of {last.replications} replications"
        return f"A plan of averages promises {promised}, {BEYOND}: whether the last well is later is {unknown}."
    late = f"{last.later_than_averages} of {last.replications}"
    return f"A plan of averages promises {promised}; the last well is later than that in {late} replications."


def _fleets(summary: Summary) -> list[str]:
    found = []
    for name, _ in individuals(summary.forecast.scenario.units.pumping_fleets):
        shares = summary.units.get(name)
        if shares:
            found.append(_fleet(name, shares))
    return found


def _waits(shares: tuple[Share, ...]) -> list[tuple[str, float]]:
    """What was waited for, the longest first; of a supply all its parts together."""
    found: dict[str, float] = {}
    for share in shares:
        if share.kind == "wait":
            reason = supply_of(share.reason)
            found[reason] = found.get(reason, 0.0) + share.share.mean
    return sorted(found.items(), key=lambda each: -each[1])


def _fleet(name: str, shares: tuple[Share, ...]) -> str:
    pumping = next((share.share.mean for share in shares if share.reason == "pump stage"), 0.0)
    waits = [f"{reason} ({percent(share)})" for reason, share in _waits(shares)[:2]]
    sentence = f"{name} pumps {percent(pumping)} of its time on location"
    sentence += f"; it waits most for {', then '.join(waits)}" if waits else " and never waits"
    trouble = sum(share.share.mean for share in shares if share.kind == "trouble")
    return f"{sentence}; troubles of its own take {percent(trouble)}." if trouble else f"{sentence}."
