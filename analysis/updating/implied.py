"""Jobs that no row of a log tells of, though later work shows that they are done; and ends that nobody wrote down.

A well is perforated before it is pumped, stage by stage, and fractured before it is drilled out. Whatever a log has of
it shows that all before is over, be it that rows are missing, were left out, or have no end yet.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from math import inf
from typing import NamedTuple

from sim import activities
from sim.log import NO_ROW, Interval
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario
from sim.scenario.wells import Well

PREPARING = (
    activities.NIPPLE_UP, activities.PRESSURE_TEST, activities.TOE_PREPARATION, activities.INJECTION_TEST,
    activities.WATCH_PRESSURE,
)  # fmt: skip
MILLING = (activities.TRIP_IN, activities.MILL_PLUGS, activities.SWEEP, activities.TRIP_OUT)
FLOWING = (activities.FLOW_BACK, activities.TURN_IN_LINE)
BY_KIND = {activities.PLUG_AND_PERFORATE: "wireline_units", activities.PUMP_STAGE: "pumping_fleets"}

UP_TO_FRACTURING = {*PREPARING, *BY_KIND, activities.RIG_RELEASE, activities.SWAP, activities.SHUT_IN}

FEW = 4  # steps, of two stages

Step = tuple[str, int]  # activity and stage


class Implied(NamedTuple):
    """All rows, with those of the jobs that later work shows to be done, and which these are."""

    rows: list[Interval]
    jobs: list[tuple[str, str, int]]  # activity, well, stage
    closed: list[tuple[str, str, int]]


def with_implied(rows: Sequence[Interval], plan: Scenario) -> Implied:
    """Rows with what they imply. An implied job fills hours in which its unit has no row, if there are any."""
    ended: list[tuple[str, str, int]] = []
    of_well = _by(rows, lambda row: row.well)
    for well in plan.wells:
        of_well[well.name] = list(_closed(of_well[well.name], well, ended))
    of_unit = _by((row for own in of_well.values() for row in own), lambda row: row.unit)
    left_behind_h = _left_behind_h(of_well, plan)
    added: list[Interval] = []
    for well in plan.wells:
        for step, a_h, b_h in list(_missing(of_well[well.name], well, left_behind_h.get(well.name, inf))):
            row = _row(step, well, a_h, b_h, of_well[well.name], of_unit, plan)
            of_unit[row.unit].append(row)
            added.append(row)
    added += _flowed_back(of_unit, plan)
    whole = [*(row for own in of_well.values() for row in own), *added]
    return Implied(whole, [(row.activity, row.well, row.stage) for row in added], ended)


def _by(rows: Iterable[Interval], key: Callable[[Interval], str]) -> dict[str, list[Interval]]:
    found: dict[str, list[Interval]] = defaultdict(list)
    for row in rows:
        found[key(row)].append(row)
    return found


def _flowed_back(of_unit: Mapping[str, list[Interval]], plan: Scenario) -> Iterator[Interval]:
    """Wells that a spread has left for another are turned in line."""
    for spread, _ in individuals(plan.units.flowback_spreads):
        own = sorted((row for row in of_unit.get(spread, ()) if row.well), key=lambda row: row.start_h)
        ends: dict[str, list[Interval]] = {}
        for row in own:
            ends.setdefault(row.well, []).append(row)
        for (well, its), following in zip(ends.items(), list(ends.values())[1:], strict=False):
            last = its[-1]
            if last.activity not in FLOWING or last.kind == "wait":
                next_h = max(following[0].start_h, last.end_h)
                yield Interval(last.end_h, next_h, spread, activities.TURN_IN_LINE, well, 0, "work", "", NO_ROW)


def _place(row: Interval, stages: int) -> float:
    """How far along a well's way a row is; below zero where it tells nothing of that."""
    if row.activity in PREPARING:
        return 0
    if row.activity in {*BY_KIND, activities.SWAP} and row.stage:
        after = {activities.SWAP: -0.5, activities.PLUG_AND_PERFORATE: 0.0, activities.PUMP_STAGE: 1.0}
        return 2 * row.stage + after[row.activity]  # a fleet may swap to a well that is still being perforated
    if row.activity in UP_TO_FRACTURING:
        return -1
    return 2 * stages + 3 + (row.activity in FLOWING)


def _closed(own: list[Interval], well: Well, ended: list[tuple[str, str, int]]) -> Iterator[Interval]:
    """Rows that go on although the well has gone further are over when it did.

    Nobody prepares a well while another does.
    """
    stages = well.stage_count
    places = [(_place(row, stages), row.start_h) for row in own]
    for row in own:
        place = _place(row, stages) if row.end_h == inf else -1
        later = [start_h for other, start_h in places if other > place >= 0]
        if place == 0:
            others = [other for other in own if other.activity in PREPARING and other.activity != row.activity]
            later += [other.start_h for other in others if other.start_h > row.start_h]
        if not later:
            yield row
            continue
        ended.append((row.activity, row.well, row.stage))
        yield row._replace(end_h=max(row.start_h, min(later)))


