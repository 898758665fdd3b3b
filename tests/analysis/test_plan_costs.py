"""What plans cost and are worth beside the plan as stated: paired, with intervals, and what is said of it."""

from __future__ import annotations

import numpy as np
import pytest
from priced import PRICES, priced_pad
from scipy import stats

from analysis.comparing.comparison import Plans, compare
from analysis.comparing.verdict import Verdict, judge
from analysis.pad_measures import LAST_WELL
from analysis.pricing.amounts import amounts
from analysis.report.plan_costs_told import cost_table, money_sentences
from analysis.report.plan_money import PlanMoney, compare_with_money
from sim.pad import simulate

ONE_BY_ONE = "one by one"
N = 6


def plans(**prices: object) -> Plans:
    """Two wells at a time, and one after the other."""
    stated = {key: price for key, price in (PRICES | prices).items() if price is not None}
    return {
        "base plan": priced_pad(prices=stated),
        ONE_BY_ONE: priced_pad(prices=stated, strategy={"wells_in_rotation": 1}),
    }


def test_costs_are_paired_by_replication() -> None:
    """Student's interval on the differences of every replication, whose overheads are re-added from its own log."""
    comparison, money = compare_with_money(plans(), N, 0, 1, lambda _: None)
    assert comparison.pads["base plan"].equals(compare(plans(), N).pads["base plan"])
    difference = money[ONE_BY_ONE].cost - money["base plan"].cost
    found = money[ONE_BY_ONE].dearer_than(money["base plan"])
    half = stats.t.ppf(0.975, N - 1) * difference.std(ddof=1) / N**0.5
    assert (found.mean, found.high - found.mean) == pytest.approx((difference.mean(), half))
    dearer, plan = plans(overheads={"rentals": "480 USD/day"}), plans()[ONE_BY_ONE]
    _, more = compare_with_money(dearer, N, 0, 1, lambda _: None)
    for number in range(N):
        open_h = sum(row.amount for row in amounts(plan, simulate(plan, number)) if row.what == "pad h")
        assert (more[ONE_BY_ONE].cost - money[ONE_BY_ONE].cost)[number] == pytest.approx(10 * open_h)


def test_without_prices_nothing_is_reckoned() -> None:
    """Plans are compared as before, and no table of costs is made."""
    free = {
        name: priced_pad(prices=None, strategy={"wells_in_rotation": n}) for n, name in ((2, "base plan"), (1, "b"))
    }
    comparison, money = compare_with_money(free, 2, 0, 1, lambda _: None)
    assert money == {}
    assert cost_table(judge(comparison, LAST_WELL), money) is None


def test_where_nothing_is_sold_costs_alone_are_compared() -> None:
    """Without a price of oil there is no value."""
    comparison, money = compare_with_money(plans(oil=None), 3, 0, 1, lambda _: None)
    assert money["base plan"].value is None
    assert money[ONE_BY_ONE].worth_more_than(money["base plan"]) is None
    table = cost_table(judge(comparison, LAST_WELL), money)
    assert table is not None
    assert [cell.text for cell in table.rows[0].cells][-3:] == ["-", "-", "-"]
    assert "Not priced under 'base plan': prices.oil." in table.note


@pytest.fixture(scope="module")
def verdict() -> Verdict:
    return judge(compare(plans(), N), LAST_WELL)


def of(cost: list[float], value: list[float] | None = None) -> PlanMoney:
    return PlanMoney(np.array(cost), None if value is None else np.array(value), ())


COST = [10e6, 11e6, 12e6, 13e6, 14e6, 15e6]


def told(verdict: Verdict, base: PlanMoney, other: PlanMoney, best: str = "base plan") -> str:
    return " ".join(money_sentences(verdict, best, {"base plan": base, ONE_BY_ONE: other}))


def test_a_plan_that_is_worth_more_is_named(verdict: Verdict) -> None:
    """Always about a million cheaper, and worth two more: that goes against the choice by date, and is said."""
    less = [1.0e6, 1.1e6, 0.9e6, 1.0e6, 1.1e6, 0.9e6]
    other = of([a - b for a, b in zip(COST, less, strict=True)], [a + 2 * b for a, b in zip(COST, less, strict=True)])
    said = told(verdict, of(COST, COST), other)
    assert said == (
        "But 'one by one' is worth most, with 95 % confidence: it costs 1.00 million USD less "
        "[906,000 USD to 1.09 million USD] and is worth 2.00 million USD more [1.81 million USD to 2.19 million USD]."
    )
    assert told(verdict, of(COST), of([a - b for a, b in zip(COST, less, strict=True)])).startswith(
        "But 'one by one' is cheapest, with 95 % confidence: it costs 1.00 million USD less"
    )


def test_what_is_best_by_both_or_undecided(verdict: Verdict) -> None:
    """The plan by date is worth most too; or the difference may be chance, and then nobody is ahead."""
    assert told(verdict, of(COST, COST), of(COST, [each - 1e6 for each in COST])) == "It is worth most as well."
    noise = [each + sign * 1e6 for each, sign in zip(COST, (1, -1, 1, -1, 1, 0.9), strict=True)]
    assert told(verdict, of(COST, COST), of(COST, noise)) == "No plan is surely worth more."
    chosen = told(verdict, of(COST, COST), of(COST, [each + 1e6 for each in COST]), best=ONE_BY_ONE)
    assert chosen.startswith("It is worth most as well. It costs the same and is worth 1.00 million USD more")
