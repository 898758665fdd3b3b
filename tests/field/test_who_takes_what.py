"""Who comes for a job, and who keeps clear: units of other hours, rigs of other reach, fleets on call, neighbours."""

from __future__ import annotations

from typing import Any

import pytest

from sim import activities as act
from sim.audit import violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.field.records import rows_of
from tests.pads import NOW, pad, units, well

SWAP_AT_ONCE = {"swap": {"time": NOW}, "between_groups": NOW}
TWO_IN_ROTATION = {"wells_in_rotation": [2], "swap": {"time": NOW}}
LATER = {"rig_release": "2027-03-31"}  # 30 days after the start


def last_h(log: Log, activity: str, of_well: str | None = None) -> float:
    """End of the last work of an activity, anywhere or in a well."""
    rows = rows_of(log, activity=activity, kind="work")
    return max(row.end_h for row in rows if of_well in {None, row.well})


def first_h(log: Log, activity: str, of_well: str) -> float:
    return min(row.start_h for row in rows_of(log, activity=activity, kind="work", well=of_well))


def sound(scenario: Scenario) -> Log:
    log = simulate(scenario)
    assert violations(log, scenario) == []
    return log


def wireline(*hours: str) -> dict[str, Any]:
    at_once = {"rig_up": NOW, "rig_down": NOW}
    return units() | {"wireline_units": [{"name": f"Wireline {each}", "hours": each} | at_once for each in hours]}


def test_the_unit_on_shift_takes_the_run() -> None:
    """Runs of an hour, by day and by night: with two crews as quick as with one around the clock.

    Stages take two hours, so that runs and stages go by turns on the hour, and each crew leaves on the hour.
    """
    wells = [well(name, 9, "1 h", "2 h", toe=True) for name in "AB"]
    around = sound(pad(wells, TWO_IN_ROTATION, units=wireline("around the clock")))
    by_turns = sound(pad(wells, TWO_IN_ROTATION, units=wireline("06:00-18:00", "18:00-06:00")))
    assert last_h(by_turns, act.PUMP_STAGE) == last_h(around, act.PUMP_STAGE) == 36
    runs = rows_of(by_turns, activity=act.PLUG_AND_PERFORATE, kind="work")
    assert {row.unit for row in runs} == {"Wireline 06:00-18:00", "Wireline 18:00-06:00"}
    assert all((6 <= row.start_h % 24 < 18) == (row.unit == "Wireline 06:00-18:00") for row in runs)


@pytest.mark.parametrize(("kind", "activity"), [("milling_rigs", act.RIG_UP), ("flowback_spreads", act.FLOW_BACK)])
@pytest.mark.parametrize(("hour", "name"), [(10, "Day"), (20, "Night")])
def test_the_rig_on_shift_takes_the_well(kind: str, activity: str, hour: int, name: str) -> None:
    """The well is pumped at that hour; by day and by night work on it begins at once."""
    stated = units()[kind] | {"duration" if kind == "flowback_spreads" else "rig_up": "2 h"}
    both = [{"name": "Day", "hours": "06:00-18:00"}, {"name": "Night", "hours": "18:00-06:00"}]
    log = sound(
        pad(
            [well("A", 1, NOW, f"{hour} h", toe=True)],
            SWAP_AT_ONCE,
            units=units(**{kind: [each | stated for each in both]}),
        )
    )
    (row,) = [row for row in rows_of(log, activity=activity, kind="work") if row.unit in {"Day", "Night"}]
    assert (row.unit, row.end_h - row.start_h) == (name, 2)
    assert row.start_h == pytest.approx(hour, abs=0.1)  # trips of the rig take some minutes


def test_a_helper_by_day_keeps_nobody_waiting() -> None:
    """Three wells at midnight, one crew around the clock, one more from 06:00 on: the last two are done by noon."""
    preparation = {"nipple_up": "4 h", "pressure_test": "2 h"}
    wells = [well(name, 2, "1 h", "2 h", toe=True, preparation=preparation) for name in "ABC"]
    log = sound(pad(wells, SWAP_AT_ONCE, units=units(preparation_crews=[{}, {"hours": "day shift"}])))
    assert [last_h(log, act.PRESSURE_TEST, name) for name in "ABC"] == [6, 12, 12]


