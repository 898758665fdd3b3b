"""Which well the fleet turns to next, and when it moves there: every rule of the strategy on pads worked out by hand.

Times in minutes. Unless stated, a stage takes 60 min to pump and 30 to perforate, toes are open, swaps take no time.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from sim.activities import MOVE, PUMP_STAGE, SWAP, TRIP_IN
from sim.log import Log
from sim.pad import simulate
from tests.pads import minutes, units, well
from tests.sim.playing import LATE_FLOWBACK, planned, work

AT_ONCE: dict[str, Any] = {"swap": {"time": "0 h"}, "between_groups": "0 h"}


def wells(names: str, stages: int, wireline_min: float = 30, pump_min: float = 60, **more: Any) -> list[dict]:
    return [well(name, stages, minutes(wireline_min), minutes(pump_min), toe=True, **more) for name in names]


def play(of: list[dict], strategy: dict, **more: Any) -> Log:
    return simulate(planned(of, AT_ONCE | strategy, **more))


def order(log: Log) -> str:
    """Wells and stages as they were pumped; those pumped together in brackets."""
    sets: dict[float, list[str]] = {}
    for row in work(log, PUMP_STAGE):
        sets.setdefault(row.start_h, []).append(f"{row.well}{row.stage}")
    return " ".join(together[0] if len(together) == 1 else f"[{' '.join(together)}]" for together in sets.values())


def begins_min(log: Log, activity: str = PUMP_STAGE) -> list[float]:
    return [row.start_h * 60 for row in work(log, activity)]


LATE = {"rig_release": "2027-03-01 02:10"}  # at 130 min, between the first round and the second


@pytest.mark.parametrize(
    ("next_well", "expected", "begins"),
    [
        ("alternate", "A1 B1 A2 B2 C1 A3 B3 C2 C3", [0, 60, 120, 180, 240, 300, 360, 420, 510]),
        ("least advanced", "A1 B1 A2 C1 B2 C2 A3 B3 C3", [0, 60, 120, 180, 240, 300, 360, 420, 480]),
        ("first ready", "A1 B1 A2 C1 B2 A3 C2 B3 C3", [0, 60, 120, 180, 240, 300, 360, 420, 480]),
        ("as listed", "A1 B1 A2 B2 A3 B3 C1 C2 C3", [0, 60, 120, 180, 240, 300, 360, 450, 540]),
    ],
)
def test_each_rule_has_its_own_order(next_well: str, expected: str, begins: list[float]) -> None:
    """Three wells of three stages; C is released only at 130 min, and is ready then, its toe being open.

    From 180 min on the rules differ: B has been ready since 150 min with one stage done, C since 130 with none.
    """
    of = wells("AB", 3) + wells("C", 3, **LATE)
    log = play(of, {"wells_in_rotation": 3, "next_well": next_well})
    assert order(log) == expected
    assert begins_min(log) == pytest.approx(begins)


def test_fleet_that_is_free_swaps_while_wireline_is_busy() -> None:
    """Runs of 120 min, swaps of 30: at 150 min the fleet moves to A, which is perforated when it gets there at 180."""
    strategy = {"swap": {"time": "30 min", "when": "as soon as the fleet is free"}}
    log = play(wells("AB", 2, wireline_min=120), strategy)
    assert order(log) == "A1 B1 A2 B2"
    assert begins_min(log, SWAP) == pytest.approx([60, 150, 240])
    assert begins_min(log) == pytest.approx([0, 90, 180, 300])  # B's run, 180 to 300, comes after A's


def test_fleet_may_wait_for_the_next_well_before_it_swaps() -> None:
    """The same pad, swapping once the next well is ready: every swap comes after the run, on the fleet's time."""
    strategy = {"swap": {"time": "30 min", "when": "once the next well is ready"}}
    log = play(wells("AB", 2, wireline_min=120), strategy)
    assert order(log) == "A1 B1 A2 B2"
    assert begins_min(log, SWAP) == pytest.approx([60, 180, 300])
    assert begins_min(log) == pytest.approx([0, 90, 210, 330])


def test_sequential_wells_need_moves_and_no_swaps() -> None:
    """One well after the other: the fleet waits for wireline after every stage and moves between the wells."""
    log = play(wells("AB", 2), {"wells_in_rotation": 1, "swap": {"time": "30 min"}, "between_groups": "45 min"})
    assert order(log) == "A1 A2 B1 B2"
    assert begins_min(log) == pytest.approx([0, 90, 195, 285])
    assert begins_min(log, MOVE) == pytest.approx([150])
    assert begins_min(log, SWAP) == []


@pytest.mark.parametrize(
    ("sizes", "expected"),
    [
        ([1, 2], "A1 A2 B1 C1 B2 C2 D1 E1 D2 E2"),
        ([2, 1], "A1 B1 A2 B2 C1 C2 D1 D2 E1 E2"),
        ([3, 2], "A1 B1 C1 A2 B2 C2 D1 E1 D2 E2"),
        (4, "A1 B1 C1 D1 A2 B2 C2 D2 E1 E2"),
    ],
)
def test_groups_may_be_uneven(sizes: int | list[int], expected: str) -> None:
    """Sizes group by group; the last repeats, and the last group takes what is left."""
    assert order(play(wells("ABCDE", 2), {"wells_in_rotation": sizes})) == expected


