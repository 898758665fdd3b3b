"""Each check of the audit: silent on a sound log, and naming what is wrong with one that was tampered with."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from sim import audit
from sim.activities import PLUG_AND_PERFORATE
from sim.log import NO_ROW, Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.sim import tampering
from tests.sim.tampering import (
    CAPACITY_BBL,
    numbers_where,
    of_unit,
    perforating,
    pumping,
    swapped,
    with_level,
    with_more,
    with_row,
    without,
)

LATER = 1000.0  # after everything in the log


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return tampering.sample_pad()


@pytest.fixture(scope="module")
def log(scenario: Scenario) -> Log:
    return simulate(scenario)


def first_of(messages: Iterator[str]) -> str:
    """What a check says about a log that was tampered with."""
    found = list(messages)
    assert found, "nothing was found"
    return found[0]


def test_sound_log_passes(log: Log, scenario: Scenario) -> None:
    """Nothing is found where nothing is wrong, with waits for water and closed windows in the log."""
    assert audit.violations(log, scenario) == []
    assert {"water: source", "outside hours"} <= {row.cause for row in log.intervals}


def test_overlap_is_found(log: Log) -> None:
    """A unit that starts its next row before the last one ended is in two places."""
    number = numbers_where(log, of_unit("Fleet"))[-1]
    start_h = log.intervals[number].start_h
    message = first_of(audit.units_are_in_one_place(with_row(log, number, start_h=start_h - 0.25)))
    assert message == f"Fleet ends a row at {start_h} h and starts the next at {start_h - 0.25} h"


def test_gap_is_found(log: Log) -> None:
    """A lost row leaves hours of which nobody knows what the unit did."""
    lost = log.intervals[numbers_where(log, of_unit("Fleet"))[3]]
    message = first_of(audit.units_are_in_one_place(without(log, lambda row: row is lost)))
    assert message == f"Fleet ends a row at {lost.start_h} h and starts the next at {lost.end_h} h"


def test_unit_from_nowhere_is_found(log: Log) -> None:
    """A unit without its arrival would appear in the middle of the pad's life."""
    arrival = next(row for row in log.intervals if row[2:4] == ("Milling rig", "arrive"))
    message = first_of(audit.units_are_in_one_place(without(log, lambda row: row is arrival)))
    assert message == f"Milling rig appears at {arrival.end_h} h from nowhere"


def test_pumping_under_the_wireline_is_found(log: Log) -> None:
    """Nobody pumps a well that has tools in it."""
    run = log.intervals[numbers_where(log, perforating("B"))[1]]
    pumped = numbers_where(log, pumping("A"))[-1]
    meanwhile = with_row(log, pumped, well="B", start_h=run.start_h + 0.5, end_h=run.end_h)
    assert first_of(audit.wells_are_in_one_place(meanwhile)) == f"two works at once in B at {run.start_h + 0.5} h"


def test_swap_over_the_wireline_is_allowed(log: Log) -> None:
    """A swap is work at the valves: the log holds some while wireline is in the well, and they pass."""
    runs = [(row.well, row.start_h, row.end_h) for row in log.intervals if row.activity == PLUG_AND_PERFORATE]
    swaps = [row for row in log.intervals if row.activity == "swap" and row.kind == "work"]
    assert any(swap.well == name and a < swap.end_h and swap.start_h < b for swap in swaps for name, a, b in runs)
    assert list(audit.wells_are_in_one_place(log)) == []


def test_swapped_stages_are_found(log: Log, scenario: Scenario) -> None:
    """Stages go from toe to heel, in pumping and in perforating."""
    second, third = numbers_where(log, pumping("A"))[1:3]
    message = first_of(audit.stages_go_from_toe_to_heel(swapped(log, second, third), scenario))
    assert message == "A: stages pumped in the order [1, 3, 2, 4]"
    first, second = numbers_where(log, perforating("B"))[:2]
    message = first_of(audit.stages_go_from_toe_to_heel(swapped(log, first, second), scenario))
    assert message == "B: stages perforated in the order [2, 1, 3, 4]"


