"""Who keeps clear of fracturing, until when, and who is shut in meanwhile: hours by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import activities as act
from sim.audit import violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import rows_of, spans
from tests.pads import NOW, pad, units, well

FAST = "16000 ft/min"
OTHERS_AT_WORK = (act.MILL_PLUGS, act.TRIP_IN, act.TRIP_OUT, act.FLOW_BACK, act.TURN_IN_LINE)


def row_of_wells(many: int, strategy: dict[str, Any], *, stages: int = 1, **more: Any) -> Scenario:
    """Wells side by side, fractured one after the other in ten hours each, with two hours to move between them.

    There is a rig and a spread for each: an hour to rig up, no plugs, three hours of flow, one to be turned in line.
    """
    names = [f"w{number}" for number in range(1, many + 1)]
    wells = [well(name, stages, NOW, "10 h", toe=True, measured_depth="2 ft", lateral_length="1 ft") for name in names]
    rigs = {"count": many, "rig_up": "1 h", "rig_down": NOW, "per_plug": NOW, "run_in": FAST, "pull_out": FAST}
    spreads = {"count": many, "rig_up": NOW, "duration": "3 h", "turn_in_line": "1 h"}
    fixed = {"wells_in_rotation": 1, "swap": {"time": NOW}, "between_groups": "2 h"}
    stated = units(milling_rigs=rigs, flowback_spreads=spreads) | more.pop("units", {})
    return pad(wells, fixed | strategy, units=stated, **more)


def handed_over(log: Log) -> list[float]:
    """Hours at which rigs come to the wells, in the order of the wells."""
    rigs = [row for row in log.intervals if "Milling" in row.unit and row.activity == act.RIG_UP]
    return [row.start_h for row in sorted(rigs, key=lambda row: row.well)]


@pytest.mark.parametrize(
    ("strategy", "expected"),
    [
        pytest.param({}, [10, 22, 34, 46], id="nobody keeps clear"),
        pytest.param({"keep_clear": 1}, [22, 34, 46, 46], id="one well between"),
        pytest.param({"keep_clear": 2}, [34, 46, 46, 46], id="two wells between"),
        pytest.param({"keep_clear": 3}, [46, 46, 46, 46], id="three wells between"),
        pytest.param({"drill_out": "after the pad"}, [46, 46, 46, 46], id="after the pad"),
        pytest.param({"keep_clear_distance": "40 ft"}, [22, 34, 46, 46], id="40 ft, wellheads 20 ft apart"),
        pytest.param({"keep_clear_distance": "41 ft"}, [34, 46, 46, 46], id="41 ft, wellheads 20 ft apart"),
        pytest.param({"keep_clear": 1, "wells_in_rotation": 2}, [20, 42, 42, 42], id="in twos"),
        pytest.param({"keep_clear": 1, "order": ["w1", "w3", "w2", "w4"]}, [10, 34, 46, 46], id="in another order"),
    ],
)
def test_wells_are_held_back_until_they_are_clear(strategy: dict[str, Any], expected: list[float]) -> None:
    """Wells are fractured by hours 10, 22, 34 and 46, in twos by 20, 20, 42 and 42; then others turn to their own.

    A well is released when the fleet leaves its neighbours, and not before: well 1 of the row, with one well between,
    when the fleet turns from well 2 to well 3.
    """
    log = simulate(row_of_wells(4, strategy))
    assert handed_over(log) == pytest.approx(expected, abs=1e-3)


def test_two_fleets_keep_clear_of_both() -> None:
    """Fleets at wells 1 and 2, then 3 and 4, side by side: wells 1 and 2 are clear of 3 or 4 only once these are done.

    All but well 1 wait until hour 22 for one of the fleets at wells 3 and 4; well 1 leaves at hour 10.
    """
    fleets = {"pumping_fleets": {"count": 2, "rig_up": NOW, "rig_down": NOW}}
    log = simulate(row_of_wells(4, {"keep_clear": 1}, units=fleets))
    assert handed_over(log) == pytest.approx([10, 22, 22, 22], abs=1e-3)


def shut_in(log: Log, name: str) -> list[tuple[float, float]]:
    return spans(rows_of(log, activity=act.SHUT_IN, well=name))


def test_wells_on_production_are_shut_in_while_neighbours_are_fractured() -> None:
    """Wells 1, 4, 2, 3 in that order, two wells between: well 1 is shut in twice, and flows while the fleet moves.

    Fractured by hour 10, clear of well 4, well 1 is on production at 10 + 1 + 3 + 1 = 15. Well 2 is fractured from 24
    to 34 and well 3 from 36 to 46; all others are held until then.
    """
    scenario = row_of_wells(4, {"keep_clear": 2, "order": ["w1", "w4", "w2", "w3"]})
    log = simulate(scenario)
    assert handed_over(log) == pytest.approx([10, 46, 46, 46], abs=1e-3)
    assert shut_in(log, "w1") == [(24, 34), (36, 46)]
    rows = rows_of(log, activity=act.SHUT_IN)
    assert {(row.unit, row.kind, row.cause) for row in rows} == {("", "wait", "pumping")}
    assert len(rows) == 2
    assert violations(log, scenario) == []


def test_a_well_beside_two_fleets_is_shut_in_once_at_a_time() -> None:
    """One fleet is at well 2 from 22 to 32, the other at well 3 from 24 to 34: well 1 is shut in from 22 to 34.

    Before that the fleets were at wells 1 and 4, and at well 7 for two stages; well 1 flows from hour 15 on.
    """
    fleets = {"pumping_fleets": {"count": 2, "rig_up": NOW, "rig_down": NOW}}
    strategy = {"keep_clear": 2, "order": ["w1", "w7", "w4", "w2", "w3", "w5", "w6"]}
    scenario = row_of_wells(7, strategy, units=fleets)
    wells = tuple(each.model_copy(update={"stages": 1 + (each.name == "w7")}) for each in scenario.wells)
    log = simulate(scenario.model_copy(update={"wells": wells}))
    assert shut_in(log, "w1") == [(22, 32), (32, 34)]


def test_nobody_is_shut_in_who_is_clear() -> None:
    """Well 1 with one well between is shut in for well 2 alone, also when that is still going on at the horizon."""
    strategy = {"keep_clear": 1, "order": ["w1", "w4", "w3", "w2"]}
    assert shut_in(simulate(row_of_wells(4, strategy)), "w1") == [(36, 46)]
    assert shut_in(simulate(row_of_wells(4, strategy, horizon="40 h")), "w1") == [(36, 40)]
    assert shut_in(simulate(row_of_wells(4, strategy, horizon="30 h")), "w1") == []
    assert shut_in(simulate(row_of_wells(4, strategy | {"keep_clear": 0})), "w1") == []


@settings(derandomize=True, deadline=None, max_examples=80)
@given(st.integers(2, 6), st.integers(1, 3), st.integers(0, 3), st.booleans(), st.integers(1, 2))
def test_in_the_order_of_the_row_nothing_happens_beside_fracturing(
    many: int, size: int, clear: int, late: bool, stages: int
) -> None:
    """Every well gets on production, and no hour of drill-out or flowback lies beside fracturing that is too near."""
    strategy = {"wells_in_rotation": min(size, many), "keep_clear": clear}
    if late:
        strategy |= {"drill_out": "after the pad"}
    scenario = row_of_wells(many, strategy, stages=stages)
    log = simulate(scenario)
    assert len(rows_of(log, activity=act.TURN_IN_LINE)) == many
    assert too_near(log, clear) == []
    assert violations(log, scenario) == []


def too_near(log: Log, clear: int) -> list[tuple[str, str]]:
    """Wells in which others work while a well with at most so many places to it is pumped."""
    place = {name: number for number, name in enumerate(log.stages)}
    pumped = rows_of(log, activity=act.PUMP_STAGE, kind="work")
    others = [row for row in log.intervals if row.activity in OTHERS_AT_WORK and row.kind == "work"]
    return [
        (row.well, stage.well)
        for row in others
        for stage in pumped
        if abs(place[row.well] - place[stage.well]) <= clear
        and row.well != stage.well
        and row.start_h < stage.end_h - 1e-9
        and stage.start_h < row.end_h - 1e-9
    ]


def test_flowback_keeps_clear_of_wells_that_are_fractured_later() -> None:
    """Wells 1, 3, 2 in that order, one well between: well 1 flows back from 11 to 51, and well 2 is begun at 24."""
    spreads = {"flowback_spreads": {"count": 3, "rig_up": NOW, "duration": "40 h", "turn_in_line": "1 h"}}
    log = simulate(row_of_wells(3, {"keep_clear": 1, "order": ["w1", "w3", "w2"]}, units=spreads))
    assert too_near(log, 1) == []


def test_a_fleet_waits_for_who_is_at_work_too_near() -> None:
    """Well 2 is begun once well 1 has flowed back and is turned in line, at hour 52; the fleet waits for flowback."""
    spreads = {"flowback_spreads": {"count": 3, "rig_up": NOW, "duration": "40 h", "turn_in_line": "1 h"}}
    log = simulate(row_of_wells(3, {"keep_clear": 1, "order": ["w1", "w3", "w2"]}, units=spreads))
    (stage,) = rows_of(log, unit="Fleet", activity=act.PUMP_STAGE, well="w2")
    assert stage.start_h == pytest.approx(52, abs=1e-3)
    assert {row.cause for row in rows_of(log, unit="Fleet", kind="wait") if row.start_h > 22} == {"flowback"}
