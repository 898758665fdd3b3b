"""Drill-out with sweeps and a coil that reaches only so far; flowback over the chokes of a schedule."""

from __future__ import annotations

from typing import Any

import pytest

from sim import activities as act
from sim.audit import violations
from sim.pad import simulate
from sim.scenario.consistency import inconsistencies
from sim.scenario.problems import ScenarioError
from sim.scenario.scenario import Scenario
from tests.field.example import example
from tests.field.records import rows_of, spans, told
from tests.pads import NOW, pad, units, well

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}
RIG = {"rig_up": "8 h", "rig_down": "4 h", "run_in": "50 ft/min", "pull_out": "100 ft/min", "per_plug": "10 min"}


def drilled_out(stages: int, rig: dict[str, Any], **more: Any) -> Scenario:
    """One well of so many stages that are pumped in no time, 18,000 ft deep."""
    stated = well("A", stages, NOW, NOW, toe=True, measured_depth="18000 ft")
    return pad([stated], FIXED, units=units(milling_rigs=RIG | rig, **more))


@pytest.mark.parametrize(
    ("stages", "every", "sweeps"),
    [(50, 10, 4), (51, 10, 4), (52, 10, 5), (11, 10, 0), (12, 10, 1), (12, 5, 2), (2, 1, 0), (5, 1, 3), (1, 5, 0)],
)
def test_sweeps_between_plugs(stages: int, every: int, sweeps: int) -> None:
    """A sweep each time so many plugs are milled, none after the last: 49 plugs, every ten, make four."""
    log = simulate(drilled_out(stages, {"sweep_every": every, "sweep": "1.5 h"}))
    rows = rows_of(log, activity=act.SWEEP)
    assert sum(row.end_h - row.start_h for row in rows) == pytest.approx(1.5 * sweeps)


def test_a_drill_out_by_hand() -> None:
    """8 h to rig up, 18,000 ft in at 50 ft/min: 6 h; 12 plugs of 10 min: 2 h; two sweeps; 3 h out; 4 h to rig down."""
    log = simulate(drilled_out(13, {"sweep_every": 5, "sweep": "1.5 h"}))
    assert told(rows_of(log, unit="Milling rig")) == [
        (0, 8, "rig up", "work", ""),
        (8, 14, "trip in", "work", ""),
        (14, 16, "mill plugs", "work", ""),
        (16, 19, "sweep", "work", ""),
        (19, 22, "trip out", "work", ""),
        (22, 26, "rig down", "work", ""),
    ]


def test_without_sweeps_there_are_none() -> None:
    """Unless stated, the time of a sweep counts for nothing."""
    assert rows_of(simulate(drilled_out(50, {"sweep": "3 h"})), activity=act.SWEEP) == []


def test_a_toe_beyond_the_coil_is_refused() -> None:
    """The example's laterals of 10,000 ft: a coil that reaches 10,000 ft will do, one of 9,900 ft will not."""
    rig = "units.milling_rigs.reach"
    assert example(changes={rig: "10000 ft"}).wells
    with pytest.raises(ScenarioError, match=r"reach: less than the lateral of Larkspur 1, 10,000 ft; .*workover rig"):
        example(changes={rig: "9900 ft"})


def test_each_rig_takes_the_wells_that_it_reaches() -> None:
    """A coil for the short wells, a workover rig for all: the coil leaves the long ones to the other rig."""
    wells = [
        well(name, 3, NOW, "1 h", toe=True, lateral_length=f"{lateral} ft")
        for name, lateral in (("A", 9000), ("B", 12000), ("C", 11000), ("D", 9500))
    ]
    rigs = [{"name": "Coil", "reach": "10000 ft"} | RIG, {"name": "Workover", "kind": "workover rig"} | RIG]
    scenario = pad(wells, FIXED | {"wells_in_rotation": 4}, units=units(milling_rigs=rigs))
    assert inconsistencies(scenario) == []
    log = simulate(scenario)
    by_rig = [[row.well for row in rows_of(log, unit=name, activity=act.TRIP_IN)] for name in ("Coil", "Workover")]
    assert by_rig == [["A", "D"], ["B", "C"]]
    assert violations(log, scenario) == []


def test_flowback_over_its_chokes() -> None:
    """One day, two days and four on the three chokes, then a day to be turned in line; the duration counts no more."""
    chokes = {"choke_steps": ["1 day", "2 day", "4 day"], "duration": "99 day"}
    spread = {"rig_up": "12 h", "turn_in_line": "1 day"} | chokes
    log = simulate(drilled_out(1, {"rig_up": NOW, "rig_down": NOW}, flowback_spreads=spread))
    begin_h = 18000 / 50 / 60 + 18000 / 100 / 60
    rows = rows_of(log, unit="Flowback spread", kind="work")
    assert [row.activity for row in rows] == [act.RIG_UP, act.FLOW_BACK, act.TURN_IN_LINE]
    assert spans(rows) == [
        (begin_h, begin_h + 12),
        (begin_h + 12, begin_h + 12 + 7 * 24),
        (begin_h + 12 + 7 * 24, begin_h + 12 + 8 * 24),
    ]


def test_uncertain_chokes_add_up_to_the_flowback() -> None:
    """Each has luck of its own: the sum of two varies less than one that is doubled."""
    step = {"uniform": ["1 day", "3 day"]}
    scenario = drilled_out(1, {}, flowback_spreads={"choke_steps": [step, step]})
    flows = [rows_of(simulate(scenario, k, 3), activity=act.FLOW_BACK)[0] for k in range(200)]
    days = [(row.end_h - row.start_h) / 24 for row in flows]
    assert 2 < min(days) < 3
    assert 5 < max(days) < 6
    middle = sum(3 < each < 5 for each in days) / 200  # three quarters of a triangular sum; half of one draw doubled
    assert middle == pytest.approx(0.75, abs=3.9 * (0.75 * 0.25 / 200) ** 0.5)
