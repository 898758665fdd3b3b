"""The first screen: by when, for how much, which strategy, and what the plan loses most days to."""

from __future__ import annotations

from math import inf, isinf
from typing import NamedTuple

from analysis.chains.chain_answer import days_said, spread_of
from analysis.chains.chain_groups import TROUBLE, WAITING
from analysis.chains.chain_summary import Part as ChainPart
from analysis.checking.estimates import Estimate
from analysis.comparing.comparison_wording import difference_text, interval_text, likelier, quantile_text
from analysis.comparing.verdict import Verdict
from analysis.forecasting.summary import Milestone
from analysis.pricing.money_answer import usd
from analysis.report.content import Content
from analysis.report.dates import date_bounds
from analysis.report.plan_costs_told import money_sentences
from analysis.wording import BEYOND, date_text, in_words, percent

LONGEST = 60  # letters of a name in a tile


class Tile(NamedTuple):
    """What is asked, the answer in large letters, and a line or two on it."""

    label: str
    answer: str
    lines: tuple[str, ...]
    name: str


def tiles(content: Content) -> list[Tile]:
    """What a manager takes away."""
    wells = len(content.scenario.wells)
    of_all = (
        "On production" if wells == 1 else f"{'Both' if wells == 2 else f'All {in_words(wells)}'} wells on production"
    )
    found = [] if wells == 1 else [_date(content, "First production", "First production", "first")]
    found.append(_date(content, "Every well on production", of_all, "last"))
    return [*found, _cost(content), _recommendation(content), _risk(content)]


def _date(content: Content, name: str, label: str, tile: str) -> Tile:
    milestone, scenario = content.summary.milestone(name), content.scenario
    _, middle, late = milestone.quantiles
    return Tile(
        label,
        date_text(scenario, late.value),
        (
            "with 90 % confidence (P90)" + _bounds(content, milestone, 2),
            f"P50: {date_text(scenario, middle.value)}" + _bounds(content, milestone, 1),
        ),
        tile,
    )


def _bounds(content: Content, milestone: Milestone, which: int) -> str:
    found = milestone.quantiles[which]
    if found.low_rank is None and found.high_rank is None:
        return "; too few replications for an interval"
    return f" [{date_bounds(content.scenario, found)}]"


def _cost(content: Content) -> Tile:
    money = content.ledger.money
    if money is None or not money.has_costs:
        return Tile("Cost", "not priced", ("The plan states no prices, so no cost is given.",), "cost")
    _, middle, late = money.total.quantiles
    lines = [
        f"at most, with 90 % confidence (P90) {_sum_bounds(money.total, 2)}",
        f"P50: {usd(middle.value)} {_sum_bounds(money.total, 1)}",
    ]
    if isinf(middle.value):
        lines = [f"by the horizon P50: {usd(money.spent.middle)} {_sum_bounds(money.spent, 1)}"]
    if money.unfinished:
        lines.append(f"{money.cut_short}.")
    if money.missing:
        lines.append("Without what is not priced; see Money.")
    return Tile("Cost", usd(late.value), tuple(lines), "cost")


def _sum_bounds(found: Estimate, which: int) -> str:
    each = found.quantiles[which]
    low = "?" if each.low_rank is None else usd(each.low).removesuffix(" million USD").removesuffix(" USD")
    return f"[{low} to {'?' if each.high_rank is None else usd(each.high)}]"


def _recommendation(content: Content) -> Tile:
    verdict = content.played.choices
    if verdict is None:
        why = content.played.remarks or ("The plan states no alternative that is somebody's to choose.",)
        return Tile("Which strategy", "not compared", why, "strategy")
    base, best, bests = verdict.names[0], verdict.in_order[0], verdict.ranking.possible_bests
    if len(bests) > 1:
        return _undecided(content, verdict, best, [verdict.names[number] for number in bests])
    answer = "Keep the plan as stated" if best == base else f"Change to '{shortened(best)}'"
    said = (_lead(verdict, best, verdict.rival), *_by_date(content, best))
    return Tile("Which strategy", answer, said, "strategy")


