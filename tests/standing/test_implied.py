"""What a log implies, by hand: jobs that later work shows to be done, and ends that nobody wrote down."""

from __future__ import annotations

from math import inf

from analysis.updating.implied import with_implied
from sim.activities import (
    FLOW_BACK,
    MILL_PLUGS,
    NIPPLE_UP,
    PLUG_AND_PERFORATE,
    PUMP_STAGE,
    SWAP,
    TRIP_IN,
    TURN_IN_LINE,
)
from sim.log import NO_ROW, Interval
from sim.scenario.loading import load_stated
from tests.fielddata.logs import SMALL

ONE, TWO = "Curlew 1", "Curlew 2"
PLAN = load_stated(SMALL | {"strategy": {"wells_in_rotation": 1}})
UNITS = {PLUG_AND_PERFORATE: "Wireline", PUMP_STAGE: "Fleet A", SWAP: "Fleet A", TRIP_IN: "Milling rig",
         MILL_PLUGS: "Milling rig", FLOW_BACK: "Flowback spread", TURN_IN_LINE: "Flowback spread",
         NIPPLE_UP: "Preparation crew"}  # fmt: skip


def row(activity: str, stage: int, start_h: float, end_h: float, well: str = ONE) -> Interval:
    return Interval(start_h, end_h, UNITS[activity], activity, well, stage, "work", "", NO_ROW)


def pumped(well: str, stages: range, start_h: float) -> list[Interval]:
    """Stages of an hour each, with a run of an hour before each but the first."""
    runs = [row(PLUG_AND_PERFORATE, s, start_h + 2 * s - 1, start_h + 2 * s, well) for s in stages if s > 1]
    return [*runs, *(row(PUMP_STAGE, s, start_h + 2 * s, start_h + 2 * s + 1, well) for s in stages)]


def test_whole_rows_imply_nothing() -> None:
    rows = pumped(ONE, range(1, 4), 0.0)
    assert with_implied(rows, PLAN) == ([*rows], [], [])


def test_a_stage_is_pumped_before_the_next_is_perforated() -> None:
    """In the hours in which the fleet has no row."""
    rows = [each for each in pumped(ONE, range(1, 4), 0.0) if each[3:6] != (PUMP_STAGE, ONE, 2)]
    found = with_implied(rows, PLAN)
    assert found.jobs == [(PUMP_STAGE, ONE, 2)]
    assert found.rows[-1] == row(PUMP_STAGE, 2, 4.0, 5.0)


def test_two_in_a_row_share_the_hours() -> None:
    rows = [each for each in pumped(ONE, range(1, 4), 0.0) if each.stage != 2]
    found = with_implied(rows, PLAN)
    assert found.rows[-2:] == [row(PLUG_AND_PERFORATE, 2, 3.0, 4.0), row(PUMP_STAGE, 2, 4.0, 5.0)]


def test_a_swap_shows_that_the_stage_before_is_pumped_but_not_that_the_next_is_perforated() -> None:
    rows = [*pumped(ONE, range(1, 3), 0.0)[:-1], row(SWAP, 3, 6.0, 6.5)]
    assert with_implied(rows, PLAN).jobs == [(PUMP_STAGE, ONE, 2)]


def test_what_has_no_end_is_over_when_the_well_has_gone_further() -> None:
    rows = [row(NIPPLE_UP, 0, 0.0, inf), row(PUMP_STAGE, 1, 5.0, 6.0), row(PLUG_AND_PERFORATE, 2, 6.0, inf)]
    found = with_implied(rows, PLAN)
    assert found.closed == [(NIPPLE_UP, ONE, 0)]
    assert sorted(each.end_h for each in found.rows) == [5.0, 6.0, inf]


def test_drill_out_shows_that_all_is_pumped() -> None:
    rows = [*pumped(ONE, range(1, 4), 0.0), row(TRIP_IN, 0, 20.0, 22.0)]
    missing = [(each, ONE, stage) for stage in (4, 5) for each in (PLUG_AND_PERFORATE, PUMP_STAGE)]
    assert with_implied(rows, PLAN).jobs == missing


def test_a_fleet_that_has_gone_on_leaves_few_stages_behind_but_not_many() -> None:
    """One of five is a row that was lost; three are a well that was left unfinished."""
    on = pumped(TWO, range(1, 3), 20.0)
    lost = with_implied([*pumped(ONE, range(1, 5), 0.0), *on], PLAN)
    assert lost.jobs == [(PLUG_AND_PERFORATE, ONE, 5), (PUMP_STAGE, ONE, 5)]
    assert with_implied([*pumped(ONE, range(1, 3), 0.0), *on], PLAN).jobs == []


def test_a_spread_that_has_gone_on_has_turned_the_well_in_line() -> None:
    last = [row(TRIP_IN, 0, 20.0, 22.0), row(FLOW_BACK, 0, 30.0, 40.0), row(FLOW_BACK, 0, 50.0, 60.0, TWO)]
    rows = [*pumped(ONE, range(1, 6), 0.0), *pumped(TWO, range(1, 6), 12.0), *last]
    turned = with_implied(rows, PLAN)
    assert turned.jobs == []  # flowing back is work that may have been the last
    waiting = [*rows[:-2], row(FLOW_BACK, 0, 30.0, 40.0)._replace(kind="wait", cause="facility"), rows[-1]]
    assert with_implied(waiting, PLAN).jobs == [(TURN_IN_LINE, ONE, 0)]
