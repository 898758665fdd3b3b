"""When wells flow and what they give: shut-ins, a full facility, luck by name, quantiles over replications."""

from __future__ import annotations

from math import inf
from typing import Any

import numpy as np
import pandas as pd
import pytest
from priced import PRODUCTION, played, priced_pad

from analysis.checking.estimates import AMOUNTS
from analysis.pricing.money_terminal import production_table
from analysis.pricing.production import held_back_bbl, lost_to_shut_ins_bbl, produced, volumes_by
from analysis.pricing.well_flow import Flow, ages_days, flow_of, flowing_days, oil_bbl
from sim.physics.production import cumulative_bbl
from sim.scenario.scenario import Scenario
from tests.pads import NOW, units

SHUT_IN = ("replication", "well", "start_h", "end_h")


def flow(
    scenario: Scenario, on_h: list[list[float]], shut_in: list[tuple[int, str, float, float]] | None = None
) -> Flow:
    """Wells on production at stated hours, replication by replication."""
    rows = [(k, well.name, at) for k, row in enumerate(on_h) for well, at in zip(scenario.wells, row, strict=True)]
    wells = pd.DataFrame(rows, columns=["replication", "well", "on_production_h"])
    return flow_of(scenario, 0, wells, pd.DataFrame(shut_in or [], columns=list(SHUT_IN)))


def with_production(**changes: Any) -> Scenario:
    """The pad, its production changed."""
    scenario = priced_pad()
    stated = type(scenario.wells[0].production).model_validate(PRODUCTION | changes)
    wells = tuple(each.model_copy(update={"production": stated}) for each in scenario.wells)
    return scenario.model_copy(update={"wells": wells})


def test_a_well_gives_what_its_curve_says() -> None:
    """From its first hour on; one that is not on production by the horizon gives nothing."""
    scenario = priced_pad()
    found = flow(scenario, [[0.0, 240.0, inf]])
    curve = scenario.wells[0].production.curve  # type: ignore[union-attr] # stated above
    oil = oil_bbl(found, ages_days(found, 1200.0))[0]
    assert oil.tolist() == pytest.approx([float(cumulative_bbl(curve, 50)), float(cumulative_bbl(curve, 40)), 0.0])


def test_a_shut_in_well_is_younger_by_what_it_missed() -> None:
    """Shut in for 5 of 50 days it has given what it gives in 45; the difference is what the shut-in cost."""
    scenario = priced_pad()
    found = flow(scenario, [[0.0, inf, inf]], [(0, "w1", 480.0, 600.0)])
    curve = scenario.wells[0].production.curve  # type: ignore[union-attr] # stated above
    assert flowing_days(found, 540.0)[0, 0] == pytest.approx(20)
    assert flowing_days(found, 1200.0)[0, 0] == pytest.approx(45)
    expected = float(cumulative_bbl(curve, 50)) - float(cumulative_bbl(curve, 45))
    assert lost_to_shut_ins_bbl(found, 1200.0) == pytest.approx([expected])


def test_the_facility_is_never_overrun() -> None:
    """Day by day all wells together keep to the limit; what is held back comes later, and is lost only by then."""
    scenario = with_production(plateau="20 day").model_copy(update={"facility": limit(1500)})
    found = flow(scenario, [[0.0, 24.0, 300.0], [0.0, 0.0, 0.0]], [(1, "w2", 500.0, 800.0)])
    total = volumes_by(found, [24.0 * day for day in range(400)]).oil
    daily = np.diff(total, axis=1)
    assert daily.max() == pytest.approx(1500, rel=1e-6)
    assert daily.max() <= 1500 * (1 + 1e-6)
    free = flow(with_production(plateau="20 day"), [[0.0, 24.0, 300.0], [0.0, 0.0, 0.0]], [(1, "w2", 500.0, 800.0)])
    lost = [held_back_bbl(found, 24.0 * day) for day in (100, 3000)]
    unlimited = volumes_by(free, [2400.0]).oil[:, 0] - volumes_by(found, [2400.0]).oil[:, 0]
    assert lost[0] == pytest.approx(unlimited)
    assert (lost[0] > 1000).all()
    assert (lost[1] < lost[0]).all()
    assert np.diff(daily[:, 200:], axis=1).max() <= 1e-6


def in_small_steps(found: Flow, at_days: float, shut_in: tuple[float, float] | None, step: float = 0.05) -> float:
    """Oil of the pad by a day, stepped through: what wells of their age give, all cut alike to the limit."""
    oil, ages, on = 0.0, np.zeros(len(found.wells)), found.on_h[0] / 24
    for at in np.arange(on.min(), at_days - step / 2, step) + step / 2:
        flows = (at >= on) & ~(np.arange(len(on)) == 0) if shut_in and shut_in[0] <= at < shut_in[1] else at >= on
        could = [float(cumulative_bbl(each.curve, age + step)) for each, age in zip(found.stated, ages, strict=True)]
        have = [float(cumulative_bbl(each.curve, age)) for each, age in zip(found.stated, ages, strict=True)]
        wanted = (np.array(could) - have) @ (flows * 1.0)
        share = min(1.0, found.limit_bbl_per_day * step / wanted) if wanted > 0 else 1.0
        oil, ages = oil + share * wanted, ages + share * step * flows
    return oil


@pytest.mark.parametrize("third_h", [120.0, 600.0])
def test_under_a_full_facility_shut_ins_cost_only_what_others_do_not_make_up(third_h: float) -> None:
    """Against stepping through the days with and without the shut-in: two wells fill the facility, one does not."""
    scenario = with_production(plateau="20 day").model_copy(update={"facility": limit(1500)})
    found = flow(scenario, [[0.0, 120.0, third_h]], [(0, "w1", 480.0, 600.0)])
    expected = in_small_steps(found, 45, None) - in_small_steps(found, 45, (20, 25))
    assert lost_to_shut_ins_bbl(found, 24.0 * 45) == pytest.approx([expected], abs=60)
    assert (expected < 300) == (third_h == 120.0)


