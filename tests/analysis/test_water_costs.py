"""Cost of water by its source, re-added by hand from what the log says that each source gave."""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise

import pytest
from priced import of_one, priced_pad

from analysis.pricing.ledger import reckon
from analysis.pricing.money import Money
from analysis.pricing.tariff import unpriced
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import NOW

BY_SOURCE = {"water_by_source": {"River": "0.40 USD/bbl"}, "water": "0.80 USD/bbl"}


def money_of(scenario: Scenario, log: Log) -> Money:
    found = reckon(of_one(scenario, log)).money
    assert found is not None
    return found


def taken_usd(scenario: Scenario, log: Log) -> dict[str, float]:
    """Cost of water by source: every line added up."""
    lines = money_of(scenario, log).lines_of(0)
    return lines.groupby("item")["cost"].sum().to_dict()


def test_water_of_steady_sources_is_what_went_in() -> None:
    """Three quarters from the river at 40 cents, the rest at 80; 4000 bbl on hand are not paid for, a full tank is.

    What stages and runs draw; what is left in the tank at the end of the last has been taken as well.
    """
    water = {
        "sources": [{"name": "River", "rate": "30 kbbl/day"}, {"name": "Line", "rate": "10 kbbl/day"}],
        "storage": {"capacity": "20 kbbl", "on_hand": "4 kbbl", "erect": NOW},
    }
    scenario = priced_pad(water=water, prices=BY_SOURCE)
    log = simulate(scenario)
    rows = [row for row in log.levels if row.supply == "water"]
    drawn = sum(row.outflow * (after.time_h - row.time_h) for row, after in pairwise(rows))
    left = next(after.level for row, after in reversed(list(pairwise(rows))) if row.outflow > 0)
    assert drawn > 12 * 2000
    bbl = drawn + left - 4000
    assert taken_usd(scenario, log) == {
        "River": pytest.approx(0.75 * bbl * 0.40),
        "Line": pytest.approx(0.25 * bbl * 0.80),
    }


def test_who_is_drawn_from_first_is_paid_first() -> None:
    """A line of 12 kbbl/day: the river gives all its 9, the other source what is left."""
    water = {
        "sources": [{"name": "River", "rate": "9 kbbl/day"}, {"name": "Line", "rate": "9 kbbl/day", "priority": 2}],
        "transfer": {"limit": "12 kbbl/day", "lay": NOW},
        "storage": {"capacity": "20 kbbl", "erect": NOW, "fill_to": 0},
    }
    scenario = priced_pad(water=water, prices=BY_SOURCE)
    usd = taken_usd(scenario, simulate(scenario))
    assert usd["River"] / 0.40 == pytest.approx(3 * usd["Line"] / 0.80)


def test_water_of_a_network_is_what_its_sources_gave() -> None:
    """River by way of a pond, with a permit; a line stopped for a week; flowback water: added up from the rows by hand.

    Flowback water costs nothing unless its price is stated.
    """
    water = {
        "sources": [
            {"name": "River", "rate": "20 kbbl/day", "daily_limit": "5 kbbl", "to": "Pond"},
            {"name": "Line", "rate": "4 kbbl/day", "stopped": {"from": "2027-01-21", "until": "2027-01-28"}},
        ],
        "ponds": [
            {
                "name": "Pond",
                "capacity": "9 kbbl",
                "on_hand": "3 kbbl",
                "outlet": "30 kbbl/day",
                "losses": "50 bbl/day",
            },
        ],
        "storage": {"capacity": "6 kbbl", "erect": NOW, "fill_to": "3 kbbl"},
        "flowback_to": "Pond",
    }
    scenario = priced_pad(water=water, prices=BY_SOURCE)
    log = simulate(scenario)
    drawn = [row for row in log.levels if row.supply == "water"]
    end_h = max(after.time_h for row, after in pairwise(drawn) if row.outflow > 0)
    gave: dict[str, float] = defaultdict(float)
    for name in ("River", "Line", "flowback water"):
        rows = [row for row in log.levels if row.supply == name and row.time_h < end_h]
        for row, ends_h in zip(rows, [*(row.time_h for row in rows[1:]), end_h], strict=True):
            gave[name] += row.outflow * (ends_h - row.time_h)
    assert gave["River"] + gave["Line"] > 2000 * 12 - 3000
    assert taken_usd(scenario, log) == {
        "River": pytest.approx(0.40 * gave["River"]),
        "Line": pytest.approx(0.80 * gave["Line"]),
    }
    assert money_of(scenario, log).notes[0].startswith("Water is paid for as taken from its source")


def test_a_run_without_volumes_by_source_says_so() -> None:
    """As those had that were played before logs were read for them."""
    water = {"sources": [{"name": "River", "rate": "30 kbbl/day"}], "storage": {"capacity": "20 kbbl", "erect": NOW}}
    scenario = priced_pad(water=water, prices=BY_SOURCE)
    assert not any("by_source" in each for each in unpriced(scenario, {"water bbl", "taken bbl"}))
    assert any("prices.water_by_source (this run holds no" in each for each in unpriced(scenario, {"water bbl"}))
