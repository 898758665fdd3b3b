"""Where the pad stands, as a person would read it: each well's progress, each unit's place and work."""

from __future__ import annotations

from math import isinf
from typing import NamedTuple

from analysis.field.jobs import intervals_of
from analysis.field.reading import FieldLog
from analysis.measures import WellRow, well_rows
from analysis.updating.log_notes import stages_pumped
from sim import activities
from sim.physics.drill_out import plugs_in
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario
from sim.standing import Job, Standing

LEFT, HERE, NOT_HERE = "gone", "on location", "not here yet"
AFTER_FRACTURING = (activities.TRIP_IN, activities.MILL_PLUGS, activities.SWEEP, activities.TRIP_OUT)


class WellState(NamedTuple):
    """One well: milestones reached, hours from the start (infinite: not yet), stages pumped, plugs milled for sure."""

    well: str
    reached: WellRow
    stages: int
    of_stages: int
    plugs_milled: int
    of_plugs: int


class UnitState(NamedTuple):
    """One unit: where it is, and the jobs it is at, of wells pumped together one for each."""

    unit: str
    place: str
    at: tuple[Job, ...]


def well_states(log: FieldLog, plan: Scenario, since: Standing) -> list[WellState]:
    """In the order of the plan. `log` is the log as it was known at the moment of the standing."""
    pumped = stages_pumped(since)
    return [_well(row, pumped.get(row.well, 0), plan, since) for row in well_rows(intervals_of(log, plan))]


def _well(reached: WellRow, pumped: int, plan: Scenario, since: Standing) -> WellState:
    stages = next(well.stage_count for well in plan.wells if well.name == reached.well)
    later = any(
        job.activity in {*AFTER_FRACTURING, activities.FLOW_BACK} for job in since.of_well.get(reached.well, ())
    )
    milled = bool(since.done(activities.MILL_PLUGS, reached.well)) or not isinf(reached.flowback_start_h)
    plugs = plugs_in(stages)
    return WellState(reached.well, reached, stages if later else pumped, stages, plugs if milled else 0, plugs)


def unit_states(plan: Scenario, since: Standing) -> list[UnitState]:
    """In the order of the plan; then what carries its supplies and wells that are watched, while at work."""
    stated = [name for entries in plan.units.kinds.values() for name, _ in individuals(entries)]
    others = [job.unit for job in since.jobs if job.unit not in stated and not job.is_done]
    return [_unit(name, since) for name in dict.fromkeys([*stated, *others])]


def _unit(name: str, since: Standing) -> UnitState:
    place = LEFT if since.has_left(name) else HERE if since.is_here(name) else NOT_HERE
    at = tuple(job for job in since.of_unit.get(name, ()) if not job.is_done)
    return UnitState(name, "" if not name else HERE if at else place, at)
