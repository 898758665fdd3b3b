"""Logs written by hand, and what must be read off them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from math import inf
from pathlib import Path

import pytest
from logs_by_hand import HORIZON_H, TESTED, WAITS, WHOLE, Row, hours, log_of

from analysis.measures import WellRow, measure
from sim import activities
from sim.log import Interval, Level
from sim.pad import simulate
from sim.scenario import load
from sim.scenario.scenario import Scenario
from tests.pads import pad, units, well

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def test_milestones_of_a_well() -> None:
    """Each milestone is the end of the work that makes it, flowback and fracturing start when they start."""
    found = measure(log_of({"A": 2}, WHOLE, WAITS))
    assert found.wells == [WellRow(3, "A", 13.0, 30.0, 36.0, 52.0, 60.0, 184.0)]


@pytest.mark.parametrize(
    ("rows", "prepared_h"),
    [
        pytest.param(WHOLE[:2], inf, id="no toe yet"),
        pytest.param(WHOLE[:3], 13, id="all that every well needs"),
        pytest.param([*WHOLE[:1], (8, 9, "Wireline", activities.PLUG_AND_PERFORATE, "A", 1)], 6, id="the rest at once"),
        pytest.param([*WHOLE[:3], (13, 15, "Crew", activities.INJECTION_TEST, "A", 0)], inf, id="not watched yet"),
        pytest.param([*WHOLE[:3], (2, 4, "Other", activities.INJECTION_TEST, "B", 0)], inf, id="perhaps to be tested"),
        pytest.param(
            [
                *WHOLE[:3],
                (13, 15, "Crew", activities.INJECTION_TEST, "A", 0),
                (15, 90, "", activities.WATCH_PRESSURE, "A", 0),
            ],
            90,
            id="watched",
        ),
    ],
)
def test_well_is_prepared_once_nothing_is_left_to_do(rows: list[Row], prepared_h: float) -> None:
    """By all jobs that a log can show, or by what comes only to a well that is prepared."""
    assert measure(log_of({"A": 2, "B": 2}, rows)).wells[0].prepared_h == prepared_h


def test_pad_of_one_well() -> None:
    """The pad's milestones are those of its well; rates are over the 6 h from the first stage's start to its end."""
    row = measure(log_of({"A": 2}, WHOLE, WAITS)).pad
    assert (row.first_production_h, row.all_on_production_h) == (184.0, 184.0)
    assert (row.fracturing_start_h, row.fracturing_end_h, row.first_flowback_h) == (30.0, 36.0, 60.0)
    assert (row.stages_pumped, row.pumping_h) == (2, 3.0)
    assert (row.stages_per_day, row.pumping_h_per_day) == (8.0, 12.0)


def test_hours_of_a_unit_by_what_they_went_to() -> None:
    """Work by activity, waits by cause; what passed before a unit arrived is not time on location."""
    found = measure(log_of({"A": 2}, WHOLE, WAITS))
    assert hours(found, "Fleet") == {
        ("work", activities.RIG_UP): 20.0,
        ("work", activities.PUMP_STAGE): 3.0,
        ("work", activities.RIG_DOWN): 4.0,
        ("wait", "wireline"): 3.0,
    }


def test_visits() -> None:
    """A unit comes when its wait for arrival ends, or else with its first row, and leaves with its last."""
    found = {row.unit: (row.arrives_h, row.leaves_h) for row in measure(log_of({"A": 2}, WHOLE, WAITS)).visits}
    assert found == {
        "Crew": (0.0, 13.0),
        "Fleet": (10.0, 40.0),
        "Wireline": (32.0, 35.0),
        "Rig": (40.0, 55.0),
        "Spread": (55.0, 184.0),
    }


def test_wells_pumped_together_count_once_for_the_fleet() -> None:
    """Two wells at once are two stages in one time: the fleet's hours, and the pad's, are those of one."""
    work: list[Row] = []
    for stage, start_h in ((1, 0.0), (2, 5.0)):
        work += [(start_h, start_h + 3, "Fleet", activities.PUMP_STAGE, name, stage) for name in ("A", "B")]
    found = measure(log_of({"A": 2, "B": 2}, work, [((3, 5, "Fleet", "stand by", "", 0), "wireline")]))
    assert hours(found, "Fleet") == {("work", activities.PUMP_STAGE): 6.0, ("wait", "wireline"): 2.0}
    assert (found.pad.pumping_h, found.pad.stages_pumped) == (6.0, 4)
    assert [row.fracturing_end_h for row in found.wells] == [8.0, 8.0]


def test_two_fleets_at_once_count_twice() -> None:
    """Hours of different fleets add up, though they begin together."""
    work: list[Row] = [
        (0, 4, "Fleet 1", activities.PUMP_STAGE, "A", 1),
        (0, 4, "Fleet 2", activities.PUMP_STAGE, "B", 1),
    ]
    assert measure(log_of({"A": 1, "B": 1}, work)).pad.pumping_h == 8.0


def test_injection_test_ends_with_watching() -> None:
    """The crew leaves at 18 h; the well is prepared when the pressure has been watched, without any unit."""
    found = measure(log_of({"A": 2}, [*TESTED, (18, 138, "", activities.WATCH_PRESSURE, "A", 0)]))
    assert found.wells[0].prepared_h == 138.0
    assert [(row.unit, row.leaves_h) for row in found.visits] == [("Crew", 18.0)]
    assert sum(hours(found, "Crew").values()) == 18.0


def test_waiting_begins_and_ends_no_work() -> None:
    """A stage starts with its pumping, not with the night before; one that waits at the last is not at its end."""
    night = ((0, 6, "Fleet", activities.PUMP_STAGE, "A", 1), activities.OUTSIDE_HOURS)
    pumped: list[Row] = [(6, 18, "Fleet", activities.PUMP_STAGE, "A", 1)]
    done = measure(log_of({"A": 1}, pumped, [night])).wells[0]
    assert (done.fracturing_start_h, done.fracturing_end_h) == (6.0, 18.0)
    paused = ((18, 24, "Fleet", activities.PUMP_STAGE, "A", 1), activities.OUTSIDE_HOURS)
    found = measure(log_of({"A": 1}, pumped, [night, paused]))
    assert (found.wells[0].fracturing_end_h, found.pad.stages_pumped) == (inf, 0)


def test_well_that_is_turned_in_line_at_once_is_on_production() -> None:
    """A job that takes no time leaves no row: production starts with the end of flowback, or of the facility's wait."""
    assert measure(log_of({"A": 2}, WHOLE[:-1])).wells[0].on_production_h == 160.0
    log = log_of({"A": 2}, WHOLE[:-1])
    flowed_back = len(log.intervals) - 1
    for end_h, expected in ((200.0, 200.0), (HORIZON_H, inf)):
        waits = Interval(160, end_h, "Spread", "stand by", "", 0, "wait", activities.FACILITY, flowed_back)
        found = measure(replace(log, intervals=[*log.intervals, waits]))
        assert found.wells[0].on_production_h == expected


