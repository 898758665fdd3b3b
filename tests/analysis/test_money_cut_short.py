"""Cost and value of replications that the horizon cuts short: a lower bound, and unknown."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from priced import played, priced_pad

from analysis.checking.estimates import estimate, estimate_within
from analysis.forecasting.forecast import forecast
from analysis.pricing.ledger import Ledger, reckon
from analysis.pricing.money import Money
from analysis.pricing.money_answer import money_answer
from analysis.pricing.money_exports import ledger_of, money_named, table_csv
from analysis.report import headline
from analysis.report.money import money as section
from analysis.report.plan_money import PlanMoney

N = 20


@cache
def cut(days: int, replications: int = N) -> Ledger:
    return reckon(forecast(priced_pad(horizon=f"{days} day"), replications))


def money_of(ledger: Ledger) -> Money:
    assert ledger.money is not None
    return ledger.money


def test_bounds_of_an_amount() -> None:
    """Whole, they are the plain estimate; a quantile among the unknown is infinite, and no mean is given."""
    values = np.arange(1.0, 101.0)
    assert estimate_within(values, values, as_most=True) == estimate(values)
    most = np.where(values > 85, np.inf, values)
    found = estimate_within(values, most, as_most=True)
    assert [each.value for each in found.quantiles] == [10, 50, np.inf]
    assert found.mean.mean == np.inf
    least = np.where(values > 85, -np.inf, values)
    worst = estimate_within(least, most, as_most=False)
    assert [each.value for each in worst.quantiles] == [-np.inf, 35, 75]
    assert worst.quantiles[1].low <= 35
    assert worst.quantiles[1].high >= 50  # holds the P50 also if the unknown are the largest


def test_an_unfinished_plan_has_no_cost_and_no_value() -> None:
    """The same pad, cut off while its wells flow back, says that cost and value are unknown, never a smaller sum."""
    whole, short = money_of(reckon(played())), cut(5)
    money = money_of(short)
    assert (whole.unfinished, money.unfinished) == (0, N)
    assert whole.spent == whole.total
    assert {each.value for each in money.total.quantiles} == {np.inf}
    assert money.value is not None
    assert {each.value for each in money.value.quantiles} == {-np.inf}
    said = " ".join(money_answer(short))
    assert f"What the work costs is unknown: in {N} of {N} replications not every well is on production" in said
    assert "What the plan is worth, and what a day loses, is unknown" in said
    assert "By the horizon it has cost" in said
    assert "Discounted at" not in said
    assert (max(money.cash.months), max(whole.cash.months)) == ("2027-01", "2029-01")


def test_where_some_are_unfinished_the_rest_still_says_something() -> None:
    """Costs of finished replications are those of a far horizon; unfinished ones come after all of them."""
    far, near = forecast(priced_pad(), N), cut(60)
    everything, money = money_of(reckon(far)), money_of(near)
    late = far.pads["all_on_production_h"].to_numpy() >= 60 * 24
    assert 0 < money.unfinished == late.sum() < N / 2
    assert np.isinf(money.costs).tolist() == late.tolist()
    assert money.costs[~late] == pytest.approx(everything.costs[~late])
    assert money.values is not None
    assert everything.values is not None
    assert money.values[~late] == pytest.approx(everything.values[~late])
    assert money.total.middle == np.sort(money.costs)[N // 2 - 1]
    said = money_answer(near)
    assert f"in {money.unfinished} of {N} replications not every well is on production by the horizon" in said[0]
    assert "that are unfinished at the horizon count as worth less than any other" in said[1]
    assert "inf" not in " ".join(said)


def test_tables_tile_and_files_say_so() -> None:
    """The note stands at the table of costs and in the tile; files leave empty what is unknown."""
    ledger = cut(5)
    tile = headline._cost(cast("Any", SimpleNamespace(ledger=ledger)))
    assert tile.answer == "unknown"
    note = f"{N} of {N} replications unfinished: costs to the horizon only."
    assert note in tile.lines
    tables = [part for part in section(cast("Any", SimpleNamespace(ledger=ledger)), {}).parts if part.kind == "table"]
    assert tables[0].caption == "Costs to the horizon, thousand USD"
    assert all(note in tables[place].note for place in (0, -1))
    plain = {row["name"]: row for row in ledger_of(ledger)["money"]["costs"]}
    assert plain["cost"]["P50"]["value"] is None
    assert plain["present value"]["mean"] is None
    assert plain["cost by the horizon"]["P50"]["value"] > 0
    rows = [(of, name, each.mean.mean) for of, name, _, each in money_named(money_of(ledger))]
    assert '"category, to the horizon",day rates' in table_csv((), rows)


def test_plans_cut_short_have_no_mean_difference() -> None:
    """Not zero, and no error: whatever comes after the horizon is in neither."""
    whole = PlanMoney(np.array([1.0, 2.0]), np.array([5.0, 6.0]), ())
    short = PlanMoney(np.array([1.0, np.inf]), np.array([5.0, np.nan]), ())
    for one, other in ((whole, short), (short, whole), (short, short)):
        assert one.dearer_than(other).mean == np.inf
        worth = one.worth_more_than(other)
        assert worth is not None
        assert worth.mean == np.inf
    assert whole.dearer_than(whole).mean == 0
