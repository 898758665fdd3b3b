"""Where a pad stands by the log of the field, which says less than a simulated one: what nobody logged is filled in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import inf

from analysis.field.jobs import rows_of
from analysis.field.reading import FieldLog
from analysis.updating.implied import Implied, with_implied
from analysis.updating.levels import supposed_levels
from sim import activities
from sim.chance.windows import union
from sim.log import NO_ROW, Interval
from sim.scenario.scenario import Scenario
from sim.standing import NO_JOBS, Standing, stand

NOT_LOGGED = "not logged"


def standing_by(log: FieldLog, scenario: Scenario, at_h: float, levels: Mapping[str, float]) -> Standing:
    """The standing at a moment. Hours between two jobs of a unit count as standing by, for reasons not logged.

    Fleets and wireline units have left once rigged down, other units stay until they are not needed. What storages
    hold of which no level is told is supposed (see `levels.supposed_levels`).
    """
    past = implied_by(log, scenario, at_h).rows
    filled = [row for unit in _by_unit(past).values() for row in _without_gaps(unit, at_h, _stays(unit, past))]
    ordered = sorted([*filled, *_of_nobody(past)], key=_in_order)
    found = stand(ordered, at_h, dict(levels))
    held = supposed_levels(scenario, found) | dict(levels)
    bad = union(*([(row.start_h, row.end_h)] for row in found.rows if row.cause == activities.WEATHER))
    return Standing(at_h, found.jobs, held, found.rows, (), tuple(bad), at_h)


def implied_by(log: FieldLog, scenario: Scenario, at_h: float) -> Implied:
    """The rows up to a moment with what they imply: jobs of which they do not tell, and ends that nobody wrote down."""
    begun = [row for row in rows_of(log, scenario) if row.start_h < at_h]
    return with_implied(_waiting_on(begun), scenario)


def _in_order(row: Interval) -> tuple[float, float, int, bool]:
    """By end; of what took no time a stage is perforated before it is pumped."""
    return row.end_h, row.start_h, row.stage, row.activity == activities.PUMP_STAGE


def _of_nobody(rows: list[Interval]) -> list[Interval]:
    return [row for row in rows if not row.unit]


def _by_unit(rows: list[Interval]) -> dict[str, list[Interval]]:
    """Rows of each unit, in order of start."""
    found: dict[str, list[Interval]] = defaultdict(list)
    for row in sorted(rows, key=lambda row: (row.start_h, row.end_h)):
        if row.unit:
            found[row.unit].append(row)
    return found


def _stays(unit: list[Interval], rows: list[Interval]) -> bool:
    """Whether a unit is still there after the last of its rows."""
    name, last = unit[0].unit, unit[-1]
    if name == "Water line":
        return False
    if name == "Water storage":
        in_use = any(row.activity in {activities.PUMP_STAGE, activities.PLUG_AND_PERFORATE} for row in rows)
        return last.activity != activities.FILL_STORAGE and not in_use
    if name == "Proppant storage":
        return False
    return last.activity != activities.RIG_DOWN or bool(last.well)


def _without_gaps(rows: list[Interval], at_h: float, stays: bool) -> Iterator[Interval]:
    """A unit's rows with what lies before, between and after them."""
    free_h, name = 0.0, rows[0].unit
    for row in rows:
        if row.start_h > free_h:
            came = free_h == 0.0
            activity, cause = (activities.ARRIVE, activities.ON_CALL) if came else (activities.STAND_BY, NOT_LOGGED)
            yield Interval(free_h, row.start_h, name, activity, "", 0, "wait", cause, NO_ROW)
        yield row
        free_h = max(free_h, row.end_h)
    if stays and free_h < at_h:
        yield Interval(free_h, inf, name, activities.STAND_BY, "", 0, "wait", NOT_LOGGED, NO_ROW)


def _waiting_on(rows: list[Interval]) -> list[Interval]:
    """The rows, but a wait with which a unit's rows end goes on: no job is over with a wait."""
    last_h: dict[str, float] = {}
    for row in rows:
        last_h[row.unit] = max(row.end_h, last_h.get(row.unit, 0.0))
    return [
        row._replace(end_h=inf)
        if row.kind == "wait" and row.activity not in NO_JOBS and row.unit and row.end_h == last_h[row.unit]
        else row
        for row in rows
    ]