def test_flowback_that_takes_no_time_starts_with_turn_in_line() -> None:
    """Flowback starts where it ends."""
    rows = [row for row in WHOLE if row[3] != activities.FLOW_BACK]
    found = measure(log_of({"A": 2}, rows))
    assert (found.wells[0].flowback_start_h, found.pad.first_flowback_h) == (160.0, 160.0)


@pytest.mark.parametrize("limit", [None, "60 bbl/h"])
def test_production_starts_without_a_turn_in_line_of_its_own(limit: str | None) -> None:
    """Played: an hour less for each well, whether or not the second must wait for the facility."""

    def found(turn_in_line: str) -> list[float]:
        spread = {"rig_up": "0 h", "duration": "10 h", "turn_in_line": turn_in_line}
        wells = [well(name, 1, "1 h", "1 h", toe=True, production={"peak": "50 bbl/h"}) for name in "AB"]
        more = {} if limit is None else {"facility": {"limit": limit}}
        log = simulate(pad(wells, {"wells_in_rotation": 1}, units=units(flowback_spreads=spread), **more))
        return [row.on_production_h for row in measure(log).wells]

    at_once, later = found("0 h"), found("1 h")
    assert all(at_h < inf for at_h in at_once)
    assert at_once[0] == pytest.approx(later[0] - 1)
    assert at_once[0] < at_once[1] < later[1]
    assert (at_once[1] - at_once[0] > 24) == (limit is not None)