def test_oil_after_a_year_does_not_depend_on_the_horizon() -> None:
    """Wells that the facility holds back for longer than the plan looks ahead; no prices state a span either."""
    on_h = [[0.0, 24.0, 1200.0]]
    said = []
    for horizon in (60, 420):
        update = {"facility": limit(900), "horizon": 24.0 * horizon, "prices": None}
        scenario = with_production(plateau="200 day").model_copy(update=update)
        found = produced(scenario, flow(scenario, on_h)).wells
        said.append([[each.mean.mean for each in found[well].values()][:3] for well in found])
    assert np.array(said[0]) == pytest.approx(np.array(said[1]))
    alone = float(cumulative_bbl(scenario.wells[0].production.curve, 365))  # type: ignore[union-attr] # stated above
    assert said[0][0][2] < 0.8 * alone


def test_oil_of_a_well_that_is_not_on_production_is_unknown() -> None:
    """It has given nothing by the horizon; a year after it comes on it will have given something."""
    scenario = priced_pad()
    found = produced(scenario, flow(scenario, [[0.0, 240.0, inf], [0.0, inf, inf]])).wells
    assert [each.mean.mean for each in found["w3"].values()][:3] == [inf] * 3
    assert found["w3"]["horizon"].mean.mean == 0
    year = float(cumulative_bbl(scenario.wells[0].production.curve, 365))  # type: ignore[union-attr] # stated above
    assert [each.value for each in found["w2"]["365"].quantiles] == pytest.approx([-inf, -inf, year])
    table = production_table(produced(scenario, flow(scenario, [[0.0, 240.0, inf]])))
    assert [list(column.cells)[2] for column in table.columns[1:]] == ["unknown"] * 3 + ["0.0\n0.0 - 0.0"]


def limit(bbl_per_day: float) -> Any:
    from sim.scenario.supplies import Facility

    return Facility.model_validate({"limit": f"{bbl_per_day} bbl/day"})


def test_a_facility_that_is_large_enough_changes_nothing() -> None:
    """Three peaks of 800 fit into 2400."""
    found = flow(priced_pad().model_copy(update={"facility": limit(2400)}), [[0.0, 0.0, 0.0]])
    assert found.held is None
    assert held_back_bbl(found, 5000.0).tolist() == [0.0]


def test_luck_goes_by_seed_replication_and_name() -> None:
    """The same well meets the same luck beside others; it scales its volume all its life; the mean is that stated."""
    lucky = with_production(factor={"lognormal": {"mean": 1.2, "cv": 0.4}})
    many = [[0.0, 0.0, 0.0]] * 600
    found = flow(lucky, many)
    alone = flow(lucky.model_copy(update={"wells": lucky.wells[1:2]}), [[0.0]] * 600)
    assert (found.factor[:, 1] == alone.factor[:, 0]).all()
    assert len(np.unique(found.factor)) == found.factor.size
    error = found.factor.std() / np.sqrt(found.factor.size)
    assert abs(found.factor.mean() - 1.2) < 4 * error
    plain = flow(priced_pad(), many)
    assert oil_bbl(found, ages_days(found, 900.0)) == pytest.approx(
        oil_bbl(plain, ages_days(plain, 900.0)) * found.factor
    )


def test_gas_and_water_go_with_the_oil() -> None:
    """1.5 mcf with each barrel, and as much water as oil at a cut of half."""
    volumes = volumes_by(flow(priced_pad(), [[0.0, 5.0, 50.0]]), [2000.0])
    assert volumes.gas == pytest.approx(1.5 * volumes.oil)
    assert volumes.water == pytest.approx(volumes.oil)


def test_the_answer_over_replications() -> None:
    """P10 is the low volume here, as the convention says; wells sum to the pad in the mean."""
    forecast = played()
    found = produced(forecast.scenario, flow_of(forecast.scenario, 0, forecast.wells, forecast.shut_ins))
    low, middle, high = (quantile.value for quantile in found.oil.quantiles)
    assert low <= middle <= high
    assert "90 % chance of no more" in AMOUNTS
    assert sum(each["horizon"].mean.mean for each in found.wells.values()) == pytest.approx(found.oil.mean.mean)
    assert found.unknown == ()
    assert [each["30"].mean.mean for each in found.wells.values()] == pytest.approx(
        [float(cumulative_bbl(forecast.scenario.wells[0].production.curve, 30))] * 3  # type: ignore[union-attr]
    )


def test_the_log_of_a_pad_with_neighbours_shut_in() -> None:
    """Shut-ins of the log reach the volumes: with wells kept clear, a well on production loses oil to fracturing."""
    from analysis.forecasting.forecast import forecast

    order = {"wells_in_rotation": 1, "keep_clear": 2, "order": ["w1", "w4", "w2", "w3"]}
    scenario = priced_pad(
        4, strategy=order, units=units(flowback_spreads={"rig_up": NOW, "duration": "1 h", "turn_in_line": "1 h"})
    )
    done = forecast(scenario, 3)
    found = flow_of(scenario, 0, done.wells, done.shut_ins)
    assert len(done.shut_ins) > 0
    missed = (done.shut_ins["end_h"] - done.shut_ins["start_h"]).sum() / 24
    days = flowing_days(found, 7000.0, shut_ins=False) - flowing_days(found, 7000.0)
    assert days.sum() == pytest.approx(missed)
    assert produced(scenario, found).lost_to_shut_ins.mean.mean > 0
