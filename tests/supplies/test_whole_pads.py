"""Whole pads with a network of water and other supplies: all balances, and shortages say their name."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import pytest

from analysis.forecasting.answer import answer
from analysis.forecasting.forecast import forecast
from analysis.forecasting.summary import summarise
from analysis.wording import date_text
from sim.activities import FLOW_BACK, MILL_PLUGS, PUMP_STAGE, WATER, supply_of
from sim.audit import CLOSE, violations
from sim.log import Log
from sim.pad import StuckError, simulate
from sim.physics.flowback_water import returned_bbl, returned_steps
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario

RULES = ["full stage on hand", "enough to finish", "as it comes"]


def stated(rule: str = RULES[0], **water: Any) -> dict[str, Any]:
    """Two wells of twelve stages with everything that a water system can have, and chemicals and fuel beside it."""
    well = {"measured_depth": "15000 ft", "lateral_length": "5000 ft", "stages": 12}
    design = {"fluid": "9000 bbl", "rate": "90 bbl/min", "pump_down": "100 bbl"}
    more = {"stage_design": design, "flowback_water": {"rate": "3000 bbl/day", "decline": "8 %"}}
    system = {
        "start_rule": rule,
        "sources": [
            {"name": "River", "rate": "55 kbbl/day", "daily_limit": "40 kbbl", "hours": "06:00-22:00", "to": "Pond"}
            | {"outages": {"up": "3 day", "down": "10 h"}},
            {"name": "Wells", "rate": "15 kbbl/day", "open": {"from": "2027-03-01", "until": "2027-03-09"}}
            | {"to": "Trunk"},
            {"name": "Produced", "rate": "10 kbbl/day", "priority": 2}
            | {"stopped": [{"from": "2027-03-05", "until": "2027-03-06 12:00"}]},
        ],
        "ponds": [
            {"name": "Pond", "capacity": "60 kbbl", "on_hand": "20 kbbl", "outlet": "50 kbbl/day", "to": "Trunk"}
            | {"losses": "300 bbl/day", "working_minimum": "5 kbbl"},
            {"name": "Recycle", "capacity": "4 kbbl", "outlet": "20 kbbl/day", "blend_limit": "30 %"},
        ],
        "lines": [{"name": "Trunk", "limit": "45 kbbl/day"}],
        "transfer": {"limit": "60 kbbl/day"},
        "storage": {"capacity": "20 kbbl", "fill_to": "15 kbbl", "working_minimum": "1 kbbl"},
        "flowback_to": "Recycle",
    }
    units = {
        "preparation_crews": {"hours": "day shift"},
        "pumping_fleets": {"name": "Fleet", "hours": "06:00-02:00"},
        "wireline_units": {"priority": 2},
        "milling_rigs": {"water_per_plug": "30 bbl", "water_loss": "0.5 bbl/min", "priority": 3},
        "flowback_spreads": {},
    }
    return {
        "start": "2027-03-01 06:00",
        "horizon": "120 day",
        "wells": [{"name": name} | well | more for name in "AB"],
        "units": units,
        "water": system | water,
        "other_supplies": {
            "chemicals": {"per_stage": "20 bbl", "rate": "120 bbl/day", "capacity": "30 bbl"},
            "fuel": {"per_hour": "10 bbl/h", "rate": "150 bbl/day", "capacity": "40 bbl", "start_rule": "as it comes"},
        },
        "strategy": {"wells_in_rotation": 1},
        "troubles": {"screen-out": {"chance": "10 %"}},
        "shifts": {},
    }


def flows(log: Log) -> dict[str, tuple[float, float, float]]:
    """Of each store, pond and source: what flowed in and out, and what was turned away or lost, up to the last row."""
    end_h = max(row.time_h for row in log.levels)
    rows_of: dict[str, list] = defaultdict(list)
    for row in log.levels:
        rows_of[row.supply].append(row)
    found = {}
    for supply, rows in rows_of.items():
        ends = [*(row.time_h for row in rows[1:]), end_h]
        spans = [(row, until - row.time_h) for row, until in zip(rows, ends, strict=True)]
        found[supply] = tuple(
            sum(getattr(row, flow) * hours for row, hours in spans) for flow in ("inflow", "outflow", "turned_away")
        )
    return found  # type: ignore[return-value]


@pytest.mark.parametrize("rule", RULES)
def test_everything_balances_with_everything_on(rule: str) -> None:
    """Every store and the whole network, to a millionth; and what is drawn is what the work is designed to take."""
    scenario = load_stated(stated(rule))
    for number in range(3):
        log = simulate(scenario, number, 2)
        assert violations(log, scenario) == []
        assert log.cut_short == 0
        _, drawn, _ = flows(log)[WATER]
        assert drawn == pytest.approx(wanted_bbl(log), rel=CLOSE)
        assert flows(log)["chemicals"][1] == pytest.approx(24 * 20, rel=CLOSE)


def wanted_bbl(log: Log) -> float:
    """Stages, runs, plugs, and what circulation lost in the hours of milling."""
    hours = sum(row.end_h - row.start_h for row in log.intervals if row.activity == MILL_PLUGS and row.kind == "work")
    return 24 * 9000.0 + 22 * 100.0 + 2 * 11 * 30.0 + hours * 0.5 * 60


@pytest.mark.parametrize("rule", RULES)
def test_what_flows_back_is_kept_recycled_or_turned_away(rule: str) -> None:
    """Each well returns what its decline gives over its hours of flowback; the pond that is full takes no more."""
    scenario = load_stated(stated(rule))
    log = simulate(scenario, 1, 2)
    returned, kept, turned_away = flows(log)["flowback water"]
    assert returned == pytest.approx(kept + turned_away)
    assert log.feeders["flowback water"] == "source"
    assert log.feeders["Pond"] == "pond"
    begins_h = min(row.start_h for row in log.intervals if row.activity == FLOW_BACK)
    assert min(row.time_h for row in log.levels if row.supply == "flowback water" and row.inflow > 0) == begins_h
    assert kept > 0


def test_steps_of_returned_water_have_the_exact_volume_of_each_day() -> None:
    """3000 bbl/day, 10 % less a day: the integral of 3000 x 0.9^t; in all 3000 / -ln 0.9 without end."""
    steps = returned_steps(125.0, 0.1, 10.0, 60.0)
    assert [step[:2] for step in steps] == [(10, 34), (34, 58), (58, 70)]
    volumes = [rate * (until_h - from_h) for from_h, until_h, rate in steps]
    assert volumes[0] == pytest.approx(3000 * 0.1 / 0.105360515657826)
    assert volumes[1] == pytest.approx(0.9 * volumes[0])
    assert sum(volumes) == pytest.approx(returned_bbl(125.0, 0.1, 60.0))
    assert returned_bbl(125.0, 0.1, 1e6) == pytest.approx(28473.665, rel=1e-6)


def test_same_luck_whatever_the_names_of_others() -> None:
    """The outages of a source are its own: another source moves none of them."""
    plan, more = stated(), stated()
    more["water"]["sources"] = [*more["water"]["sources"], {"name": "Brook", "rate": "1 bbl/day"}]

    def river_h(scenario: Scenario) -> set[float]:
        rows = [row for row in simulate(scenario, 0, 5).levels if row.supply == "River"]
        return {row.time_h for row, before in zip(rows[1:], rows, strict=False) if row.inflow == 0 < before.inflow}

    assert river_h(load_stated(plan)) & river_h(load_stated(more))


def test_waits_name_the_supply_and_its_part() -> None:
    """With little fuel, pumping slows for fuel; with a small line, it waits for that."""
    short = stated()
    short["other_supplies"]["fuel"]["rate"] = "60 bbl/day"
    log = simulate(load_stated(short))
    causes = {row.cause for row in log.intervals if row.activity == PUMP_STAGE and row.kind == "wait"}
    assert "fuel: source" in causes
    assert "fuel" in {supply_of(cause) for cause in causes}


def test_a_pad_that_starves_says_of_what_and_since_when() -> None:
    """The only source closes for good with the pad half done.

    Around the clock nothing can happen any more, and the error says why; with shifts the crew comes each day in vain,
    and is cut short at the horizon.
    """
    river = {"name": "River", "rate": "30 kbbl/day", "open": {"from": "2027-03-01", "until": "2027-03-09"}}
    plan = stated(sources=[river], ponds=[], lines=[], flowback_to=None)
    log = simulate(load_stated(plan))
    assert log.cut_short > 0
    assert "water: source" in {row.cause for row in log.intervals if row.unit == "Fleet" and row.end_h > 110 * 24}
    plan["units"]["pumping_fleets"] = {"name": "Fleet"}
    del plan["shifts"]
    with pytest.raises(StuckError, match=r"Fleet waits for water: source since hour \d+"):
        simulate(load_stated(plan))


def test_the_answer_of_a_starved_pad_names_the_supply() -> None:
    """First from the hour at which the first wait for water begins in the middle one of three replications."""
    river = {"name": "River", "rate": "30 kbbl/day", "open": {"from": "2027-03-01", "until": "2027-03-09"}}
    scenario = load_stated(stated(sources=[river], ponds=[], lines=[], flowback_to=None))
    logs = [simulate(scenario, number) for number in range(3)]
    first = [min(row.start_h for row in log.intervals if supply_of(row.cause) == WATER) for log in logs]
    (said,) = (text for text in answer(summarise(forecast(scenario, 3))) if text.startswith("Units wait for"))
    assert said.startswith("Units wait for water, most for want of its source: ")
    assert said.endswith(f" h in the mean, first on {date_text(scenario, sorted(first)[1])} (P50).")
