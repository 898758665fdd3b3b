"""Money, production and fuel in sentences, for whoever reads no further."""

from __future__ import annotations

from math import inf, isinf

from analysis.checking.estimates import UNKNOWN, Estimate
from analysis.pricing.ledger import Ledger
from analysis.pricing.money import Money, waiting_share
from analysis.wording import date_text, percent

MILLION, THOUSAND = 1e6, 1e3


def money_answer(ledger: Ledger) -> list[str]:
    """Sentences on what is known, most important first; what is missing comes last."""
    said = [] if ledger.money is None else _of_money(ledger, ledger.money)
    return said + _of_production(ledger)


def usd(amount: float) -> str:
    """A sum with three figures: 16.1 million USD, 54,800 USD; what is infinite is unknown."""
    if isinf(amount):
        return UNKNOWN
    size = abs(amount)
    if size >= 0.9995 * MILLION:
        return f"{_figures(amount / MILLION)} million USD"
    return f"{_figures(amount)} USD"


def _figures(number: float) -> str:
    """Three figures, whole above a hundred; nothing is 0."""
    if number == 0:
        return "0"
    digits = max(0, 2 - len(f"{abs(number):.0f}") + 1) if abs(number) >= 1 else 2
    step = 10 ** max(0, len(f"{abs(number):.0f}") - 3)
    return f"{round(number / step) * step:,.0f}" if digits == 0 else f"{number:,.{digits}f}"


def _of_money(ledger: Ledger, money: Money) -> list[str]:
    said = [_cost(ledger, money)] if money.has_costs else []
    if money.value is not None:
        said.append(_value(ledger, money))
    return [*said, *missing(money)]


def _cost(ledger: Ledger, money: Money) -> str:
    if money.unfinished:
        sentence = _cost_at_least(ledger, money)
    else:
        sentence = f"The work costs {usd(money.total.middle)} (P50), {_no_more(money.total)}{_a_stage(money)}"
    waits, of = list(money.waiting), "what is paid by then" if money.unfinished else "it"
    if waits and waiting_share(money) > 0:
        sentence += f". Waiting is {percent(waiting_share(money))} of {of}, most for {', then '.join(waits[:2])}"
    return f"{sentence}."


def _cost_at_least(ledger: Ledger, money: Money) -> str:
    """The cost of replications that the horizon cuts short is only known to be more than what is paid by then."""
    horizon = date_text(ledger.scenario, ledger.scenario.horizon)
    share = f"{money.unfinished} of {len(money.costs)} replications"
    why = f"in {share} not every well is on production by the horizon, {horizon}"
    spent = f"{why}, and the work goes on. By the horizon it has cost {usd(money.spent.middle)} (P50)"
    _, middle, late = money.total.quantiles
    if isinf(middle.value):
        return f"What the work costs is unknown: {spent}"
    most = "what it costs at most with 90 % confidence (P90) is unknown" if isinf(late.value) else _no_more(money.total)
    return f"The work costs {usd(middle.value)} (P50){_a_stage(money)}; {most}: {spent}"


def _a_stage(money: Money) -> str:
    found = money.per_stage
    return "" if found is None or isinf(found.middle) else f"; {usd(found.middle)} a stage"


def _spread(found: Estimate) -> str:
    """P50, and from P10 to P90 in the measure of the larger."""
    low, _, high = (quantile.value for quantile in found.quantiles)
    sizes = [abs(each) for each in (low, high) if not isinf(each)]
    scale = MILLION if max(sizes, default=0.0) >= 0.9995 * MILLION else 1.0
    unit = " million" if scale > 1 and not isinf(high) else ""
    ends = (UNKNOWN if isinf(each) else _figures(each / scale) for each in (low, high))
    return f"P50; from P10 to P90 {' to '.join(ends)}{unit}"


def _no_more(found: Estimate) -> str:
    return f"no more than {usd(found.quantiles[2].value)} with 90 % confidence (P90)"


def _value(ledger: Ledger, money: Money) -> str:
    assert money.value is not None
    assert money.later_day is not None
    assert ledger.scenario.prices is not None
    rate = percent(ledger.scenario.prices.discount)
    share = f"{money.unfinished} of {len(money.costs)} replications"
    if isinf(money.value.middle):
        return f"What the plan is worth, and what a day loses, is unknown: {share} are unfinished at the horizon."
    sentence = (
        f"Discounted at {rate} a year{_span(ledger)} the plan is worth {usd(money.value.middle)} at the start "
        f"({_spread(money.value)})"
    )
    if isinf(min(each.value for each in money.value.quantiles)) or money.value.mean.mean == inf:
        sentence += f"; the {share} that are unfinished at the horizon count as worth less than any other"
    if not isinf(money.later_day.middle):
        sentence += f". Each day by which all wells come later loses {usd(money.later_day.middle)} of that"
    if money.standby_day > 0:
        sentence += f"; a day on which fracturing stands still costs {usd(money.standby_day)}"
    return f"{sentence}."


def _span(ledger: Ledger) -> str:
    """The span that counts, where it is shorter than anybody would think."""
    assert ledger.scenario.prices is not None
    over_h = ledger.scenario.prices.evaluated_over
    return f", over the first {over_h / 24:.0f} days," if over_h < ledger.scenario.horizon else ""


def missing(money: Money) -> list[str]:
    """What has no price, or nothing to sell."""
    if not money.missing:
        return []
    value = "" if money.value is not None else " Without production and the price of oil there is no value."
    left_out = " What is not priced is left out of every sum."
    return [f"Not stated, hence not priced: {', '.join(money.missing)}.{left_out}{value}"]


def _of_production(ledger: Ledger) -> list[str]:
    found = ledger.produced
    if found is None:
        return []
    horizon = date_text(ledger.scenario, ledger.scenario.horizon)
    sentence = f"By the horizon, {horizon}, the pad gives {barrels(found.oil.middle)} of oil ({_spread(found.oil)})"
    lost = [
        f"{barrels(each.mean.mean)} {why}"
        for each, why in (
            (found.lost_to_shut_ins, "lost by then to shut-ins for fracturing beside"),
            (found.held_back, "held back by a full facility"),
        )
        if 0 < each.mean.mean < inf
    ]
    sentence += f"; {', '.join(lost)} (means)" if lost else ""
    unknown = f" Production of {', '.join(found.unknown)} is not stated." if found.unknown else ""
    share = f"{found.unfinished} of {found.replications} replications"
    late = f" What is not on production by then, in {share}, gives nothing." if found.unfinished else ""
    return [f"{sentence}.{unknown}{late}"]


def barrels(volume: float) -> str:
    """A volume with three figures: 1.11 million bbl."""
    if abs(volume) >= 0.9995 * MILLION:
        return f"{_figures(volume / MILLION)} million bbl"
    return f"{_figures(volume)} bbl"
