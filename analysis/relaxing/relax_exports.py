"""What the relax command leaves in its run directory for others to read: its summary as plain data."""

from __future__ import annotations

from typing import Any

from analysis.chains.chain_exports import mean_of
from analysis.relaxing.relax_answer import relax_answer
from analysis.relaxing.savings import Saving, Savings
from analysis.statistics import MeanEstimate
from analysis.wording import CONVENTION, full_date


def savings_summary_of(savings: Savings) -> dict[str, Any]:
    """Days gained by limit, with intervals and p-values adjusted for all being looked at together."""
    scenario = savings.scenario
    return {
        "title": scenario.title,
        "milestone": savings.goal.name,
        "start": scenario.start.isoformat(),
        "replications": savings.played,
        "unreached": savings.unreached,
        "without_means": "the horizon cuts this plan or the plan as stated short" if savings.cut else None,
        "seed": savings.seed,
        "convention": CONVENTION,
        "answer": relax_answer(savings),
        "as_stated": {
            "mean": _mean(savings.days),
            **{f"P{100 * each.p:.0f}": full_date(scenario, 24 * each.value) for each in savings.chances},
        },
        "limits": [_limit(saving) for saving in savings.savings],
        "pairs": [
            {
                "with": [pair.one, pair.other],
                "together": _mean(pair.together),
                "first_with_second": _mean(pair.one_after_other),
                "second_with_first": _mean(pair.other_after_one),
            }
            for pair in savings.pairs
        ],
        "not_played": {each.name: each.why for each in savings.refused},
    }


def _mean(mean: MeanEstimate | None) -> dict[str, float | None] | None:
    return None if mean is None else mean_of(mean)


def _money(saving: Saving) -> dict[str, Any]:
    """USD that the work costs more or less at the stated prices, and those for each day gained."""
    if saving.cost is None:
        return {}
    a_day = None if saving.a_day is None else saving.a_day._asdict()
    return {"cost_usd": mean_of(saving.cost), "usd_for_each_day_gained": a_day}


def _limit(saving: Saving) -> dict[str, Any]:
    week = {"share": saving.week.share, "hidden_by_horizon": saving.week.perhaps / saving.week.replications}
    week |= {"low": saving.week.low, "high": saving.week.high}
    return {
        "with": saving.limit,
        "days_gained": _mean(saving.days),
        "unfinished": saving.unfinished,
        "a_week_or_more": week | {"confidence": saving.week.confidence},
        "p_value_adjusted": saving.adjusted_p,
        "more_than_chance": saving.is_sure,
        "never_binds": saving.never_binds,
        **_money(saving),
    }