def test_preparation_that_takes_no_time() -> None:
    """It leaves no row: the well is prepared with its rig release."""
    rows: list[Row] = [
        (0, 24, "", activities.RIG_RELEASE, "A", 0),
        (24, 26, "Fleet", activities.PUMP_STAGE, "A", 1),
    ]
    assert measure(log_of({"A": 1}, rows)).wells[0].prepared_h == 24.0


def levels(*rows: tuple[float, float, float, float, float]) -> list[Level]:
    """Time, level, inflow, outflow, turned away."""
    return [Level(time_h, "water", *rest) for time_h, *rest in rows]


def test_water_over_a_run() -> None:
    """Used is outflow by time, and so is what was turned away, up to the last stage; the lowest from the first on."""
    log = log_of({"A": 1}, [(10, 14, "Fleet", activities.PUMP_STAGE, "A", 1)])
    log.levels = levels(
        (0, 0, 100, 0, 0),  # filling, empty at first: before fracturing, so not the lowest
        (8, 800, 100, 0, 100),  # full for two hours
        (10, 800, 100, 250, 0),  # a stage of 1000 bbl
        (14, 200, 100, 0, 0),
        (20, 800, 100, 0, 100),
        (21, 800, 100, 0, 100),
    )
    (row,) = measure(log).supplies
    assert (row.used, row.turned_away, row.lowest_level) == (1000.0, 200.0, 200.0)
    assert (row.supply, row.kind, row.offered, row.peak_rate) == ("water", "store", 1400.0, 250.0)


def test_water_of_a_stage_that_the_horizon_cuts() -> None:
    """What a draw under way took until the horizon is used, and the level was at its lowest there."""
    log = log_of({"A": 1}, [(10, 12, "Fleet", activities.PUMP_STAGE, "A", 1)], horizon_h=12.0)
    log.levels = levels((0, 0, 100, 0, 0), (10, 800, 100, 250, 0))
    (row,) = measure(log).supplies
    assert (row.used, row.lowest_level) == (500.0, 500.0)


def test_one_well_by_hand() -> None:
    """The scenario whose every hour is worked out in its comments, from the file to the milestones."""
    (row,) = measure(simulate(load(SCENARIOS / "one_well_by_hand.yaml"))).wells
    assert row[2:] == pytest.approx((28.0, 36.0, 60.0, 74.0, 90.0, 234.0), abs=1e-9)


def tight_pad(horizon: str) -> Scenario:
    """Three wells in a zipper with day shifts, an injection test and a horizon."""
    wells = [well(f"W{k}", 4, {"exponential": "2 h"}, {"exponential": "2 h"}, toe=k != 1) for k in range(3)]
    wells[0]["injection_test"] = {"watch": "20 h"}
    shifts = units(preparation_crews={"hours": "day shift"}, flowback_spreads={"hours": "06:00-18:00"})
    return pad(wells, {"wells_in_rotation": 3, "drill_out": "after the pad"}, units=shifts, horizon=horizon)


@pytest.mark.parametrize("horizon", ["5000 day", "40 h", "1 h"])
@pytest.mark.parametrize("replication", range(4))
def test_hours_on_location_add_up(horizon: str, replication: int) -> None:
    """Whatever is simulated, the hours of a unit are exactly those between its coming and its leaving."""
    scenario = tight_pad(horizon)
    found = measure(simulate(scenario, replication))
    total: dict[str, float] = defaultdict(float)
    for row in found.units:
        total[row.unit] += row.hours
    for visit in found.visits:
        leaves_h = min(visit.leaves_h, scenario.horizon)
        assert total[visit.unit] == pytest.approx(leaves_h - visit.arrives_h, abs=1e-6)
