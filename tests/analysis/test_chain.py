"""The chain to a milestone: pads whose chain is known by hand, and what must hold on any pad."""

from __future__ import annotations

import pickle
from fractions import Fraction
from functools import partial
from itertools import pairwise
from math import inf
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

import sim
from analysis.chains.chain import chain_to, links
from analysis.goals import ALL_ON_PRODUCTION, NOT_REACHED, OF_PAD, goal_of, reached_by
from sim.activities import FACILITY, OUTSIDE_HOURS, STAND_BY
from sim.log import Interval
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from tests.pads import NOW, minutes, units, well
from tests.sim.playing import LATE_FLOWBACK, length_h, planned, play
from tests.sim.stated_times import Stated
from tests.sim.strategies import SHORT_DAYS, sampled, stated_pads

BY_HAND = Path(__file__).parents[2] / "scenarios" / "one_well_by_hand.yaml"
ZIPPER = {"wells_in_rotation": 2, "swap": {"time": NOW}}


def rows_to(scenario: Scenario, milestone: str = ALL_ON_PRODUCTION) -> list[Interval]:
    log = simulate(scenario)
    return links(log, reached_by(log, goal_of(scenario, milestone)))


def told(rows: list[Interval]) -> list[tuple[float, float, str, str]]:
    """Start, end, what, and where, with the pieces of one thing joined."""
    found: list[tuple[float, float, str, str]] = []
    for row in rows:
        what, where = row.cause or row.activity, row.well
        if found and found[-1][2:] == (what, where):
            found[-1] = (found[-1][0], row.end_h, what, where)
        else:
            found.append((row.start_h, row.end_h, what, where))
    return found


def test_chain_of_the_well_worked_out_by_hand() -> None:
    """The fleet comes late, then fleet, wireline and water take turns; the comments of the file hold every hour."""
    scenario = sim.load(BY_HAND)
    chain = chain_to(goal_of(scenario, "Hand 1"), simulate(scenario))
    assert (chain.end.reached_h, chain.end.well) == (pytest.approx(234), "Hand 1")
    hours = {piece[1:4]: piece.hours for piece in chain.pieces}
    assert hours == pytest.approx(
        {
            ("wait", "arrival", "Fleet"): 24,
            ("work", "rig up", "Fleet"): 12,
            ("work", "pump stage", "Fleet"): 10,
            ("wait", "water: source", "Fleet"): 0.4 + 1.35 + 1.45,
            ("work", "plug and perforate", "Wireline"): 2.85 + 2.75 + 2.65 + 2.55,
            ("work", "rig up", "Milling rig"): 8,
            ("work", "trip in", "Milling rig"): 3,
            ("work", "mill plugs", "Milling rig"): 1,
            ("work", "trip out", "Milling rig"): 2,
            ("work", "rig down", "Milling rig"): 4,
            ("work", "rig up", "Flowback spread"): 12,
            ("work", "flow back", "Flowback spread"): 120,
            ("work", "turn in line", "Flowback spread"): 24,
        }
    )


def zipper(runs_min: dict[str, float], pump_min: float) -> Scenario:
    """Two wells of two stages, both toes open, two wireline units."""
    wells = [well(name, 2, minutes(run_min), minutes(pump_min), toe=True) for name, run_min in runs_min.items()]
    return planned(wells, ZIPPER, units=units(2, flowback_spreads=LATE_FLOWBACK))


def test_busy_fleet_is_the_chain() -> None:
    """Pumping takes longer than a run: the fleet pumps A, B, A, B without a pause, and wireline is on no chain."""
    assert told(rows_to(zipper({"A": 30, "B": 30}, 120), "fracturing done")) == [
        (0, 2, "pump stage", "A"),
        (2, 4, "pump stage", "B"),
        (4, 6, "pump stage", "A"),
        (6, 8, "pump stage", "B"),
    ]


def test_waiting_fleet_is_replaced_by_what_it_waits_for() -> None:
    """A is done at 4 h, but B is perforated until 7 h: the fleet's pumping of A is on no chain to the end."""
    assert told(rows_to(zipper({"A": 120, "B": 300}, 60), "fracturing done")) == [
        (0, 1, "pump stage", "A"),
        (1, 2, "pump stage", "B"),
        (2, 7, "plug and perforate", "B"),
        (7, 8, "pump stage", "B"),
    ]


def test_one_wireline_unit_for_two_wells_is_the_chain() -> None:
    """It perforates A until 6 h and then B until 11 h: its own row before counts, for B was there long ago."""
    wells = [well(name, 2, minutes(300), minutes(60), toe=True) for name in ("A", "B")]
    scenario = planned(wells, ZIPPER)
    assert told(rows_to(scenario, "fracturing done")) == [
        (0, 1, "pump stage", "A"),
        (1, 6, "plug and perforate", "A"),
        (6, 11, "plug and perforate", "B"),
        (11, 12, "pump stage", "B"),
    ]


def late_parts(**more: Any) -> Scenario:
    """A well that is released by its drilling rig at 10 h and takes two hours to nipple up."""
    stated = well("A", 1, minutes(60), minutes(60), toe=True, rig_release="2027-03-01 10:00")
    stated["preparation"] = {"nipple_up": "2 h", "pressure_test": NOW}
    fleet = {"rig_up": "3 h", "rig_down": NOW, **more}
    return planned([stated], units=units(pumping_fleets=fleet, flowback_spreads=LATE_FLOWBACK))


