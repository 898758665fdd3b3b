"""Wireline: plug and guns are pumped down, the plug is set, the stage perforated, the tools pulled out."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from sim import activities
from sim.chance.luck import Hours, Luck
from sim.operations.learning import faster
from sim.operations.site import Site
from sim.operations.troubled_work import do, work
from sim.operations.unit import Process, Unit
from sim.operations.well import Well
from sim.physics.stages import distance_from_heel_ft
from sim.physics.wireline import pump_down_bbl, travel_hours
from sim.scenario.equipment import WirelineUnit
from sim.scenario.wells import Well as StatedWell

Runs = list[tuple[float, float]]  # hours and pump-down water in bbl of each stage's run, from the toe


def perforate_wells(site: Site, unit: Unit, stated: WirelineUnit) -> Process:
    """Perforate the next stage of whichever well has waited longest, until no run is left.

    No run waits for a unit that is still rigging up while another is free.
    """
    yield from unit.arrive()
    if not site.to_perforate.is_any_left(unit) and not unit.is_here:
        return
    if unit.on_call:
        yield from site.to_perforate.called_in(unit)
    if not site.is_rigged_up(unit):
        yield from do(
            site, unit, activities.RIG_UP, lambda luck: luck.hours(unit.name, activities.RIG_UP, stated.rig_up)
        )
    plans: dict[Well, Runs] = {}
    run = sum(job.unit == unit.name for job in site.standing.done(activities.PLUG_AND_PERFORATE))
    well: Well | None
    while (well := (yield from site.to_perforate.take(unit))) is not None:
        if well not in plans:
            plans[well] = runs_of(site.luck, well.stated, stated)
        run += 1
        yield from _perforate(site, unit, well, plans[well], faster(stated.learning, run), stated)
    yield from do(
        site, unit, activities.RIG_DOWN, lambda luck: luck.hours(unit.name, activities.RIG_DOWN, stated.rig_down)
    )


def _perforate(site: Site, unit: Unit, well: Well, runs: Runs, factor: float, stated: WirelineUnit) -> Process:
    stage = well.pumped
    hours, water_bbl = runs[stage]
    place = ((well.name, stage + 1),)

    def hours_of(luck: Luck) -> float:
        return runs_of(luck, well.stated, stated)[stage][0] * factor

    row = yield from work(
        site, unit, activities.PLUG_AND_PERFORATE, hours * factor, place, {activities.WATER: water_bbl}, hours_of
    )
    site.rotation_of[well].make_ready(well, row)


def runs_of(luck: Luck, well: StatedWell, unit: WirelineUnit) -> Runs:
    """Hours and water of a unit's runs in a well; they get shorter from toe to heel."""
    design, n = well.stage_design, well.stage_count
    heel_ft = well.measured_depth - well.lateral_length
    speeds = _Speeds(unit.run_in, unit.pump_down, unit.pull_out, unit.pump_down_rate)
    travel_h, water_bbl = _travel(heel_ft, well.lateral_length, n, speeds)
    design_h = (
        travel_h
        + luck.many(well.name, "set plug and perforate", unit.plug_and_perforate, n)
        + luck.many(well.name, "wireline turnaround", unit.turnaround, n)
    )
    hours = luck.by_stage(well.name, activities.PLUG_AND_PERFORATE, design.wireline_time, design_h)
    if design.pump_down is not None:
        water_bbl = [design.pump_down] * n
    return list(zip(hours.tolist(), water_bbl, strict=True))


class _Speeds(NamedTuple):
    """Of a wireline unit: ft/h in and out, and along the lateral with so many bbl/h."""

    run_in: float
    pump_down: float
    pull_out: float
    pump_down_rate: float


@lru_cache(maxsize=1024)
def _travel(heel_ft: float, lateral_ft: float, stages: int, speeds: _Speeds) -> tuple[Hours, list[float]]:
    """Hours under way and pump-down water in bbl of each run: remembered, for no luck changes them."""
    along_ft = distance_from_heel_ft(lateral_ft, stages)
    hours = travel_hours(heel_ft, along_ft, speeds.run_in, speeds.pump_down, speeds.pull_out)
    return hours, pump_down_bbl(along_ft, speeds.pump_down, speeds.pump_down_rate).tolist()
