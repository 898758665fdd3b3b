"""From the log of one replication to numbers: a row for the pad, one for each well, several for each unit.

Runs in the worker that played the replication, so it imports nothing heavy. What did not happen before the horizon
is at infinity.
"""

from __future__ import annotations

from collections import defaultdict
from math import inf
from typing import NamedTuple

from analysis.on_production import is_over, last_of_flowback
from analysis.supply_measures import ShortageRow, SupplyRow, shortage_rows, supply_rows
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


class ShutInRow(NamedTuple):
    """A span during which a well on production was shut in for its neighbours, hours from the start."""

    replication: int
    well: str
    start_h: float
    end_h: float


class AmountRow(NamedTuple):
    """Something that may have a price, in one calendar month of one replication; see `analysis.pricing.amounts`."""

    replication: int
    month: str
    subject: str
    what: str
    reason: str
    amount: float


class Measures(NamedTuple):
    """What is kept of one replication."""

    pad: PadRow
    wells: list[WellRow]
    units: list[UnitRow]
    visits: list[VisitRow]
    shut_ins: list[ShutInRow]
    amounts: list[AmountRow]
    supplies: list[SupplyRow]
    shortages: list[ShortageRow]


Span = tuple[float, float]
Spans = dict[tuple[str, int], Span]  # by activity and stage


def measure(log: Log) -> Measures:
    """Everything that the tables of a run hold about one replication but the amounts, which need its scenario."""
    wells, rows_of = well_rows(log), rows_of_units(log)
    pad = _pad_row(log, wells, rows_of)
    return Measures(
        pad,
        wells,
        _unit_rows(log, rows_of),
        _visit_rows(log, rows_of),
        _shut_in_rows(log),
        [],
        supply_rows(log, pad.fracturing_start_h, pad.fracturing_end_h),
        shortage_rows(log),
    )


def well_rows(log: Log) -> list[WellRow]:
    """Milestones of every well, in the order of the scenario."""
    spans, last = _activity_spans(log), last_of_flowback(log, log.stages)
    tested = any((activities.INJECTION_TEST, 0) in of_well for of_well in spans.values())
    jobs = _JOBS | {activities.INJECTION_TEST} if tested else _JOBS
    return [_well_row(log, well, stages, spans[well], jobs, last.get(well)) for well, stages in log.stages.items()]


def _activity_spans(log: Log) -> dict[str, Spans]:
    """First start and last end of each activity and stage in each well.

    Waits within a job are part of it, but none begins a job, and one that is still on at the last has no end yet.
    """
    spans: dict[str, Spans] = defaultdict(dict)
    for row in log.intervals:
        if row.well:
            of_well, what = spans[row.well], (row.activity, row.stage)
            start_h = of_well[what][0] if what in of_well else inf
            if row.kind == "wait":
                of_well[what] = (start_h, inf)
            else:
                of_well[what] = (min(start_h, row.start_h), row.end_h)
    return spans


def _well_row(log: Log, well: str, stages: int, spans: Spans, jobs: frozenset[str], last: int | None) -> WellRow:
    """`last` is the row at whose end it is on production."""
    nowhere = (inf, inf)

    def end_h(activity: str, stage: int = 0) -> float:
        """What ends at the horizon was cut short there."""
        at_h = spans.get((activity, stage), nowhere)[1]
        return at_h if at_h < log.horizon_h else inf

    fracturing_start_h = spans.get((activities.PUMP_STAGE, 1), nowhere)[0]
    return WellRow(
        log.replication,
        well,
        _prepared_h(log, spans, jobs),
        fracturing_start_h,
        end_h(activities.PUMP_STAGE, stages),
        end_h(activities.TRIP_OUT),
        spans.get((activities.FLOW_BACK, 0), spans.get((activities.TURN_IN_LINE, 0), nowhere))[0],
        log.intervals[last].end_h if last is not None and is_over(log, log.intervals[last]) else inf,
    )


def _prepared_h(log: Log, spans: Spans, jobs: frozenset[str]) -> float:
    """End of the last preparation; where none of it took any time, the rig release.

    The log does not say what is still to be done, and a job that takes no time leaves no row. So a well counts as
    prepared once fracturing of it has begun, or once it has rows of all the `jobs` and nothing is left to watch: one
    that is between two jobs at the horizon has no date, nor has one of which the log cannot tell.
    """
    ends = [spans[activity, 0][1] for activity in _PREPARING if (activity, 0) in spans]
    if not _is_fractured(spans) and not _is_through(spans, jobs):
        return inf
    if ends:
        return max(ends) if max(ends) < log.horizon_h else inf
    return spans.get((activities.RIG_RELEASE, 0), (0.0, 0.0))[1]


def _is_fractured(spans: Spans) -> bool:
    """Whether fracturing has begun: wireline and fleet come only to wells that are prepared."""
    return any(activity in _FRACTURING for activity, _ in spans)


def _is_through(spans: Spans, jobs: frozenset[str]) -> bool:
    """Whether the well has rows of all the jobs; pressure is watched after the last one, and only after a test."""
    if (activities.WATCH_PRESSURE, 0) in spans:
        return True
    return (activities.INJECTION_TEST, 0) not in spans and all((job, 0) in spans for job in jobs)


_PREPARING = (
    activities.NIPPLE_UP,
    activities.PRESSURE_TEST,
    activities.TOE_PREPARATION,
    activities.INJECTION_TEST,
    activities.WATCH_PRESSURE,
)
_JOBS = frozenset(_PREPARING[:3])  # of every well; an injection test only of some
_FRACTURING = {activities.PLUG_AND_PERFORATE, activities.SWAP, activities.PUMP_STAGE}


def rows_of_units(log: Log) -> dict[str, list[Interval]]:
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
    )


def _stages_pumped(log: Log) -> int:
    """Stages pumped to their end: all that were begun but those that the horizon cut short."""
    last = {(row.well, row.stage): row for row in log.intervals if row.activity == activities.PUMP_STAGE}
    return sum(row.kind != "wait" and row.end_h < log.horizon_h for row in last.values())


def levels_to_the_end(log: Log, supply: str = activities.WATER) -> list[Level]:
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
            if not _is_on_the_way(row):
                hours[unit, row.kind, row.cause or row.activity] += row.end_h - row.start_h
    return [UnitRow(log.replication, *what, total) for what, total in hours.items()]


def _shut_in_rows(log: Log) -> list[ShutInRow]:
    shut_in = [row for row in log.intervals if row.activity == activities.SHUT_IN]
    return [ShutInRow(log.replication, row.well, row.start_h, row.end_h) for row in shut_in]


def _visit_rows(log: Log, rows_of: dict[str, list[Interval]]) -> list[VisitRow]:
    found = []
    for unit, rows in rows_of.items():
        arrives_h = rows[0].end_h if _is_on_the_way(rows[0]) else rows[0].start_h
        leaves_h = rows[-1].end_h
        found.append(
            VisitRow(log.replication, unit, *(at_h if at_h < log.horizon_h else inf for at_h in (arrives_h, leaves_h)))
        )
    return found


def _is_on_the_way(row: Interval) -> bool:
    """Whether the unit is not on location yet. One that has waited for something else since hour zero is."""
    return row.activity == activities.ARRIVE and row.cause in {activities.ARRIVAL, activities.ON_CALL}
