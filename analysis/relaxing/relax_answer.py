"""What would buy a week, in three or four sentences."""

from __future__ import annotations

from math import inf

from analysis.pricing.money_answer import usd
from analysis.relaxing.savings import WEEK_DAYS, Saving, Savings
from analysis.statistics import MeanEstimate
from analysis.wording import by_text, date_text, percent, strategy_text


def relax_answer(savings: Savings) -> list[str]:
    """Sentences, most important first."""
    return [_as_stated(savings), *_unreached(savings), *_best(savings)]


def gain_text(days: MeanEstimate) -> str:
    """Days gained with their interval."""
    half = f" ± {days.high - days.mean:.1f}" if days.high < inf else ""
    sign = "\N{MINUS SIGN}" if round(days.mean, 1) < 0 else ""
    return f"{sign}{abs(days.mean):.1f}{half}"


def _as_stated(savings: Savings) -> str:
    scenario = savings.scenario
    _, middle, late = (24 * chance.value for chance in savings.chances)
    said = by_text(scenario, middle, late)
    return f"{scenario.title}, {strategy_text(scenario)}, as stated: {savings.goal.name} {said}."


def _unreached(savings: Savings) -> list[str]:
    if not savings.unreached:
        return []
    horizon = date_text(savings.scenario, savings.scenario.horizon)
    return [
        f"In {savings.unreached} of {savings.played} replications it is not reached by the horizon, {horizon}. There "
        "only the days before the horizon count as gained: what is really gained is more."
    ]


def _best(savings: Savings) -> list[str]:
    sure = [saving for saving in savings.savings if saving.is_sure and saving.days.mean > 0]
    if not sure:
        return ["Nothing that the plan states as a limit gains a day that could not be chance."]
    listed = ", then ".join(f"{saving.limit} ({gain_text(saving.days)} days)" for saving in sure[:3])
    return [f"What gains most on average: {listed}.", _week(sure), *_dollars(sure[:3])]


def _dollars(sure: list[Saving]) -> list[str]:
    """What each day that is gained so costs or saves, where prices are stated."""
    priced = [(saving.limit, saving.a_day) for saving in sure if saving.a_day is not None]
    if not priced:
        return []
    told = ", ".join(f"{usd(abs(a_day.value))} {_more(a_day.value)} with {limit}" for limit, a_day in priced)
    return [f"At the stated prices the work costs, for each day gained: {told}."]


def _more(usd_a_day: float) -> str:
    return "more" if usd_a_day > 0 else "less"


def _week(sure: list[Saving]) -> str:
    enough = [saving.limit for saving in sure if saving.days.mean >= WEEK_DAYS]
    if enough:
        return f"A week on average is bought by: {', '.join(enough)}."
    likeliest = max(sure, key=lambda saving: saving.week.share)
    if not likeliest.week.share:
        return "Nothing alone buys a week, on average or in any replication."
    chance = percent(likeliest.week.share)
    return f"Nothing alone buys a week on average; {likeliest.limit} does in {chance} of the replications."