BY_DATE = "By the date of the last well, under the same luck."


def _by_date(content: Content, best: str) -> tuple[str, ...]:
    """What was looked at, and whether the plan is best by money too."""
    verdict, money = content.played.choices, content.played.money
    if verdict is None or not money:
        return (f"{BY_DATE} Costs are not compared: the plan states no prices.",)
    return (" ".join((BY_DATE, *money_sentences(verdict, best, money))),)


def _level_with(verdict: Verdict, best: str, bests: list[str]) -> bool:
    """Whether all that may be the best are the same in every replication."""
    n = verdict.comparison.replications
    return all(verdict.pair(best, each).level == n for each in bests if each != best)


def _undecided(content: Content, verdict: Verdict, best: str, bests: list[str]) -> Tile:
    listed = " and ".join(f"'{shortened(name)}'" for name in bests)
    keep, level = verdict.names[0] in bests, _level_with(verdict, best, bests)
    others = [name for name in verdict.in_order if name not in bests]
    if level and others:
        said = (
            f"{listed} have the same last date in every replication. {_lead(verdict, verdict.in_order[0], others[0])}"
        )
    elif level:
        said = f"{listed} have the same last date in every replication."
    else:
        more = "no alternative surely is" if keep else "more replications may decide"
        said = f"{listed} may each be the earliest; {more}."
    return Tile(
        "Which strategy",
        "Keep the plan as stated" if keep else "Undecided",
        (said, *_by_date(content, verdict.names[0] if keep else best)),
        "strategy",
    )


def _lead(verdict: Verdict, best: str, other: str) -> str:
    """By how much the best leads another plan."""
    pair, measure = verdict.pair(best, other), verdict.measure
    middle = quantile_text(verdict.comparison.base, measure, verdict.quantiles[best][1])
    sentence = f"'{shortened(best)}' has its last well by {middle} (P50)"
    if pair.mean is None:
        return f"{sentence}, {likelier(measure, pair)} replications than '{shortened(other)}'."
    near, far = sorted((abs(pair.mean.low), abs(pair.mean.high)))
    by = f"{difference_text(measure, pair.mean.mean)} than '{shortened(other)}' in the mean"
    return f"{sentence}, {by} {interval_text(measure, near, far)}."


def biggest_risk(content: Content) -> tuple[str, ChainPart] | None:
    """The largest piece of the chain that is waiting or trouble, and which of the two it is."""
    where = content.played.where
    if where is None:
        return None
    pieces = [(kind, part) for kind in (WAITING, TROUBLE) for part in where.kinds.get(kind, ())]
    named = [(kind, part) for kind, part in pieces if not part.name.endswith("smaller ones")]
    return max(named, key=lambda each: each[1].mean.mean, default=None)


def _risk(content: Content) -> Tile:
    label = "What the plan loses most days to"
    found, where = biggest_risk(content), content.played.where
    if found is None or where is None or where.days is None:
        unreached = where is not None and where.days is None
        why = (
            f"Not every well is on production by the horizon: {BEYOND}."
            if unreached
            else "Nothing waits, nothing fails."
        )
        return Tile(label, "unknown" if unreached else "nothing", (why,), "risk")
    kind, part = found
    answer = f"waiting: {part.name}" if kind == WAITING else f"trouble: {part.name}"
    often = percent(part.on_chain.share)
    late = part.quantiles[2]
    days = (
        f"{days_said(part.shown)}{spread_of(part)} of {days_said(where.days.shown)} days to the last well, in the mean"
    )
    return Tile(
        label, answer, (days, f"P90: {late.value:.1f} days{_day_bounds(part)}; on the chain in {often}"), "risk"
    )


def _day_bounds(part: ChainPart) -> str:
    late = part.quantiles[2]
    low = "?" if late.low_rank is None else f"{late.low:.1f}"
    return f" [{low}, {'?' if late.high_rank is None or late.high == inf else f'{late.high:.1f}'}]"


def shortened(name: str) -> str:
    """A name as a tile has room for it."""
    return name if len(name) <= LONGEST else f"{name[: LONGEST - 1]}…"
