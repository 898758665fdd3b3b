"""What must hold in any log, whatever was simulated: each function lists what does not."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from itertools import pairwise
from math import inf

from sim.activities import PLUG_AND_PERFORATE, PROPPANT, PUMP_STAGE, SWAP, WATER
from sim.log import NO_ROW, Interval, Level, Log
from sim.operations.calendars import WorkingTimes, shifts_of
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario

CLOSE = 1e-6  # hours, and a share of the capacity: what rounding may leave over


def violations(log: Log, scenario: Scenario) -> list[str]:
    """Everything in a log that cannot be; empty for a sound one."""
    checks = (
        units_are_in_one_place(log),
        wells_are_in_one_place(log),
        stages_go_from_toe_to_heel(log, scenario),
        chains_reach_back(log),
        volumes_balance(log, scenario),
        nobody_works_outside_hours(log, scenario),
    )
    return [message for check in checks for message in check]


def units_are_in_one_place(log: Log) -> Iterator[str]:
    """From hour zero until it leaves, a unit has exactly one thing to do, and no unlogged hour.

    Wells pumped together are one thing: their rows begin and end together.
    """
    for unit, rows in _by(log, "unit").items():
        spans = list(dict.fromkeys((row.start_h, row.end_h) for row in rows))
        if spans[0][0] != 0:
            yield f"{unit} appears at {spans[0][0]} h from nowhere"
        for (_, end_h), (start_h, _) in pairwise(spans):
            if start_h != end_h:
                yield f"{unit} ends a row at {end_h} h and starts the next at {start_h} h"


def wells_are_in_one_place(log: Log) -> Iterator[str]:
    """Nobody works in a well while another does; a swap is work at the valves, not in the well."""
    for well, rows in _by(log, "well").items():
        at_work = sorted((row.start_h, row.end_h) for row in rows if row.kind == "work" and row.activity != SWAP)
        for (_, end_h), (start_h, _) in pairwise(at_work):
            if start_h < end_h - CLOSE:
                yield f"two works at once in {well} at {start_h} h"


def stages_go_from_toe_to_heel(log: Log, scenario: Scenario) -> Iterator[str]:
    """Every stage is perforated (but for one opened by the toe), then pumped, once, in order; none is invented."""
    rows_of = _by(log, "well")
    for well in scenario.wells:
        rows = rows_of.get(well.name, [])
        pumped = _stages(rows, PUMP_STAGE)
        perforated = _stages(rows, PLUG_AND_PERFORATE)
        first = 1 if well.toe.method == "none" else 2
        if pumped != list(range(1, len(pumped) + 1)) or len(pumped) > well.stage_count:
            yield f"{well.name}: stages pumped in the order {pumped}"
        if perforated != list(range(first, first + len(perforated))) or len(perforated) > well.stage_count:
            yield f"{well.name}: stages perforated in the order {perforated}"
        if perforated:  # runs that take no time leave no rows
            yield from _pumped_before_perforated(well.name, rows, first)
        if not log.cut_short and len(pumped) != well.stage_count:
            yield f"{well.name}: {len(pumped)} of {well.stage_count} stages pumped"


def _pumped_before_perforated(well: str, rows: list[Interval], first: int) -> Iterator[str]:
    opened_h = {row.stage: row.end_h for row in rows if row.activity == PLUG_AND_PERFORATE and row.kind == "work"}
    begun_h = {row.stage: row.start_h for row in reversed(rows) if row.activity == PUMP_STAGE}
    for stage, start_h in begun_h.items():
        if stage >= first and opened_h.get(stage, inf) > start_h + CLOSE:
            yield f"{well}: stage {stage} pumped at {start_h} h before it was perforated"


def chains_reach_back(log: Log) -> Iterator[str]:
    """Every row is released by one that ends exactly where it starts, or starts at hour zero or with the simulation."""
    for number, row in enumerate(log.intervals):
        if row.end_h <= row.start_h:
            yield f"row {number} lasts no time: {row}"
        if row.after == NO_ROW:
            if row.start_h not in {0, log.as_of_h}:
                yield f"row {number} was released by nothing: {row}"
        elif row.after >= number or log.intervals[row.after].end_h != row.start_h:
            yield f"row {number} starts at {row.start_h} h but row {row.after}, which released it, does not end there"


def volumes_balance(log: Log, scenario: Scenario) -> Iterator[str]:
    """Of every store, pond and source: level plus inflow is outflow, what is turned away or lost, and the next level.

    Levels stay within the capacity; and over a network, what its parts pass on is what its storage takes in.
    """
    rows_of: dict[str, list[Level]] = defaultdict(list)
    for row in log.levels:
        rows_of[row.supply].append(row)
    capacities = _capacities(scenario)
    for supply, rows in rows_of.items():
        yield from _balances(supply, rows, capacities.get(supply, 0.0))
    if log.feeders:
        yield from _network_balances(log, rows_of, sum(capacities.values()))


def _capacities(scenario: Scenario) -> dict[str, float]:
    """Capacity of every store and pond, by what the log calls it; a source holds nothing."""
    found = {name: other.capacity for name, other in scenario.other_supplies.items()}
    if scenario.proppant is not None:
        found[PROPPANT] = scenario.proppant.storage.capacity
    if scenario.water is not None:
        found |= {pond.name: pond.capacity for pond in scenario.water.ponds}
        found[WATER] = scenario.water.storage.capacity
    return found


def _balances(supply: str, rows: list[Level], capacity: float) -> Iterator[str]:
    for row, following in pairwise(rows):
        hours = following.time_h - row.time_h
        expected = row.level + (row.inflow - row.outflow - row.turned_away) * hours
        close = CLOSE * (capacity or max(1.0, row.inflow))
        if hours < 0 or abs(expected - following.level) > close:
            yield f"{supply}: level {following.level} at {following.time_h} h, expected {expected}"
        if not -close <= following.level <= capacity + close:
            yield f"{supply}: level {following.level} at {following.time_h} h, beyond 0 to {capacity}"


def _network_balances(log: Log, rows_of: dict[str, list[Level]], capacity: float) -> Iterator[str]:
    """What sources deliver is what ponds keep more of and lose, and what the storage takes in."""
    kept = lost = delivered = 0.0
    until_h = max(row.time_h for row in log.levels)
    for name, kind in log.feeders.items():
        rows = rows_of[name]
        if kind == "source":
            delivered += _sum_until(rows, until_h, lambda row: row.outflow)
        else:
            kept += _sum_until(rows, until_h, lambda row: row.inflow - row.outflow - row.turned_away)
            lost += _sum_until(rows, until_h, lambda row: row.turned_away)
    taken = _sum_until(rows_of[WATER], until_h, lambda row: row.inflow)
    if abs(delivered - kept - lost - taken) > CLOSE * max(capacity, delivered):
        whereabouts = f"{taken} reached the pad, {kept} stayed in ponds, {lost} was lost"
        yield f"sources delivered {delivered}, of which {whereabouts}"


def _sum_until(rows: list[Level], until_h: float, flow: Callable[[Level], float]) -> float:
    ends_h = [*(row.time_h for row in rows[1:]), until_h]
    return sum(flow(row) * (end_h - row.time_h) for row, end_h in zip(rows, ends_h, strict=True))


def nobody_works_outside_hours(log: Log, scenario: Scenario) -> Iterator[str]:
    """Work of a unit lies within its shifts, and not in weather that stops it; what happened before, happened."""
    times = WorkingTimes(scenario, log.seed, log.replication)
    open_for = {
        name: times.of(stated, shifts_of(scenario, stated))
        for entries in scenario.units.kinds.values()
        for name, stated in individuals(entries)
    }
    for row in log.intervals:
        if row.kind == "wait" or row.unit not in open_for or row.start_h < log.as_of_h:
            continue
        calendar = open_for[row.unit](row.activity)
        hours = row.end_h - row.start_h - CLOSE / 2  # a row that ends with a window must not seem to need the next
        if calendar.finish(row.start_h, hours) > row.end_h:
            yield f"{row.unit} works outside its hours or in bad weather from {row.start_h} to {row.end_h} h"


def _by(log: Log, field: str) -> dict[str, list[Interval]]:
    found: dict[str, list[Interval]] = defaultdict(list)
    for row in log.intervals:
        if name := getattr(row, field):
            found[name].append(row)
    return found


def _stages(rows: list[Interval], activity: str) -> list[int]:
    """Stages worked on, in order, each time that they were: its pieces and its waits and troubles follow on."""
    pieces: list[list[Interval]] = []
    for row in rows:
        if row.activity == activity:
            if pieces and _follows_on(pieces[-1][-1], row):
                pieces[-1].append(row)
            else:
                pieces.append([row])
    return [piece[0].stage for piece in pieces if any(row.kind == "work" for row in piece)]


def _follows_on(row: Interval, following: Interval) -> bool:
    return following.stage == row.stage and abs(following.start_h - row.end_h) <= CLOSE
