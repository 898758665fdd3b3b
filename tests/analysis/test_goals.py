"""Milestones by name, and the row at whose end each is reached, against what the measures say."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given

from analysis.chains.chain import chain_to
from analysis.goals import (
    ALL_ON_PRODUCTION,
    FIRST_PRODUCTION,
    FRACTURED,
    NOT_REACHED,
    NoSuchMilestoneError,
    goal_of,
    reached_by,
)
from analysis.measures import measure
from sim.activities import FACILITY
from sim.log import Log
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from tests.pads import minutes, units, well
from tests.sim.playing import planned, play
from tests.sim.stated_times import Stated
from tests.sim.strategies import SHORT_DAYS, sampled, stated_pads


def reached_h(log: Log, scenario: Scenario, milestone: str) -> float:
    row = reached_by(log, goal_of(scenario, milestone))
    return inf if row == NOT_REACHED else log.intervals[row].end_h


def assert_as_measured(scenario: Scenario, log: Log) -> None:
    measured = measure(log)
    assert reached_h(log, scenario, FIRST_PRODUCTION) == measured.pad.first_production_h
    assert reached_h(log, scenario, ALL_ON_PRODUCTION) == measured.pad.all_on_production_h
    assert reached_h(log, scenario, FRACTURED) == measured.pad.fracturing_end_h
    for row in measured.wells:
        assert reached_h(log, scenario, row.well) == row.on_production_h


@pytest.mark.slow
@sampled(15)
@given(stated_pads())
def test_milestones_are_reached_when_the_measures_say(stated: Stated) -> None:
    """To the bit, on pads of every kind."""
    scenario = load_stated(stated)
    assert_as_measured(scenario, play(scenario))


@sampled(15)
@given(stated_pads(days=SHORT_DAYS))
def test_milestones_beyond_the_horizon_are_not_reached(stated: Stated) -> None:
    """What the horizon cuts short is not done."""
    scenario = load_stated(stated)
    assert_as_measured(scenario, play(scenario))


def two_wells() -> Scenario:
    return planned([well(name, 1, minutes(60), minutes(60), toe=True) for name in ("North 1", "North 2")])


def test_names_are_blind_to_capitals_and_spaces() -> None:
    """As people type them."""
    scenario = two_wells()
    assert goal_of(scenario, "  First   PRODUCTION ").first
    assert goal_of(scenario, "north 2").well == "North 2"
    assert goal_of(scenario, "north 2").name == "North 2 on production"


def test_unknown_milestone_is_refused_with_what_is_known() -> None:
    """The message names the option, the word, the likely meaning and all that could be asked for."""
    with pytest.raises(NoSuchMilestoneError) as refused:
        goal_of(two_wells(), "Nroth 1")
    said = str(refused.value)
    assert "--milestone" in said
    assert "'Nroth 1'; did you mean 'North 1'" in said
    assert all(word in said for word in (FIRST_PRODUCTION, ALL_ON_PRODUCTION, FRACTURED, "North 2"))


def test_a_well_may_be_called_like_a_milestone() -> None:
    """Then the milestone is meant."""
    scenario = planned([well("First production", 1, minutes(60), minutes(60), toe=True)])
    assert goal_of(scenario, FIRST_PRODUCTION).first


def test_one_goal_serves_plans_with_other_stages() -> None:
    """Fracturing is done with the last stage that the plan has, not with that of the plan the goal was made for."""
    goal = goal_of(two_wells(), FRACTURED)
    more = planned([well(name, 3, minutes(60), minutes(60), toe=True) for name in ("North 1", "North 2")])
    log = play(more)
    assert log.intervals[reached_by(log, goal)].end_h == measure(log).pad.fracturing_end_h


NO_LINE = {"rig_up": "6 h", "duration": "10 day", "turn_in_line": "0 h"}


@pytest.mark.parametrize("horizon", ["500 day", "12 day"])
@pytest.mark.parametrize("limit", [None, "1500 bbl/day"])
def test_wells_whose_turn_in_line_takes_no_time_are_on_production_after_what_comes_before_it(
    horizon: str, limit: str | None
) -> None:
    """Flow back, or the spread's wait for the facility, which has no room for the second well until a month later."""
    flow = {"production": {"peak": "1000 bbl/day", "decline": "40 %"}}
    wells = [well(name, 1, minutes(60), minutes(60), toe=True) | flow for name in ("North 1", "North 2")]
    more = {} if limit is None else {"facility": {"limit": limit}}
    scenario = planned(wells, units=units(flowback_spreads=NO_LINE), horizon=horizon, **more)
    log = play(scenario)
    assert_as_measured(scenario, log)
    reached = reached_by(log, goal_of(scenario, ALL_ON_PRODUCTION))
    if horizon == "12 day":
        assert reached == NOT_REACHED
        assert reached_h(log, scenario, FIRST_PRODUCTION) < 11 * 24
        return
    chain = chain_to(goal_of(scenario, ALL_ON_PRODUCTION), log)
    assert chain.end.well == "North 2"
    assert sum(piece.hours for piece in chain.pieces) == pytest.approx(log.intervals[reached].end_h)
    assert (log.intervals[reached].cause == FACILITY) == (limit is not None)
