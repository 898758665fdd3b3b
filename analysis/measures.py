"""From the log of one replication to numbers: a row for the pad, one for each well, several for each unit.

Runs in the worker that played the replication, so it imports nothing heavy. What did not happen before the horizon
is at infinity.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from math import inf
from typing import NamedTuple

from sim import activities
from sim.log import Interval, Level, Log


class WellRow(NamedTuple):
    """Milestones of one well in one replication, hours from the start."""

    replication: int
    well: str
    prepared_h: float
    fracturing_start_h: float
    fracturing_end_h: float
    drilled_out_h: float
    flowback_start_h: float
    on_production_h: float


class PadRow(NamedTuple):
    """The pad in one replication. Rates are over the span from the first stage's start to the last one's end."""

    replication: int
    first_production_h: float
    all_on_production_h: float
    fracturing_start_h: float
    fracturing_end_h: float
    first_flowback_h: float
    wells_on_production: int
    stages_pumped: int
    pumping_h: float
    stages_per_day: float
    pumping_h_per_day: float
    water_used_bbl: float
    water_turned_away_bbl: float
    lowest_level_bbl: float


class UnitRow(NamedTuple):
    """Hours of one unit on location in one replication, by kind and by activity (work) or cause (wait, trouble)."""

    replication: int
    unit: str
    kind: str
    reason: str
    hours: float


class VisitRow(NamedTuple):
    """When one unit came on location and left in one replication, hours from the start."""

    replication: int
    unit: str
    arrives_h: float
    leaves_h: float


class Measures(NamedTuple):
    """What is kept of one replication."""

    pad: PadRow
    wells: list[WellRow]
    units: list[UnitRow]
    visits: list[VisitRow]


Span = tuple[float, float]


def measure(log: Log) -> Measures:
    """Everything that the tables of a run hold about one replication."""
    wells = well_rows(log)
    rows_of = _rows_of_units(log)
    return Measures(_pad_row(log, wells, rows_of), wells, _unit_rows(log, rows_of), _visit_rows(log, rows_of))


def well_rows(log: Log) -> list[WellRow]:
    """Milestones of every well, in the order of the scenario."""
    spans = _activity_spans(log)
    return [_well_row(log, well, stages, spans[well]) for well, stages in log.stages.items()]


def _activity_spans(log: Log) -> dict[str, dict[tuple[str, int], Span]]:
    """First start and last end of each activity and stage in each well.

    Waits within a job are part of it, but none begins a job, and one that is still on at the last has no end yet.
    """
    spans: dict[str, dict[tuple[str, int], Span]] = defaultdict(dict)
    for row in log.intervals:
        if row.well:
            of_well, what = spans[row.well], (row.activity, row.stage)
            start_h = of_well[what][0] if what in of_well else inf
            if row.kind == "wait":
                of_well[what] = (start_h, inf)
            else:
                of_well[what] = (min(start_h, row.start_h), row.end_h)
    return spans


def _well_row(log: Log, well: str, stages: int, spans: dict[tuple[str, int], Span]) -> WellRow:
    nowhere = (inf, inf)

    def end_h(activity: str, stage: int = 0) -> float:
        """What ends at the horizon was cut short there."""
        at_h = spans.get((activity, stage), nowhere)[1]
        return at_h if at_h < log.horizon_h else inf

    fracturing_start_h = spans.get((activities.PUMP_STAGE, 1), nowhere)[0]
    return WellRow(
        log.replication,
        well,
        _prepared_h(log, spans, fracturing_start_h),
        fracturing_start_h,
        end_h(activities.PUMP_STAGE, stages),
        end_h(activities.TRIP_OUT),
        spans.get((activities.FLOW_BACK, 0), nowhere)[0],
        end_h(activities.TURN_IN_LINE),
    )


def _prepared_h(log: Log, spans: dict[tuple[str, int], Span], fracturing_start_h: float) -> float:
    """End of the last preparation; one that takes no time at all leaves no row.

    While the pressure is watched after an injection test there is no row yet, so the test alone is not the end.
    """
    if (activities.INJECTION_TEST, 0) in spans and (activities.WATCH_PRESSURE, 0) not in spans:
        return inf
    ends = [spans[activity, 0][1] for activity in _PREPARING if (activity, 0) in spans]
    if ends:
        return max(ends) if max(ends) < log.horizon_h else inf
    return spans.get((activities.RIG_RELEASE, 0), (0.0, 0.0))[1] if fracturing_start_h < inf else inf


_PREPARING = (
    activities.NIPPLE_UP,
    activities.PRESSURE_TEST,
    activities.TOE_PREPARATION,
    activities.INJECTION_TEST,
    activities.WATCH_PRESSURE,
)


def _rows_of_units(log: Log) -> dict[str, list[Interval]]:
    """Rows of each unit, with wells pumped together counted once."""
    rows_of: dict[str, list[Interval]] = defaultdict(list)
    for row in log.intervals:
        if row.unit:
            rows = rows_of[row.unit]
            if not rows or rows[-1].start_h != row.start_h:
                rows.append(row)
    return rows_of


def _pad_row(log: Log, wells: list[WellRow], rows_of: dict[str, list[Interval]]) -> PadRow:
    start_h = min(well.fracturing_start_h for well in wells)
    end_h = max(well.fracturing_end_h for well in wells)
    days = (min(end_h, log.horizon_h) - start_h) / 24
    pumping_h = sum(
        row.end_h - row.start_h
        for rows in rows_of.values()
        for row in rows
        if row.activity == activities.PUMP_STAGE and row.kind == "work"
    )
    stages = _stages_pumped(log)
    return PadRow(
        log.replication,
        min(well.on_production_h for well in wells),
        max(well.on_production_h for well in wells),
        start_h,
        end_h,
        min(well.flowback_start_h for well in wells),
        sum(well.on_production_h < inf for well in wells),
        stages,
        pumping_h,
        stages / days if days > 0 else 0.0,
        pumping_h / days if days > 0 else 0.0,
        *_water(log, start_h),
    )


def _stages_pumped(log: Log) -> int:
    """Stages pumped to their end: all that were begun but those that the horizon cut short."""
    last = {(row.well, row.stage): row for row in log.intervals if row.activity == activities.PUMP_STAGE}
    return sum(row.kind != "wait" and row.end_h < log.horizon_h for row in last.values())


def _water(log: Log, fracturing_start_h: float) -> tuple[float, float, float]:
    """Water used, water turned away from full storage, and the lowest level since fracturing began, in bbl.

    In a network full storage turns nothing away: it is the sources that find no room.
    """
    used = turned_away = 0.0
    lowest = inf
    for row, following in pairwise(_levels_to_the_end(log, activities.WATER)):
        hours = following.time_h - row.time_h
        used += row.outflow * hours
        turned_away += row.turned_away * hours
        if following.time_h > fracturing_start_h:
            lowest = min(lowest, row.level, following.level)
    for source in [name for name, kind in log.feeders.items() if kind == "source"]:
        for row, following in pairwise(_levels_to_the_end(log, source)):
            turned_away += row.turned_away * (following.time_h - row.time_h)
    return used, turned_away, lowest


def _levels_to_the_end(log: Log, supply: str) -> list[Level]:
    """Levels of a supply, and where a draw was still under way at the horizon, what the level was by then."""
    rows = [row for row in log.levels if row.supply == supply]
    if not rows or rows[-1].outflow == 0:
        return rows
    last = rows[-1]
    level = last.level + (last.inflow - last.outflow - last.turned_away) * (log.horizon_h - last.time_h)
    return [*rows, last._replace(time_h=log.horizon_h, level=level)]


def _unit_rows(log: Log, rows_of: dict[str, list[Interval]]) -> list[UnitRow]:
    hours: dict[tuple[str, str, str], float] = defaultdict(float)
    for unit, rows in rows_of.items():
        for row in rows:
            if row.activity != activities.ARRIVE:
                hours[unit, row.kind, row.cause or row.activity] += row.end_h - row.start_h
    return [UnitRow(log.replication, *what, total) for what, total in hours.items()]


def _visit_rows(log: Log, rows_of: dict[str, list[Interval]]) -> list[VisitRow]:
    found = []
    for unit, rows in rows_of.items():
        arrives_h = rows[0].end_h if rows[0].activity == activities.ARRIVE else rows[0].start_h
        leaves_h = rows[-1].end_h if rows[-1].end_h < log.horizon_h else inf
        found.append(VisitRow(log.replication, unit, arrives_h, leaves_h))
    return found
