"""Jobs that no row of a log tells of, though later work shows that they are done; and ends that nobody wrote down.

A well is perforated before it is pumped, stage by stage, and fractured before it is drilled out. Whatever a log has of
it shows that all before is over, be it that rows are missing, were left out, or have no end yet.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
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
    closed = list(rows)
    jobs: list[tuple[str, str, int]] = []
    ended: list[tuple[str, str, int]] = []
    for well in plan.wells:
        closed = list(_closed(closed, well, ended))
        own = [row for row in closed if row.well == well.name]
        for step, a_h, b_h in _missing(own, well, _left_behind_h(closed, well, plan)):
            closed.append(_row(step, well, a_h, b_h, closed, plan))
            jobs.append((step[0], well.name, step[1]))
    flowed = list(_flowed_back(closed, plan))
    jobs += [(row.activity, row.well, row.stage) for row in flowed]
    return Implied([*closed, *flowed], jobs, ended)


def _flowed_back(rows: Sequence[Interval], plan: Scenario) -> Iterator[Interval]:
    """Wells that a spread has left for another are turned in line."""
    for spread, _ in individuals(plan.units.flowback_spreads):
        own = sorted((row for row in rows if row.unit == spread and row.well), key=lambda row: row.start_h)
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


def _closed(rows: list[Interval], well: Well, ended: list[tuple[str, str, int]]) -> Iterator[Interval]:
    """Rows that go on although the well has gone further are over when it did.

    Nobody prepares a well while another does.
    """
    stages = well.stage_count
    own = [row for row in rows if row.well == well.name]
    places = [(_place(row, stages), row.start_h) for row in own]
    for row in rows:
        place = _place(row, stages) if row.end_h == inf and row.well == well.name else -1
        later = [start_h for other, start_h in places if other > place >= 0]
        if place == 0:
            others = [other for other in own if other.activity in PREPARING and other.activity != row.activity]
            later += [other.start_h for other in others if other.start_h > row.start_h]
        if not later:
            yield row
            continue
        ended.append((row.activity, row.well, row.stage))
        yield row._replace(end_h=max(row.start_h, min(later)))


def _left_behind_h(rows: Sequence[Interval], well: Well, plan: Scenario) -> float:
    """When the fleet of a well's group had begun with a later one, or a rig that waits for the group with drill-out."""
    groups = [{each.name for each in group} for group in plan.groups]
    number = next(k for k, group in enumerate(groups) if well.name in group)
    later = {name for group in groups[number + 1 :] for name in group}
    fleets = {row.unit for row in rows if row.activity == activities.PUMP_STAGE and row.well in groups[number]}
    found = [row.start_h for row in rows if row.unit in fleets and row.well in later]
    if plan.strategy.drill_out == "after the group":
        found += [row.start_h for row in rows if row.well in groups[number] and row.activity not in UP_TO_FRACTURING]
    return min(found, default=inf)


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


def _row(step: Step, well: Well, a_h: float, b_h: float, rows: Sequence[Interval], plan: Scenario) -> Interval:
    """A row for an implied job, where its unit has room for it."""
    activity, stage = step
    names = [name for name, _ in individuals(plan.units.kinds[BY_KIND[activity]])]
    at_well = {row.unit for row in rows if row.well == well.name and row.activity == activity}
    units = [name for name in names if name in at_well] or names
    start_h, end_h, unit = max((_room(rows, each, a_h, b_h) for each in units), key=lambda room: room[1] - room[0])
    return Interval(start_h, end_h, unit, activity, well.name, stage, "work", "", NO_ROW)


def _room(rows: Sequence[Interval], unit: str, a_h: float, b_h: float) -> tuple[float, float, str]:
    """The longest hours between two moments in which a unit has no row; of no length where it has none."""
    own = sorted((row.start_h, row.end_h) for row in rows if row.unit == unit and row.end_h > a_h and row.start_h < b_h)
    free_h, best = a_h, (b_h, b_h)
    for start_h, end_h in [*own, (b_h, b_h)]:
        if start_h - free_h > best[1] - best[0]:
            best = (free_h, start_h)
        free_h = max(free_h, end_h)
    if best[0] == best[1]:
        edges = [edge for span in own for edge in span if a_h <= edge <= b_h]
        best = (max(edges, default=b_h),) * 2
    return (*best, unit)
