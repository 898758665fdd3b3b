"""Cash by month and its value: against numpy-financial, and by hand."""

from __future__ import annotations

import numpy as np
import numpy_financial
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from priced import PRICES, played, priced_pad

from analysis.forecasting.forecast import forecast
from analysis.pricing.amounts import Months
from analysis.pricing.cash import earned_by_month, lost_by_a_day, present_value
from analysis.pricing.ledger import reckon
from analysis.pricing.money_answer import money_answer
from analysis.pricing.production import volumes_by
from analysis.pricing.well_flow import flow_of

fixed = settings(derandomize=True, deadline=None, max_examples=100)


@fixed
@given(st.lists(st.floats(-1e7, 1e7), min_size=1, max_size=150), st.floats(0, 1))
def test_value_as_numpy_financial_has_it(cash: list[float], discount: float) -> None:
    """Monthly rate (1 + discount)^(1/12) - 1, the first month undiscounted, as its npv has the first cash flow."""
    monthly = (1 + discount) ** (1 / 12) - 1
    expected = numpy_financial.npv(monthly, cash)
    assert present_value(np.array(cash), discount) == pytest.approx(expected, rel=1e-9, abs=1e-3)


def test_value_by_hand() -> None:
    """1000 now, 1100 after twelve months at 10 % a year."""
    cash = np.zeros(13)
    cash[0], cash[12] = -1000, 1100
    assert present_value(cash, 0.10) == pytest.approx(0, abs=1e-9)


def test_what_a_barrel_brings() -> None:
    """50 USD of oil and 1.5 mcf at 2 USD, less 20 % royalty, then 5 % tax, 5 USD to run and 1 USD for its water."""
    forecast = played()
    flow = flow_of(forecast.scenario, 0, forecast.wells, forecast.shut_ins)
    ends = Months(forecast.scenario, 24 * 720).ends_h
    oil = volumes_by(flow, [ends[-1]]).oil[:, 0]
    assert forecast.scenario.prices is not None
    earned = earned_by_month(forecast.scenario.prices, flow, ends)
    assert earned.sum(axis=1) == pytest.approx(oil * (53 * 0.8 * 0.95 - 5 - 1))
    assert earned.shape == (6, 25)


def test_value_is_that_of_net_cash() -> None:
    """Numpy-financial on the cash of each replication gives its value; all months are there."""
    money = reckon(played()).money
    assert money is not None
    assert money.value is not None
    assert len(money.cash.months) == 25
    assert money.cash.months[0] == "2027-01"
    values = [numpy_financial.npv(1.12 ** (1 / 12) - 1, row) for row in money.cash.net]
    assert money.value.mean.mean == pytest.approx(np.mean(values))


@pytest.mark.parametrize("days", [11.75, 30, 60, 300])
def test_value_counts_no_month_after_the_span(days: float) -> None:
    """Nearer than the horizon too; a span to the end of a month is checked on the cash of each month up to there."""
    prices = PRICES | {"evaluated_over": f"{days} day"}
    found = reckon(forecast(priced_pad(prices=prices), 6))
    whole, money = reckon(played()).money, found.money
    assert money is not None
    assert whole is not None
    assert money.value is not None
    assert money.values is not None
    months = Months(priced_pad(), 24 * days)
    assert len(money.cash.months) == 11
    paid = whole.cash.paid[:, : len(months.names)]
    assert (money.total, money.unfinished) == (whole.total, 0)
    flow = flow_of(priced_pad(), 0, played().wells, played().shut_ins)
    oil = np.diff(volumes_by(flow, months.ends_h).oil, axis=1, prepend=0.0)
    net = oil * (53 * 0.8 * 0.95 - 5 - 1) - paid
    assert money.values == pytest.approx([numpy_financial.npv(1.12 ** (1 / 12) - 1, row) for row in net])
    said = " ".join(money_answer(found))
    assert (f"over the first {days:.0f} days" in said) == (days < 300)
    assert money.notes[-1].endswith(f"after {days:.0f} days are not counted.")


def test_a_value_that_ends_before_the_horizon_is_known_of_unfinished_work() -> None:
    """Whatever comes after the horizon, it comes after the span that counts."""
    prices = PRICES | {"evaluated_over": "8 day"}
    found = reckon(forecast(priced_pad(prices=prices, horizon="9 day"), 6)).money
    assert found is not None
    assert found.unfinished > 0
    assert found.values is not None
    assert np.isfinite(found.values).all()
    assert np.isinf(found.costs).any()


def test_a_day_later_loses_what_a_shifted_plan_loses() -> None:
    """By moving every date on production by 24 h in the table itself."""
    forecast = played()
    scenario = forecast.scenario
    assert scenario.prices is not None
    flow = flow_of(scenario, 0, forecast.wells, forecast.shut_ins)
    moved = forecast.wells.assign(on_production_h=forecast.wells["on_production_h"] + 24)
    later = flow_of(scenario, 0, moved, forecast.shut_ins)
    ends = Months(scenario, 24 * 720).ends_h
    values = [present_value(earned_by_month(scenario.prices, each, ends), 0.12) for each in (flow, later)]
    assert lost_by_a_day(scenario.prices, flow, ends) == pytest.approx(values[0] - values[1])
    assert (values[0] > values[1]).all()


def test_months_are_those_of_the_calendar() -> None:
    """Start on 20 January at 06:00: the first month ends after 11 days and 18 hours; spans are shared out exactly."""
    months = Months(priced_pad(), 24 * 60)
    assert months.names == ["2027-01", "2027-02", "2027-03"]
    assert months.ends_h[:2] == [11 * 24 + 18, (11 + 28) * 24 + 18]
    parts = months.parts(280.0, 1000.0)
    assert [name for name, _ in parts] == ["2027-01", "2027-02", "2027-03"]
    assert sum(hours for _, hours in parts) == pytest.approx(720)
    assert parts[0][1] == pytest.approx(282 - 280)
    assert (months.at(282.0), months.at(282.1)) == ("2027-01", "2027-02")