def _left_behind_h(of_well: Mapping[str, list[Interval]], plan: Scenario) -> dict[str, float]:
    """By well, when its fleet had begun with a later group, or with drill-out a rig that waits for all of the group."""
    number_of = {well.name: number for number, group in enumerate(plan.groups) for well in group}
    begun_h: dict[tuple[str, str], float] = {}
    after_h: dict[int, float] = {}
    for name, number in number_of.items():
        for row in of_well.get(name, ()):
            begun_h[row.unit, name] = min(row.start_h, begun_h.get((row.unit, name), inf))
            if row.activity not in UP_TO_FRACTURING and plan.strategy.drill_out == "after the group":
                after_h[number] = min(row.start_h, after_h.get(number, inf))
    found = {name: after_h.get(number, inf) for name, number in number_of.items()}
    for fleet, _ in individuals(plan.units.pumping_fleets):
        wells = [(number_of[name], at_h) for (unit, name), at_h in begun_h.items() if unit == fleet]
        groups = {number for number, _ in wells}
        moved_h = {group: min((at_h for number, at_h in wells if number > group), default=inf) for group in groups}
        found = {name: min(found[name], moved_h.get(number, inf)) for name, number in number_of.items()}
    return found


def _missing(rows: list[Interval], well: Well, left_behind_h: float) -> Iterator[tuple[Step, float, float]]:
    """Steps without rows before the last that has begun, each with the hours between which it must have been done.

    The last stages of a well that has been left behind are done too, if they are few; of more, somebody may have left
    it unfinished.
    """
    steps = [(activity, stage) for stage in range(1, well.stage_count + 1) for activity in BY_KIND]
    if well.toe.method != "none":
        steps = steps[1:]
    seen: dict[Step, list[Interval]] = defaultdict(list)
    for row in rows:
        seen[row.activity, row.stage].append(row)
    unseen = next((k for k, step in enumerate(reversed(steps)) if step in seen), len(steps))
    bounds_h = _bounds_h(rows, steps, seen, left_behind_h if unseen <= FEW and unseen < len(steps) else inf)
    so_far_h = max((row.end_h for row in rows if row.activity in PREPARING), default=0.0)
    for k, step in enumerate(steps):
        if step in seen:
            so_far_h = max([so_far_h, *(row.end_h for row in seen[step])])
        elif bounds_h[k] < inf:  # the hours up to there are shared by all that is missing before it
            sharing = sum(bound_h == bounds_h[k] for bound_h in bounds_h[k:])
            a_h = min(so_far_h, bounds_h[k])
            so_far_h = a_h + (bounds_h[k] - a_h) / sharing
            yield step, a_h, so_far_h


def _bounds_h(
    rows: list[Interval], steps: list[Step], seen: Mapping[Step, list[Interval]], bound_h: float
) -> list[float]:
    """By when each step is known to be done; infinite if it is not. A fleet swaps to a stage when that before is."""
    swap_h: dict[int, float] = {}
    for row in rows:
        if row.activity == activities.SWAP:
            swap_h[row.stage - 1] = min(row.start_h, swap_h.get(row.stage - 1, inf))
    bound_h = min([bound_h, *(row.start_h for row in rows if row.activity not in UP_TO_FRACTURING)])
    found: list[float] = []
    for step in reversed(steps):
        if step[0] == activities.PUMP_STAGE:
            bound_h = min(bound_h, swap_h.get(step[1], inf))
        found.append(bound_h)
        bound_h = min([bound_h, *(row.start_h for row in seen.get(step, ()))])
    return found[::-1]


def _row(
    step: Step, well: Well, a_h: float, b_h: float, own: list[Interval], of_unit: Mapping[str, list[Interval]],
    plan: Scenario,
) -> Interval:  # fmt: skip
    """A row for an implied job, where its unit has room for it."""
    activity, stage = step
    names = [name for name, _ in individuals(plan.units.kinds[BY_KIND[activity]])]
    at_well = {row.unit for row in own if row.activity == activity}
    units = [name for name in names if name in at_well] or names
    rooms = [(*_room(of_unit.get(each, ()), a_h, b_h), each) for each in units]
    start_h, end_h, unit = max(rooms, key=lambda room: room[1] - room[0])
    return Interval(start_h, end_h, unit, activity, well.name, stage, "work", "", NO_ROW)


def _room(rows: Sequence[Interval], a_h: float, b_h: float) -> tuple[float, float]:
    """The longest hours between two moments in which a unit has no row; of no length where it has none."""
    own = sorted((row.start_h, row.end_h) for row in rows if row.end_h > a_h and row.start_h < b_h)
    free_h, best = a_h, (b_h, b_h)
    for start_h, end_h in [*own, (b_h, b_h)]:
        if start_h - free_h > best[1] - best[0]:
            best = (free_h, start_h)
        free_h = max(free_h, end_h)
    if best[0] == best[1]:
        edges = [edge for span in own for edge in span if a_h <= edge <= b_h]
        best = (max(edges, default=b_h),) * 2
    return best