def test_order_of_the_strategy_is_the_order_of_the_rotation() -> None:
    """Whatever the order in which wells are listed."""
    log = play(wells("ABC", 2), {"wells_in_rotation": 2, "order": ["C", "A", "B"]})
    assert order(log) == "C1 A1 C2 A2 B1 B2"


def test_well_that_is_finished_drops_out() -> None:
    """A zipper of wells with one, two and four stages goes on with whoever has stages left."""
    of = wells("A", 1) + wells("B", 2) + wells("C", 4)
    log = play(of, {"wells_in_rotation": 3})
    assert order(log) == "A1 B1 C1 B2 C2 C3 C4"
    assert begins_min(log)[-2:] == pytest.approx([330, 420])  # alone, C waits 30 min for wireline each time


def test_closed_toe_costs_the_first_run() -> None:
    """Without an open toe, wireline perforates stage 1 too: the fleet begins after it."""
    closed = [well("A", 2, minutes(30), minutes(60), toe=False)]
    assert begins_min(play(closed, {"wells_in_rotation": 1})) == pytest.approx([30, 120])


TOGETHER = {"wells_in_rotation": 4, "pumped_together": 2}


def test_pairs_as_listed_are_started_and_shut_down_together() -> None:
    """Two pairs by turns; the slower well of a pair decides how long both take."""
    of = wells("AC", 2) + wells("BD", 2, pump_min=75)
    log = play(sorted(of, key=lambda each: each["name"]), TOGETHER, units=four_wirelines())
    assert order(log) == "[A1 B1] [C1 D1] [A2 B2] [C2 D2]"
    assert begins_min(log)[::2] == pytest.approx([0, 75, 150, 225])
    assert {row.end_h - row.start_h for row in work(log, PUMP_STAGE)} == {1.25}


def four_wirelines() -> dict:
    return units(wireline_units=4, flowback_spreads=LATE_FLOWBACK)


def test_odd_well_is_pumped_alone() -> None:
    """Three wells in pairs: two together, then one."""
    log = play(wells("ABC", 2), TOGETHER | {"wells_in_rotation": 3}, units=four_wirelines())
    assert order(log) == "[A1 B1] C1 [A2 B2] C2"


def test_rest_of_a_pair_goes_on_alone() -> None:
    """A has one stage, B three: after the first, B is pumped by itself."""
    log = play(wells("A", 1) + wells("B", 3), TOGETHER | {"wells_in_rotation": 2})
    assert order(log) == "[A1 B1] B2 B3"


def test_any_that_are_ready_form_a_pair() -> None:
    """B comes at 130 min. As listed, A waits for it; otherwise A goes with C, then C with D, and B with A again."""
    of = [*wells("A", 2), *wells("B", 2, **LATE), *wells("CD", 2)]
    fixed = play(of, TOGETHER, units=four_wirelines())
    free = play(of, TOGETHER | {"pairs": "any that are ready"}, units=four_wirelines())
    assert order(fixed) == "[C1 D1] [C2 D2] [A1 B1] [A2 B2]"
    assert order(free) == "[A1 C1] [C2 D1] [A2 B1] [B2 D2]"
    assert begins_min(free)[::2] == pytest.approx([0, 90, 150, 240])


def test_wells_pumped_together_share_the_rate_of_the_fleet() -> None:
    """6000 bbl at 90 bbl/min take 66 min 40 s; two wells under a fleet of 100 bbl/min get 50 each: 120 min."""
    fleet = {"rig_up": "0 h", "rig_down": "0 h", "rate_limit": "100 bbl/min"}
    of = [well(name, 1, minutes(30), "from design", toe=True, fluid="6000 bbl") for name in "AB"]
    stated = units(pumping_fleets=fleet, flowback_spreads=LATE_FLOWBACK)
    for together, expected_min in ((1, 6000 / 90), (2, 120)):
        log = play(of, {"wells_in_rotation": 2, "pumped_together": together}, units=stated)
        lengths = [(row.end_h - row.start_h) * 60 for row in work(log, PUMP_STAGE)]
        assert lengths == pytest.approx([expected_min] * 2)


@pytest.mark.parametrize(("drill_out", "expected_min"), [("after the group", 150), ("after the pad", 300)])
def test_drill_out_begins_after_the_group_or_after_the_pad(drill_out: str, expected_min: float) -> None:
    """Two wells, sequential: the first is fractured at 150 min, the second at 300."""
    log = play(wells("AB", 2), {"wells_in_rotation": 1, "drill_out": drill_out})
    assert begins_min(log, TRIP_IN)[0] == pytest.approx(expected_min)


def test_two_fleets_take_groups_in_turn() -> None:
    """Each takes the next group when it is free; the two never pump the same well."""
    fleets = {"count": 2, "rig_up": "0 h", "rig_down": "0 h"}
    log = play(wells("ABC", 2), {"wells_in_rotation": 1}, units=four_wirelines() | {"pumping_fleets": fleets})
    fleet_of = {row.well: row.unit for row in work(log, PUMP_STAGE)}
    assert fleet_of == {"A": "Fleet 1", "B": "Fleet 2", "C": "Fleet 1"}
    rows = sorted((row.unit, row.start_h, row.end_h) for row in work(log, PUMP_STAGE))
    assert all(one != other or end_h <= start_h for (one, _, end_h), (other, start_h, _) in pairwise(rows))
