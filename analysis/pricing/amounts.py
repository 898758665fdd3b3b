"""What of one replication may have a price: hours, stages, plugs, barrels, pounds, energy, by calendar month.

Derived from the log alone, without a price, in the worker that played the replication. Prices come afterwards, so that
changing one plays nothing again. `what` is one of the words below; `reason` is the activity of work, the cause of a
wait or trouble, where `nights` tells those of others apart.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta
from functools import partial
from itertools import pairwise

from analysis.measures import AmountRow, Measures, levels_to_the_end, measure, rows_of_units
from analysis.pricing.nights import Nights
from analysis.pricing.water_taken import taken
from sim import activities
from sim.log import Interval, Log
from sim.physics.drill_out import plugs_in
from sim.physics.energy import hydraulic_energy_hph
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario
from sim.scenario.treating import held_rates

WORK, WAIT, TROUBLE = "work h", "wait h", "trouble h"  # of a unit on location
ARRIVAL, STAGE, PLUG, WELL = "arrival", "stage", "plug", "well"  # of a unit
WATER, PROPPANT, PUMPED, OPEN = "water bbl", "proppant lb", "hydraulic hp h", "pad h"
TAKEN = "taken bbl"  # of a source of water
KINDS = {"work": WORK, "wait": WAIT, "trouble": TROUBLE}

Key = tuple[str, str, str, str]  # month, subject, what, reason
Totals = defaultdict[Key, float]


class Months:
    """Calendar months from the start to an hour, in hours from the start; the first and the last are cut off there."""

    def __init__(self, scenario: Scenario, until_h: float) -> None:
        self.names: list[str] = []
        self.ends_h: list[float] = []
        begins, end = scenario.start, scenario.moment_at(until_h)
        while begins < end:
            following = _first_of_next_month(begins)
            self.names.append(f"{begins:%Y-%m}")
            self.ends_h.append(scenario.hours_at(min(following, end)))
            begins = following

    def at(self, at_h: float) -> str:
        """Name of the month in which something ends."""
        return self.names[min(bisect_left(self.ends_h, at_h), len(self.names) - 1)]

    def parts(self, start_h: float, end_h: float) -> list[tuple[str, float]]:
        """Hours of a span in each month."""
        first, last = bisect_right(self.ends_h, start_h), len(self.ends_h) - 1
        if first >= last or end_h <= self.ends_h[first]:
            return [(self.names[first if first < last else last], end_h - start_h)]
        head = self.ends_h[first] - start_h
        return [(self.names[first], head), *self.parts(self.ends_h[first], end_h)]


def measure_for(scenario: Scenario) -> Callable[[Log], Measures]:
    """The reduction of a log to all tables of a run."""
    return partial(_measure, scenario)


def _measure(scenario: Scenario, log: Log) -> Measures:
    return measure(log)._replace(amounts=amounts(scenario, log))


def amounts(scenario: Scenario, log: Log) -> list[AmountRow]:
    """Every amount of one replication, those of one kind in one month in one row."""
    totals: Totals = defaultdict(float)
    months, nights = Months(scenario, log.horizon_h), Nights(scenario)
    rows_of = rows_of_units(log)
    for unit, rows in rows_of.items():
        _add_unit(totals, months, nights, unit, rows)
    _add_jobs(totals, months, scenario, log)
    _add_water(totals, months, log)
    _add_taken(totals, months, scenario, log)
    _add_open_hours(totals, months, rows_of)
    return [AmountRow(log.replication, *key, amount) for key, amount in totals.items()]


def _first_of_next_month(moment: datetime) -> datetime:
    day = moment.replace(day=28, hour=0, minute=0, second=0, microsecond=0) + timedelta(days=4)
    return day.replace(day=1)


def _add_unit(totals: Totals, months: Months, nights: Nights, unit: str, rows: list[Interval]) -> None:
    """Hours on location by kind and reason, and the arrival itself."""
    on_location = [row for row in rows if row.activity != activities.ARRIVE]
    if not on_location:
        return
    totals[months.at(on_location[0].start_h), unit, ARRIVAL, ""] += 1
    for row in on_location:
        for start_h, end_h, reason in nights.told(row):
            for month, hours in months.parts(start_h, end_h):
                totals[month, unit, KINDS[row.kind], reason] += hours


def _add_jobs(totals: Totals, months: Months, scenario: Scenario, log: Log) -> None:
    """Stages, runs, plugs and wells that were done to their end, with what they took."""
    last = {(row.activity, row.well, row.stage): row for row in log.intervals if row.unit and row.well}
    done = [row for row in last.values() if row.kind != "wait" and row.end_h < log.horizon_h]
    pumped = [row for row in done if row.activity == activities.PUMP_STAGE]
    _add_stages(totals, months, scenario, pumped, watered=bool(levels_to_the_end(log)))
    for row in done:
        if row.activity == activities.PLUG_AND_PERFORATE:
            month = months.at(row.end_h)
            totals[month, row.unit, STAGE, row.activity] += 1
            totals[month, row.unit, PLUG, row.activity] += row.stage > 1
        elif row.activity == activities.MILL_PLUGS:
            totals[months.at(row.end_h), row.unit, PLUG, row.activity] += plugs_in(log.stages[row.well])
    for unit, end_h in _wells_of_units(done):
        totals[months.at(end_h), unit, WELL, ""] += 1


def _add_stages(totals: Totals, months: Months, scenario: Scenario, pumped: Iterable[Interval], watered: bool) -> None:
    """Stages with their proppant, their energy and, where no storage says what was drawn, their water."""
    wells = {well.name: well for well in scenario.wells}
    energy_of = _Energy(scenario)
    together: dict[tuple[str, float], int] = defaultdict(int)
    for row in (pumped := list(pumped)):
        together[row.unit, row.end_h] += 1
    for row in pumped:
        month, well = months.at(row.end_h), wells[row.well]
        totals[month, row.unit, STAGE, row.activity] += 1
        if well.proppant_lb > 0:
            totals[month, row.well, PROPPANT, ""] += well.proppant_lb
        if not watered:
            totals[month, "", WATER, ""] += well.fluid_by_stage[row.stage - 1]
        if well.pressure is not None:
            totals[month, row.unit, PUMPED, row.well] += energy_of.stage(row, together[row.unit, row.end_h])


class _Energy:
    """Hydraulic energy of stages, with the list of each well made once."""

    def __init__(self, scenario: Scenario) -> None:
        self._wells = {well.name: well for well in scenario.wells}
        self._fleets = dict(individuals(scenario.units.pumping_fleets))
        self._known: dict[tuple[str, str, int], list[float]] = {}

    def stage(self, row: Interval, together: int) -> float:
        """Energy in hp h of one stage, at the pressure of the rate that the fleet can hold."""
        key = row.unit, row.well, together
        if key not in self._known:
            well = self._wells[row.well]
            held = held_rates(well, self._fleets[row.unit], together)
            fluid, pressure = well.fluid_by_stage, held.surface_psi.tolist()
            self._known[key] = [hydraulic_energy_hph(*each) for each in zip(pressure, fluid, strict=True)]
        return self._known[key][row.stage - 1]


def _wells_of_units(done: Iterable[Interval]) -> Iterator[tuple[str, float]]:
    """Each unit with the hour at which it last did work in each of its wells."""
    ends: dict[tuple[str, str], float] = {}
    for row in done:
        ends[row.unit, row.well] = max(row.end_h, ends.get((row.unit, row.well), 0.0))
    for (unit, _), end_h in ends.items():
        yield unit, end_h


def _add_water(totals: Totals, months: Months, log: Log) -> None:
    """Water drawn from storage, as its levels say."""
    for row, following in pairwise(levels_to_the_end(log)):
        if row.outflow > 0:
            for month, hours in months.parts(row.time_h, following.time_h):
                totals[month, "", WATER, ""] += row.outflow * hours


def _add_taken(totals: Totals, months: Months, scenario: Scenario, log: Log) -> None:
    """Water taken from each source; from one that gave nothing as well, so that nobody takes it for unknown."""
    for stated in scenario.water.sources if scenario.water is not None else ():
        totals[months.at(0.0), stated.name, TAKEN, ""] += 0.0
    for source, from_h, to_h, bbl_per_h in taken(scenario, log):
        for month, hours in months.parts(from_h, to_h):
            totals[month, source, TAKEN, ""] += bbl_per_h * hours


def _add_open_hours(totals: Totals, months: Months, rows_of: dict[str, list[Interval]]) -> None:
    """Hours from the first unit's arrival to the last one's leaving."""
    rows = [row for each in rows_of.values() for row in each if row.activity != activities.ARRIVE]
    if rows:
        start_h, end_h = min(row.start_h for row in rows), max(row.end_h for row in rows)
        for month, hours in months.parts(start_h, end_h):
            totals[month, "", OPEN, ""] += hours
