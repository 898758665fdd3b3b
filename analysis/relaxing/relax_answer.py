"""What would buy a week, in three or four sentences."""

from __future__ import annotations

from math import inf

from analysis.comparing.comparison_wording import median_text
from analysis.comparing.pairs import Chance
from analysis.pad_measures import LAST_WELL
from analysis.pricing.money_answer import usd
from analysis.relaxing.savings import WEEK_DAYS, Saving, Savings
from analysis.statistics import MeanEstimate
from analysis.wording import by_text, date_text, percent, strategy_text

MOST = 3  # limits that a sentence names


def relax_answer(savings: Savings) -> list[str]:
    """Sentences, most important first."""
    return [_as_stated(savings), *_unreached(savings), *_best(savings)]


def gain_text(days: MeanEstimate) -> str:
    """Days gained with their interval."""
    half = f" ± {days.high - days.mean:.1f}" if days.high < inf else ""
    sign = "\N{MINUS SIGN}" if round(days.mean, 1) < 0 else ""
    return f"{sign}{abs(days.mean):.1f}{half}"


def gained_text(saving: Saving) -> str:
    """The mean of the days gained with its interval; where there is none, the median."""
    return f"median {median_text(LAST_WELL, saving.median_h)}" if saving.days is None else gain_text(saving.days)


def _as_stated(savings: Savings) -> str:
    scenario = savings.scenario
    _, middle, late = (24 * chance.value for chance in savings.chances)
    said = by_text(scenario, middle, late)
    return f"{scenario.title}, {strategy_text(scenario)}, as stated: {savings.goal.name} {said}."


def _unreached(savings: Savings) -> list[str]:
    """How often the horizon cuts which plan short, and what cannot be said then."""
    if not savings.cut:
        return []
    n, horizon = savings.played, date_text(savings.scenario, savings.scenario.horizon)
    cut = sorted((each for each in savings.savings if each.unfinished), key=lambda each: -each.unfinished)
    listed = ", ".join(f"{each.unfinished} of {each.week.replications} with {each.limit}" for each in cut[:MOST])
    more = f" and in some with {len(cut) - MOST} others" if len(cut) > MOST else ""
    if savings.unreached:
        said = f"In {savings.unreached} of {n} replications it is not reached by the horizon, {horizon}"
        said += f"; nor in {listed}{more}" if listed else ""
    else:
        said = f"As stated it is always reached by the horizon, {horizon}, but not in {listed}{more}"
    return [
        f"{said}. Where either plan is cut short, the days gained are only known between bounds: medians and shares "
        "are given as far as they hold, but no mean, for it does not exist, and no test against chance. A later "
        "horizon would give both."
    ]


def _best(savings: Savings) -> list[str]:
    if not any(saving.days is not None for saving in savings.savings):
        return [*_by_median(savings), *_week(savings)]
    sure = [saving for saving in savings.savings if saving.gains]
    if not sure:
        return ["Nothing that the plan states as a limit gains a day that could not be chance.", *_week(savings)]
    listed = ", then ".join(f"{saving.limit} ({gained_text(saving)} days)" for saving in sure[:MOST])
    return [f"What gains most on average: {listed}.", *_week(savings), *_dollars(sure[:MOST])]


def _by_median(savings: Savings) -> list[str]:
    """What gains most where there are no means."""
    found = [saving for saving in savings.savings if saving.median_h.low > 0][:MOST]
    listed = ", then ".join(f"{saving.limit} ({median_text(LAST_WELL, saving.median_h)} days)" for saving in found)
    return [f"What gains most in the median: {listed}."] if found else []


def _dollars(sure: list[Saving]) -> list[str]:
    """What each day that is gained so costs or saves, where prices are stated."""
    priced = [(saving.limit, saving.a_day) for saving in sure if saving.a_day is not None]
    if not priced:
        return []
    told = ", ".join(f"{usd(abs(a_day.value))} {_more(a_day.value)} with {limit}" for limit, a_day in priced)
    return [f"At the stated prices the work costs, for each day gained: {told}."]


def _more(usd_a_day: float) -> str:
    return "more" if usd_a_day > 0 else "less"


def _week(savings: Savings) -> list[str]:
    """What buys a week: on average, or of all that is listed, sure or not, in most replications."""
    listed = [saving for saving in savings.savings if not saving.never_binds]
    enough = [each.limit for each in listed if each.gains and each.days is not None and each.days.mean >= WEEK_DAYS]
    if enough:
        return [f"A week on average is bought by: {', '.join(enough)}."]
    likeliest = max(listed, key=lambda each: (each.week.surely, each.is_sure, each.week.perhaps), default=None)
    if likeliest is not None and likeliest.week.surely:
        often = week_text(likeliest.week).split(" [")[0]
        average = "surely buys a week on average" if savings.days is not None else "is known to buy a week on average"
        return [f"Nothing alone {average}; {likeliest.limit} does in {often} of the replications."]
    if any(each.week.perhaps for each in savings.savings):
        return ["Nothing alone is seen to buy a week in any replication; what the horizon hides may."]
    return ["Nothing alone buys a week, on average or in any replication."]


def week_text(week: Chance) -> str:
    """The share of replications in which a week is gained, as far as the horizon leaves it known."""
    most = (week.surely + week.perhaps) / week.replications
    shares = percent(week.share) + (f" to {percent(most)}" if week.perhaps else "")
    return f"{shares} [{100 * week.low:.0f}, {100 * week.high:.0f}]"