def test_invented_stage_is_found(log: Log, scenario: Scenario) -> None:
    """A well of four stages has no fifth, neither pumped nor perforated."""
    for condition, word in ((pumping("A", 4), "pumped"), (perforating("B"), "perforated")):
        last = [row for row in log.intervals if condition(row)][-1]
        fifth = last._replace(start_h=LATER, end_h=LATER + 1, stage=5)
        message = first_of(audit.stages_go_from_toe_to_heel(with_more(log, fifth), scenario))
        assert message == f"{last.well}: stages {word} in the order {[1, 2, 3, 4, 5]}"


def test_lost_stage_is_found(log: Log, scenario: Scenario) -> None:
    """A stage that was never pumped is missed, unless the horizon cut the log short."""
    lacking = without(log, pumping("B", 4))
    message = first_of(audit.stages_go_from_toe_to_heel(lacking, scenario))
    assert message == "B: 3 of 4 stages pumped"
    assert list(audit.stages_go_from_toe_to_heel(replace(lacking, cut_short=1), scenario)) == []


def test_stage_pumped_again_later_is_found(log: Log, scenario: Scenario) -> None:
    """Each stage is pumped once."""
    again = log.intervals[numbers_where(log, pumping("A"))[1]]._replace(start_h=LATER, end_h=LATER + 1)
    message = first_of(audit.stages_go_from_toe_to_heel(with_more(log, again), scenario))
    assert message == "A: stages pumped in the order [1, 2, 3, 4, 2]"


def test_stage_pumped_before_it_is_perforated_is_found(log: Log, scenario: Scenario) -> None:
    """Every stage that needs wireline is perforated first, then pumped."""
    number = numbers_where(log, perforating("A"))[-1]
    late = with_row(log, number, start_h=LATER, end_h=LATER + 1)
    assert list(audit.stages_go_from_toe_to_heel(late, scenario))


def test_stage_that_was_never_perforated_is_found(log: Log, scenario: Scenario) -> None:
    """A stage that no wireline has opened cannot take a barrel."""
    last_run = log.intervals[numbers_where(log, perforating("A"))[-1]]
    assert list(audit.stages_go_from_toe_to_heel(without(log, lambda row: row is last_run), scenario))


def test_stage_pumped_twice_running_is_found(log: Log, scenario: Scenario) -> None:
    """A second pumping of the last stage, days after the first, is no piece of it."""
    again = log.intervals[numbers_where(log, pumping("A"))[-1]]._replace(start_h=LATER, end_h=LATER + 1)
    assert list(audit.stages_go_from_toe_to_heel(with_more(log, again), scenario))


def test_pieces_of_a_stage_are_joined_by_what_interrupts_it(log: Log, scenario: Scenario) -> None:
    """Half a stage, a trouble, the other half: one pumping. Without the trouble nothing joins the halves."""
    number = numbers_where(log, pumping("A"))[-1]
    row = log.intervals[number]
    third_h = (row.end_h - row.start_h) / 3
    between_h = row.start_h + third_h, row.end_h - third_h
    trouble = row._replace(start_h=between_h[0], end_h=between_h[1], kind="trouble", cause="screen-out")
    halves = row._replace(end_h=between_h[0]), row._replace(start_h=between_h[1])
    rest = without(log, lambda each: each is row)
    whole = with_more(rest, halves[0], trouble, halves[1])
    assert list(audit.stages_go_from_toe_to_heel(whole, scenario)) == []
    assert list(audit.stages_go_from_toe_to_heel(with_more(rest, *halves), scenario))


def test_broken_chain_is_found(log: Log) -> None:
    """What released a row ends exactly where the row starts, and came before it."""
    number = numbers_where(log, pumping("A"))[2]
    start_h, after = log.intervals[number].start_h, log.intervals[number].after
    earlier = log.intervals[after].after
    message = first_of(audit.chains_reach_back(with_row(log, number, after=earlier)))
    assert message == f"row {number} starts at {start_h} h but row {earlier}, which released it, does not end there"
    for itself_or_later in (number, len(log.intervals) - 1):
        message = first_of(audit.chains_reach_back(with_row(log, number, after=itself_or_later)))
        assert message.startswith(f"row {number} starts at {start_h} h but row {itself_or_later}, which released it")


