"""Where the days go in three or four sentences, for whoever reads no further."""

from __future__ import annotations

from analysis.chains.chain_groups import DATES, KINDS, TROUBLE, WAITING, WORK
from analysis.chains.chain_summary import Part, WhereDaysGo
from analysis.goals import FIRST_PRODUCTION
from analysis.wording import by_text, date_text, percent, strategy_text

_SAID = {WORK: "are work", DATES: "wait for dates that the plan states", WAITING: "are waiting", TROUBLE: "are trouble"}


def chain_answer(where: WhereDaysGo) -> list[str]:
    """Sentences, most important first."""
    if where.days is None:
        return [_unreached(where)]
    sentences = [_whole(where, where.days), _split(where)]
    if where.reached < where.played:
        sentences.append(_unreached(where))
    return sentences + _wells(where)


def days_said(tenths: int) -> str:
    """A mean in tenths of a day as days."""
    return f"{tenths / 10:.1f}"


def spread_of(part: Part) -> str:
    """Half the interval of a mean; nothing where one replication alone says nothing of it."""
    half = part.mean.high - part.mean.mean
    return f" ± {half:.1f}" if half < float("inf") else ""


def _whole(where: WhereDaysGo, days: Part) -> str:
    """By when it is done, over all replications, and how long it takes those that get there."""
    scenario = where.scenario
    _, middle, late = (quantile.value for quantile in where.dates)
    only = "" if where.reached == where.played else " where it is reached"
    return (
        f"{scenario.title}, {strategy_text(scenario)}: {where.goal.name} {by_text(scenario, middle, late)}; "
        f"on average that takes {days_said(days.shown)}{spread_of(days)} days from the start{only}."
    )


def _split(where: WhereDaysGo) -> str:
    shown = {kind: sum(part.shown for part in where.kinds.get(kind, ())) for kind in KINDS}
    told = [
        f"{days_said(shown[kind])} {_SAID[kind]} ({_largest(where.kinds[kind])})"
        for kind in sorted(KINDS, key=lambda each: -shown[each])
        if shown[kind]
    ]
    return f"Of these days {'; '.join(told)}." if told else "It takes no time."


def _largest(parts: tuple[Part, ...]) -> str:
    if len(parts) == 1:
        return parts[0].name
    return ", ".join(f"{part.name} {days_said(part.shown)}" for part in parts[:3] if part.shown)


def _wells(where: WhereDaysGo) -> list[str]:
    """Which well it is, where it may be this or that."""
    if where.goal.well or len(where.scenario.wells) == 1:
        return []
    which = "first" if where.goal.name == FIRST_PRODUCTION else "last"
    if len(where.last_wells) == 1:
        return [f"The {which} well is {where.last_wells[0][0]} in every replication."]
    told = [f"{well} in {percent(count / where.reached)}" for well, count in where.last_wells[:4]]
    return [f"The {which} well is {', '.join(told)} of the replications."]


def _unreached(where: WhereDaysGo) -> str:
    horizon = date_text(where.scenario, where.scenario.horizon)
    missed = where.played - where.reached
    left_out = ", and the days below are those of the others" if where.reached else ""
    which = f"In {missed} of {where.played} replications {where.goal.name}"
    return f"{which} is not reached by the horizon, {horizon}{left_out}."