@pytest.mark.parametrize("first", ["Long", "Short"])
def test_each_rig_gets_a_well_that_it_reaches(first: str) -> None:
    """A rig for any lateral and one for short ones, two wells: both mill at once, whichever is stated first."""
    rigs: dict[str, dict[str, Any]] = {"Long": {"name": "Long"}, "Short": {"name": "Short", "reach": "6000 ft"}}
    stated = [each | {"per_plug": "20 h", "rig_up": NOW, "rig_down": NOW} for each in rigs.values()]
    wells = [
        well("A", 3, NOW, "1 h", toe=True, lateral_length="8000 ft"),
        well("B", 3, NOW, "1 h", toe=True, lateral_length="5000 ft"),
    ]
    order = stated if first == "Long" else stated[::-1]
    log = sound(pad(wells, SWAP_AT_ONCE | {"drill_out": "after the pad"}, units=units(milling_rigs=order)))
    milled = rows_of(log, activity=act.MILL_PLUGS, kind="work")
    assert {(row.unit, row.well, row.end_h - row.start_h) for row in milled} == {("Long", "A", 40), ("Short", "B", 40)}
    assert max(row.start_h for row in milled) - min(row.start_h for row in milled) < 1


def test_a_fleet_on_call_comes_for_the_first_well_that_is_prepared() -> None:
    """The first well of the list is drilled for another month: nobody waits for it with the second."""
    wells = [well("A", 3, NOW, "1 h", toe=True) | LATER, well("B", 3, NOW, "1 h", toe=True)]
    log = sound(pad(wells, TWO_IN_ROTATION))
    assert (last_h(log, act.PUMP_STAGE, "B"), last_h(log, act.PUMP_STAGE, "A")) == (3, 723)


def test_a_second_fleet_on_call_leaves_its_group_to_one_that_is_here() -> None:
    """The second group is prepared when the first is done: the fleet on location takes it, nobody else is called."""
    late = {"rig_release": "2027-03-01 10:00"}
    wells = [well("A", 3, NOW, "1 h", toe=True), well("B", 3, NOW, "1 h", toe=True) | late]
    fleets = units(pumping_fleets={"count": 2, "rig_up": "6 h", "rig_down": "20 h"})
    log = sound(pad(wells, SWAP_AT_ONCE | {"wells_in_rotation": [1, 1]}, units=fleets))
    assert last_h(log, act.PUMP_STAGE, "B") == 13
    assert len({row.unit for row in log.intervals if row.activity == act.RIG_UP and row.unit.startswith("Fleet")}) == 1


def test_nobody_keeps_clear_of_a_group_that_cannot_be_begun() -> None:
    """The third well is drilled for a month: drill-out and flowback of its neighbour go on meanwhile."""
    wells = [well("A", 2, NOW, "1 h", toe=True), well("B", 2, NOW, "1 h", toe=True) | LATER]
    log = sound(
        pad(wells, SWAP_AT_ONCE | {"wells_in_rotation": [1, 1], "keep_clear": 1, "drill_out": "after the group"})
    )
    assert first_h(log, act.TRIP_IN, "A") == 2


def test_a_well_is_shut_in_only_while_its_neighbour_is_fractured() -> None:
    """On production on the first day; its neighbour is pumped in hours 720 to 725, a month later."""
    wells = [well("A", 2, NOW, "1 h", toe=True), well("B", 5, NOW, "1 h", toe=True) | LATER]
    log = sound(
        pad(wells, SWAP_AT_ONCE | {"wells_in_rotation": [1, 1], "keep_clear": 1, "drill_out": "after the group"})
    )
    assert [(row.well, row.start_h, row.end_h) for row in rows_of(log, activity=act.SHUT_IN)] == [("A", 720, 725)]


def test_a_well_that_waits_for_the_facility_keeps_nobody_from_fracturing() -> None:
    """The second well has no room for long, but is shut: the third, beside it, is pumped once it is prepared."""
    flows = {"production": {"peak": "1000 bbl/day", "decline": "10 %"}}
    wells = [well(name, 2, "1 h", "2 h", toe=True) | flows for name in "ABC"]
    wells[2] |= LATER
    manner = {"wells_in_rotation": [1, 1, 1], "keep_clear": 2, "drill_out": "after the group"}
    limited = pad(
        wells, SWAP_AT_ONCE | manner, units=units(flowback_spreads={"count": 2}), facility={"limit": "1200 bbl/day"}
    )
    log = sound(limited)
    assert first_h(log, act.PUMP_STAGE, "C") == 720
    waits = {row.cause for row in rows_of(log, kind="wait") if row.start_h < 720 < row.end_h and "spread" in row.unit}
    assert act.FACILITY in waits
    assert first_h(log, act.TURN_IN_LINE, "B") > 725