def test_chain_that_ends_before_hour_zero_is_found(log: Log) -> None:
    """Only what starts at hour zero may be released by nothing."""
    number = numbers_where(log, pumping("A"))[2]
    message = first_of(audit.chains_reach_back(with_row(log, number, after=NO_ROW)))
    assert message.startswith(f"row {number} was released by nothing: Interval(")


def test_row_without_length_is_found(log: Log) -> None:
    """What lasts no time is no row."""
    number = numbers_where(log, pumping("A"))[2]
    message = first_of(audit.chains_reach_back(with_row(log, number, end_h=log.intervals[number].start_h)))
    assert message.startswith(f"row {number} lasts no time: Interval(")


def test_lost_volume_is_found(log: Log, scenario: Scenario) -> None:
    """A level that does not follow from the flows before it: barrels lost or invented."""
    number = tampering.pumping_level(log)
    for change in (-5.0, 5.0):
        level = log.levels[number].level + change
        message = first_of(audit.volumes_balance(with_level(log, number, level=level), scenario))
        assert message.startswith(f"water: level {level} at {log.levels[number].time_h} h, expected ")
    for flow in ("inflow", "outflow", "turned_away"):
        changed = with_level(log, number, **{flow: getattr(log.levels[number], flow) + 7.0})
        assert first_of(audit.volumes_balance(changed, scenario)).startswith("water: level ")


@pytest.mark.parametrize("level", [-3.0, CAPACITY_BBL + 3])
def test_level_beyond_the_storage_is_found(log: Log, scenario: Scenario, level: float) -> None:
    """Tanks are never less than empty nor more than full."""
    number = tampering.pumping_level(log)
    messages = list(audit.volumes_balance(with_level(log, number, level=level), scenario))
    assert f"water: level {level} at {log.levels[number].time_h} h, beyond 0 to {CAPACITY_BBL}" in messages


def test_time_that_runs_backwards_is_found(log: Log, scenario: Scenario) -> None:
    """Level rows follow one another in time."""
    number = tampering.pumping_level(log)
    message = first_of(audit.volumes_balance(with_level(log, number, time_h=-1.0), scenario))
    assert message.startswith(f"water: level {log.levels[number].level} at -1.0 h")


def test_work_outside_hours_is_found(log: Log, scenario: Scenario) -> None:
    """Work that begins or ends in a closed window; a day shift closes at 18:00."""
    number = numbers_where(log, tampering.flowing_back_until_18)[0]
    row = log.intervals[number]
    for start_h, end_h in ((row.start_h, row.end_h + 1), (row.end_h + 1, row.end_h + 3)):
        changed = with_row(log, number, start_h=start_h, end_h=end_h)
        message = first_of(audit.nobody_works_outside_hours(changed, scenario))
        assert message.startswith("Flowback spread works outside its hours")
        assert message.endswith(f"from {start_h} to {end_h} h")


def test_violations_ask_every_check(log: Log, scenario: Scenario) -> None:
    """Each of the checks has its say in the whole."""
    tampered = swapped(log, *numbers_where(log, pumping("A"))[1:3])
    late = numbers_where(log, tampering.flowing_back_until_18)[0]
    tampered = with_row(tampered, late, end_h=log.intervals[late].end_h + 1)
    run = log.intervals[numbers_where(log, perforating("B"))[1]]
    last = numbers_where(log, of_unit("Fleet"))[-1]
    tampered = with_row(tampered, last, start_h=run.start_h, end_h=run.end_h, well="B")
    tampered = with_level(tampered, tampering.pumping_level(log), level=-3.0)
    words = ("starts the next at", "two works at once", "in the order", "which released it", "beyond 0", "outside its")
    messages = audit.violations(tampered, scenario)
    assert [word for word in words if not any(word in message for message in messages)] == []
