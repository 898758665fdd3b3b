"""Where the days go over many replications: it adds up, says what it leaves out, and carries intervals."""

from __future__ import annotations

from functools import partial
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.chains.chain import Chain, EndRow, PieceRow, chain_to
from analysis.chains.chain_answer import chain_answer
from analysis.chains.chain_groups import DATES, GROUPS, OTHER, TROUBLE, TROUBLES, WAITING, WORK, group_of, kind_of
from analysis.chains.chain_summary import FIXED, NO_UNIT, WhereDaysGo, where_days_go
from analysis.goals import ALL_ON_PRODUCTION, goal_of
from analysis.statistics import mean_interval, quantile_interval, share_interval
from sim import activities
from sim.replications import replicate
from sim.scenario.scenario import Scenario
from tests.pads import minutes, well
from tests.sim.playing import planned
from tests.sim.strategies import sampled

PLAN = planned([well(name, 1, minutes(60), minutes(60), toe=True) for name in ("A", "B")])
SOME = (
    ("work", "rig release", ""),
    ("wait", "arrival", "Fleet A"),
    ("work", "pump stage", "Fleet A"),
    ("wait", "weather", "Fleet A"),
    ("trouble", "screen-out", "Fleet A"),
    ("work", "flow back", "Flowback spread 1"),
)


def chain(replication: int, hours: list[float], well: str = "A") -> Chain:
    pieces = [PieceRow(replication, *what, each) for what, each in zip(SOME, hours, strict=True) if each]
    return Chain(EndRow(replication, sum(hours), well), pieces)


def told(chains: list[Chain], scenario: Scenario = PLAN) -> WhereDaysGo:
    return where_days_go(scenario, goal_of(scenario, ALL_ON_PRODUCTION), 0, len(chains), chains)


def assert_adds_up(where: WhereDaysGo) -> None:
    assert where.days is not None
    tables = [[part for parts in where.kinds.values() for part in parts], where.groups, where.units]
    for parts in tables:
        assert sum(part.shown for part in parts) == where.days.shown
        assert sum(part.mean.mean for part in parts) == pytest.approx(where.days.mean.mean)
        assert all(abs(part.shown - 10 * part.mean.mean) <= 1 + FIXED for part in parts)


@sampled(40)
@given(st.lists(st.lists(st.floats(0, 300), min_size=len(SOME), max_size=len(SOME)), min_size=1, max_size=8))
def test_every_table_adds_up(hours: list[list[float]]) -> None:
    """Means as they are and as they are shown, whatever the rounding."""
    assert_adds_up(told([chain(number, each) for number, each in enumerate(hours)]))


def test_parts_are_estimated_over_replications() -> None:
    """A replication without a part counts as none of its days, not as none of the replications."""
    where = told(
        [chain(0, [0, 24, 48, 24, 0, 24]), chain(1, [0, 24, 72, 0, 48, 24], "B"), chain(2, [0, 24, 48, 0, 0, 24])]
    )
    weather = next(part for part in where.kinds[WAITING] if part.name == "weather")
    assert weather.mean == mean_interval([1.0, 0.0, 0.0])
    assert weather.quantiles == tuple(quantile_interval([1.0, 0.0, 0.0], chance) for chance in (0.1, 0.5, 0.9))
    assert weather.on_chain == share_interval(1, 3)
    assert [part.name for part in where.kinds[DATES]] == ["until Fleet A arrives"]
    assert [part.name for part in where.kinds[WORK]] == ["pump stage", "flow back"]
    assert where.last_wells == (("A", 2), ("B", 1))
    assert {part.name for part in where.units} == {"Fleet A", "Flowback spread 1"}


def test_what_needs_no_unit_is_told_as_such() -> None:
    """Rig releases and watching pressure belong to nobody."""
    where = told([chain(0, [24, 0, 24, 0, 0, 0])])
    assert {part.name for part in where.units} == {NO_UNIT, "Fleet A"}
    assert [part.name for part in where.kinds[DATES]] == ["until rig release"]


def test_replications_that_do_not_get_there_are_counted_and_said() -> None:
    """Their chains are left out; the sentence says how many."""
    where = told([chain(0, [0, 24, 48, 0, 0, 0]), Chain(EndRow(1, inf, ""), [])])
    assert (where.played, where.reached) == (2, 1)
    assert [quantile.value for quantile in where.dates] == [72, 72, inf]  # over both, not over the one
    assert "every well on production by 4 Mar (P50), with 90 % confidence only beyond" in chain_answer(where)[0]
    assert any("In 1 of 2 replications every well on production is not reached" in each for each in chain_answer(where))
    assert_adds_up(where)


def test_nothing_reached_is_an_answer_too() -> None:
    """No table, one sentence."""
    where = told([Chain(EndRow(0, inf, ""), [])])
    assert where.days is None
    assert len(chain_answer(where)) == 1
    assert "In 1 of 1 replications" in chain_answer(where)[0]


def test_trifles_are_told_together_and_last() -> None:
    """Two parts below 0.05 days each become one line."""
    trifles = [PieceRow(0, "trouble", name, "Fleet A", 0.5) for name in ("misrun", "pump failure")]
    where = told([Chain(EndRow(0, 49, "A"), [PieceRow(0, "trouble", "screen-out", "Fleet A", 48), *trifles])])
    assert [part.name for part in where.kinds[TROUBLE]] == ["screen-out", "2 smaller ones"]
    assert where.kinds[TROUBLE][1].mean.mean == pytest.approx(1 / 24)


@pytest.mark.parametrize("activity", sorted(activities.WAITING_FOR))
def test_every_activity_belongs_to_a_trade(activity: str) -> None:
    """None is told as "other"."""
    assert group_of("work", activity) in set(GROUPS) - {OTHER, TROUBLES}
    assert kind_of("work", activity) == (DATES if activity == activities.RIG_RELEASE else WORK)


@pytest.mark.parametrize(
    "reason", [*sorted(activities.WAITING_FOR), "water: source", activities.FRAC_STACK, "unheard of"]
)
def test_every_wait_belongs_to_a_group_that_pictures_show(reason: str) -> None:
    """What has no group of its own is told as "other"."""
    assert group_of("wait", reason) in GROUPS
    assert (group_of("wait", activities.RIG_UP), group_of("wait", "water: source")) == (OTHER, activities.WATER)


def test_means_are_those_of_the_milestone() -> None:
    """What the chains of a real pad add up to is when its last well is on production."""
    uncertain = [well(name, 3, minutes(60), {"pert": ["1 h", "2 h", "5 h"]}, toe=True) for name in ("A", "B")]
    scenario = planned(uncertain)
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    chains = replicate(scenario, 12, reduce=partial(chain_to, goal)).results
    where = where_days_go(scenario, goal, 0, 12, chains)
    assert where.days is not None
    assert where.days.mean.mean == pytest.approx(np.mean([each.end.reached_h for each in chains]) / 24)
    assert_adds_up(where)
