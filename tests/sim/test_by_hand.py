"""`scenarios/one_well_by_hand.yaml` against the times worked out in its own comments, each and every one."""

from __future__ import annotations

from math import inf
from pathlib import Path

import pytest

import sim
from analysis.measures import Measures, measure
from sim.audit import violations
from sim.log import Log
from sim.scenario.scenario import Scenario

FILE = Path(__file__).parents[2] / "scenarios" / "one_well_by_hand.yaml"
HOUR = 1e-9  # what rounding may leave over of an hour
BARREL = 1e-6

WELL = "Hand 1"
Row = tuple[float, float, str, str, str]  # start, end, activity, kind, cause

ROWS: dict[str, list[Row]] = {
    "": [(0, 4, "rig release", "work", "")],
    "Preparation crew": [
        (0, 4, "arrive", "wait", "on call"),
        (4, 11, "nipple up", "work", ""),
        (11, 12, "pressure test", "work", ""),
        (12, 24, "pressure test", "wait", "outside hours"),
        (24, 25, "pressure test", "work", ""),
        (25, 28, "toe preparation", "work", ""),
    ],
    "Water line": [(0, 20, "lay water line", "work", "")],
    "Water storage": [
        (0, 10, "erect storage", "work", ""),
        (10, 20, "stand by", "wait", "water system"),
        (20, 28, "fill storage", "work", ""),
    ],
    "Fleet": [
        (0, 24, "arrive", "wait", "arrival"),
        (24, 36, "rig up", "work", ""),
        (36, 38, "pump stage", "work", ""),
        (38, 40.85, "stand by", "wait", "wireline"),
        (40.85, 42.85, "pump stage", "work", ""),
        (42.85, 45.6, "stand by", "wait", "wireline"),
        (45.6, 46, "pump stage", "wait", "water: source"),
        (46, 48, "pump stage", "work", ""),
        (48, 50.65, "stand by", "wait", "wireline"),
        (50.65, 52, "pump stage", "wait", "water: source"),
        (52, 54, "pump stage", "work", ""),
        (54, 56.55, "stand by", "wait", "wireline"),
        (56.55, 58, "pump stage", "wait", "water: source"),
        (58, 60, "pump stage", "work", ""),
        (60, 70, "rig down", "work", ""),
    ],
    "Wireline": [
        (0, 38, "arrive", "wait", "on call"),
        (38, 40.85, "plug and perforate", "work", ""),
        (40.85, 42.85, "stand by", "wait", "pumping"),
        (42.85, 45.6, "plug and perforate", "work", ""),
        (45.6, 46, "stand by", "wait", "water: source"),
        (46, 48, "stand by", "wait", "pumping"),
        (48, 50.65, "plug and perforate", "work", ""),
        (50.65, 52, "stand by", "wait", "water: source"),
        (52, 54, "stand by", "wait", "pumping"),
        (54, 56.55, "plug and perforate", "work", ""),
    ],
    "Milling rig": [
        (0, 60, "arrive", "wait", "on call"),
        (60, 68, "rig up", "work", ""),
        (68, 71, "trip in", "work", ""),
        (71, 72, "mill plugs", "work", ""),
        (72, 74, "trip out", "work", ""),
        (74, 78, "rig down", "work", ""),
    ],
    "Flowback spread": [
        (0, 78, "arrive", "wait", "on call"),
        (78, 90, "rig up", "work", ""),
        (90, 210, "flow back", "work", ""),
        (210, 234, "turn in line", "work", ""),
    ],
}

LEVELS = {
    0: 0,
    20: 0,
    28: 12000,
    36: 12000,
    38: 6000,
    40.85: 10275,
    42.85: 4275,
    45.6: 8400,
    46: 9000,
    48: 3000,
    50.65: 6975,
    52: 9000,
    54: 3000,
    56.55: 6825,
    58: 9000,
    60: 3000,
}
"""Hour -> bbl in the storage."""


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return sim.load(FILE)


@pytest.fixture(scope="module")
def log(scenario: Scenario) -> Log:
    return sim.simulate(scenario)


@pytest.fixture(scope="module")
def measures(log: Log) -> Measures:
    return measure(log)


@pytest.mark.parametrize("unit", ROWS, ids=lambda unit: unit or "no unit")
def test_every_row_of_every_unit(log: Log, unit: str) -> None:
    """What each unit does and waits for, and when, is what the comments of the file say; there is nothing else."""
    found = [row for row in log.intervals if row.unit == unit]
    assert [(row.activity, row.kind, row.cause) for row in found] == [row[2:] for row in ROWS[unit]]
    assert [row.start_h for row in found] == pytest.approx([row[0] for row in ROWS[unit]], abs=HOUR)
    assert [row.end_h for row in found] == pytest.approx([row[1] for row in ROWS[unit]], abs=HOUR)