def test_late_drilling_rig_is_on_the_chain() -> None:
    """The fleet is there in time: rig release, preparation, pumping."""
    scenario = late_parts(arrives="2027-03-01 08:00")
    assert told(rows_to(scenario, "fracturing done")) == [
        (0, 10, "rig release", "A"),
        (10, 12, "nipple up", "A"),
        (12, 13, "pump stage", "A"),
    ]


def test_late_fleet_is_on_the_chain_and_preparation_is_not() -> None:
    """The well is prepared at 12 h; the fleet arrives at 20 h and rigs up."""
    scenario = late_parts(arrives="2027-03-01 20:00")
    assert told(rows_to(scenario, "fracturing done")) == [
        (0, 20, "arrival", ""),
        (20, 23, "rig up", ""),
        (23, 24, "pump stage", "A"),
    ]


def test_scarce_frac_stack_leads_through_drill_out_of_the_other_well() -> None:
    """One stack for two wells: B is nippled up once A is drilled out."""
    wells = [well(name, 1, minutes(60), minutes(120), toe=True) for name in ("A", "B")]
    for each in wells:
        each["preparation"] = {"nipple_up": "5 h", "pressure_test": NOW}
    milling = {"rig_up": "4 h", "rig_down": NOW, "per_plug": NOW, "run_in": "16000 ft/min", "pull_out": "16000 ft/min"}
    stated = units(flowback_spreads=LATE_FLOWBACK, milling_rigs=milling) | {"frac_stacks": 1}
    rows = rows_to(planned(wells, {"wells_in_rotation": 1, "between_groups": NOW}, units=stated), "B")
    assert [what for _, _, what, where in told(rows) if where == "A"][:3] == ["nipple up", "pump stage", "rig up"]
    assert [what for _, _, what, where in told(rows) if where == "B"][:2] == ["nipple up", "pump stage"]


def test_night_is_on_the_chain_where_the_crew_waits_for_its_shift() -> None:
    """Released at 20 h, nippled up from 30 h on (06:00): the wait is that of the crew, and its cause is the shift."""
    stated = well("A", 1, minutes(60), minutes(60), toe=True, rig_release="2027-03-01 20:00")
    stated["preparation"] = {"nipple_up": "2 h", "pressure_test": NOW}
    crews = {"hours": "day shift"}
    scenario = planned([stated], units=units(preparation_crews=crews, flowback_spreads=LATE_FLOWBACK))
    assert told(rows_to(scenario, "fracturing done")) == [
        (0, 20, "rig release", "A"),
        (20, 30, "outside hours", ""),
        (30, 32, "nipple up", "A"),
        (32, 33, "pump stage", "A"),
    ]


def test_milestone_beyond_the_horizon_has_no_chain() -> None:
    """It is counted, with nothing on it."""
    scenario = planned([well("A", 1, minutes(60), "40 day", toe=True)], horizon="30 day")
    end, pieces = chain_to(goal_of(scenario, ALL_ON_PRODUCTION), simulate(scenario))
    assert (end.reached_h, end.well, pieces) == (inf, "", [])


def assert_chains_cover_the_span(scenario: Scenario) -> None:
    log = play(scenario)
    for name in (*OF_PAD, *(each.name for each in scenario.wells)):
        goal = goal_of(scenario, name)
        last = reached_by(log, goal)
        if last == NOT_REACHED:
            continue
        rows = links(log, last)
        assert rows[0].start_h == 0
        assert all(row.end_h == following.start_h for row, following in pairwise(rows))
        assert sum(map(length_h, rows), Fraction(0)) == Fraction(log.intervals[last].end_h)
        assert {row.cause for row in rows if row.activity == STAND_BY} <= {
            FACILITY,
            OUTSIDE_HOURS,
        }  # all other reasons have rows
        chain = chain_to(goal, log)
        assert sum(piece.hours for piece in chain.pieces) == pytest.approx(chain.end.reached_h, rel=1e-12)
        assert all(piece.hours > 0 for piece in chain.pieces)


@pytest.mark.slow
@sampled(20)
@given(stated_pads())
def test_chain_of_every_milestone_covers_the_span_without_gap(stated: Stated) -> None:
    """From hour zero to the milestone, to the bit, with every option on and off."""
    assert_chains_cover_the_span(load_stated(stated))


@sampled(12)
@given(stated_pads(days=SHORT_DAYS))
def test_chain_of_what_is_reached_before_the_horizon_covers_the_span(stated: Stated) -> None:
    """The horizon cuts nothing out of the chains of what was done before it."""
    assert_chains_cover_the_span(load_stated(stated))


def test_reduction_can_be_sent_to_a_worker() -> None:
    """It survives the journey, and gives the same there."""
    scenario = sim.load(BY_HAND)
    reduce = partial(chain_to, goal_of(scenario, ALL_ON_PRODUCTION))
    assert pickle.loads(pickle.dumps(reduce))(simulate(scenario)) == reduce(simulate(scenario))
