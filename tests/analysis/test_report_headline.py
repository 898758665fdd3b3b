"""The first screen of a report: what it advises and warns of, in cases that can be decided by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pandas as pd
import pytest

from analysis.chains.chain import Chain, EndRow, PieceRow
from analysis.chains.chain_summary import where_days_go
from analysis.comparing.comparison import Comparison
from analysis.comparing.verdict import judge
from analysis.goals import ALL_ON_PRODUCTION, goal_of
from analysis.measures import PadRow
from analysis.pad_measures import LAST_WELL
from analysis.report import headline
from analysis.report.content import Played
from analysis.report.headline import biggest_risk
from analysis.report.playing import is_choice
from tests.pads import pad as plan
from tests.pads import well

DAY = 24.0


def played_plans(**hours: list[float]) -> Any:
    """A verdict on plans from the hours of their last well; only those are looked at."""
    scenario = plan([well("A 1", 1, "10 min", "10 min", toe=True)], {"wells_in_rotation": 1})
    pads = {}
    for name, values in hours.items():
        blank: dict[str, Any] = dict.fromkeys(PadRow._fields, 0.0)
        rows = [blank | {"replication": k, "all_on_production_h": value} for k, value in enumerate(values)]
        pads[name] = pd.DataFrame(rows)
    return judge(Comparison(dict.fromkeys(pads, scenario), 0, len(values), pads), LAST_WELL)


def tile_of(name: str, played: Played) -> Any:
    """A tile from what was played for the report; the others need no run here."""
    return getattr(headline, f"_{name}")(SimpleNamespace(played=played))


STEPS = [DAY * (10 + k % 5) for k in range(30)]


@pytest.mark.parametrize(
    ("other", "answer", "said"),
    [
        ([each + 48 for each in STEPS], "Keep the plan as stated", "2.0 days earlier than 'other' in the mean [2.0"),
        ([each - 24 for each in STEPS], "Change to 'other'", "1.0 days earlier than 'base' in the mean [1.0"),
        (STEPS, "Keep the plan as stated", "have the same last date in every replication"),
        ([each + (-1) ** k for k, each in enumerate(STEPS)], "Keep the plan as stated", "no alternative surely is"),
    ],
)
def test_recommendation(other: list[float], answer: str, said: str) -> None:
    """A change is only advised where it is surely earlier."""
    tile = tile_of("recommendation", Played(30, choices=played_plans(base=STEPS, other=other)))
    assert tile.answer == answer
    assert said in " ".join(tile.lines)


def test_no_recommendation_without_alternatives() -> None:
    """And the reason is told."""
    tile = tile_of("recommendation", Played(remarks=("Nobody stated any.",)))
    assert (tile.answer, tile.lines) == ("not compared", ("Nobody stated any.",))


@pytest.mark.parametrize(
    ("patches", "choosable"),
    [
        ({"strategy.wells_in_rotation": 1}, True),
        ({"units.wireline_units.count": 2, "water.transfer.limit": "1 kbbl/day"}, True),
        ({"trouble_factor": 0}, False),
        ({"strategy.wells_in_rotation": 1, "weather.spells": {}}, False),
    ],
)
def test_what_is_somebodys_to_choose(patches: dict[str, Any], choosable: bool) -> None:
    """A plan without weather is no strategy."""
    assert is_choice(patches) is choosable


def chains(*pieces: tuple[str, str, float]) -> list[Chain]:
    """The same chain in each of four replications: kind, reason and days."""
    total = sum(days for *_, days in pieces) * DAY
    return [
        Chain(
            EndRow(k, total, "A 1"), [PieceRow(k, kind, reason, "Fleet", days * DAY) for kind, reason, days in pieces]
        )
        for k in range(4)
    ]


def where_of(found: list[Chain]) -> Any:
    """Where the days of these chains go."""
    scenario = plan([well("A 1", 1, "10 min", "10 min", toe=True)], {"wells_in_rotation": 1})
    return where_days_go(scenario, goal_of(scenario, ALL_ON_PRODUCTION), 0, len(found), found)


@pytest.mark.parametrize(
    ("wait", "trouble", "answer", "days"),
    [
        (3.0, 2.0, "waiting: weather", "3.0 ± 0.0 of 15.0 days"),
        (1.0, 2.5, "trouble: screen-out", "2.5 ± 0.0 of 13.5 days"),
    ],
)
def test_biggest_risk(wait: float, trouble: float, answer: str, days: str) -> None:
    """The largest piece of the chain that is waiting or trouble, however much work there is."""
    where = where_of(chains(("work", "pump stage", 10), ("wait", "weather", wait), ("trouble", "screen-out", trouble)))
    tile = tile_of("risk", Played(4, where=where))
    assert tile.answer == answer
    assert tile.lines[0].startswith(days)


def test_no_risk_without_waiting_and_trouble() -> None:
    """Nothing is invented."""
    content: Any = SimpleNamespace(played=Played(4, where=where_of(chains(("work", "pump stage", 10)))))
    assert biggest_risk(content) is None
    assert tile_of("risk", content.played).answer == "nothing"