def test_no_unit_but_these(log: Log) -> None:
    """Nobody else is on the location."""
    assert {row.unit for row in log.intervals} == set(ROWS)


def test_stages_in_order(log: Log) -> None:
    """Five stages are pumped, and all but the one at the toe are perforated."""
    pumped = [row.stage for row in log.intervals if row.activity == "pump stage" and row.kind == "work"]
    perforated = [row.stage for row in log.intervals if row.activity == "plug and perforate"]
    assert (pumped, perforated) == ([1, 2, 3, 4, 5], [2, 3, 4, 5])


def test_levels_of_the_storage(log: Log) -> None:
    """The storage holds what the comments say, at every hour at which they say it."""
    for hour, level_bbl in LEVELS.items():
        assert level_at(log, hour) == pytest.approx(level_bbl, abs=BARREL), hour


def level_at(log: Log, hour: float) -> float:
    """Level between the rows of the log: each holds until the next, with its flows."""
    row = [row for row in log.levels if row.time_h <= hour + HOUR][-1]
    return row.level + (row.inflow - row.outflow - row.turned_away) * max(0.0, hour - row.time_h)


def test_log_is_sound(log: Log, scenario: Scenario) -> None:
    """Nothing in it that cannot be, and nothing cut short."""
    assert violations(log, scenario) == []
    assert log.cut_short == 0
    assert log.stages == {WELL: 5}


def test_milestones_of_the_well(measures: Measures) -> None:
    """Prepared at 28 h, fractured from 36 to 60 h, drilled out at 74 h, flowing from 90 h, on production at 234 h."""
    (well,) = measures.wells
    assert (well.replication, well.well) == (0, WELL)
    assert well[2:] == pytest.approx((28, 36, 60, 74, 90, 234), abs=HOUR)


def test_measures_of_the_pad(measures: Measures) -> None:
    """Five stages of 2 h in one day. 45000 bbl pumped; full and unused from 28 to 36 h, 12000 bbl are turned away."""
    pad = measures.pad
    assert (pad.first_production_h, pad.all_on_production_h) == pytest.approx((234, 234), abs=HOUR)
    assert (pad.fracturing_start_h, pad.fracturing_end_h, pad.first_flowback_h) == pytest.approx((36, 60, 90), abs=HOUR)
    assert (pad.wells_on_production, pad.stages_pumped) == (1, 5)
    assert (pad.pumping_h, pad.stages_per_day, pad.pumping_h_per_day) == pytest.approx((10, 5, 10), abs=HOUR)
    (water,) = measures.supplies
    assert (water.used, water.turned_away, water.lowest_level) == pytest.approx((45000, 12000, 3000), abs=BARREL)


def test_visits_of_the_units(measures: Measures) -> None:
    """When each unit comes on location and when it leaves."""
    visits = {visit.unit: (visit.arrives_h, visit.leaves_h) for visit in measures.visits}
    expected = {
        "Water line": (0, 20),
        "Water storage": (0, 28),
        "Preparation crew": (4, 28),
        "Fleet": (24, 70),
        "Wireline": (38, 56.55),
        "Milling rig": (60, 78),
        "Flowback spread": (78, 234),
    }
    assert set(visits) == set(expected)
    for unit, span in expected.items():
        assert visits[unit] == pytest.approx(span, abs=HOUR), unit


def test_hours_of_the_fleet(measures: Measures) -> None:
    """46 h on location: 10 pumping, 12 and 10 rigging, 10.8 waiting for wireline, 3.2 for water."""
    hours = {(row.kind, row.reason): row.hours for row in measures.units if row.unit == "Fleet"}
    expected = {
        ("work", "rig up"): 12,
        ("work", "pump stage"): 10,
        ("work", "rig down"): 10,
        ("wait", "wireline"): 10.8,
        ("wait", "water: source"): 3.2,
    }
    assert hours == pytest.approx(expected, abs=HOUR)


def test_on_production_on_the_date_of_the_comment(scenario: Scenario, measures: Measures) -> None:
    """Hour 234 is midnight of 11 March 2027."""
    assert measures.wells[0].on_production_h < inf
    assert scenario.moment_at(234).isoformat() == "2027-03-11T00:00:00"
