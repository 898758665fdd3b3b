"""One replication: a scenario and a replication number become a log."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from math import inf
from typing import Any

import simpy

from sim.chance.luck import Luck, drawn
from sim.log import Log
from sim.operations.calendars import shifts_of
from sim.operations.drill_out import mill_wells
from sim.operations.flowback import flow_back_wells
from sim.operations.found import find, has_begun
from sim.operations.found_line import turn_of
from sim.operations.fracturing import fracture_pad
from sim.operations.preparation import prepare_wells, release
from sim.operations.proppant_storage import PROPPANT_STORAGE, fill_proppant
from sim.operations.site import Site
from sim.operations.unit import Process, Unit
from sim.operations.water_system import LINE, STORAGE, lay_line, set_up_water
from sim.operations.wireline import perforate_wells
from sim.scenario.equipment import Unit as StatedUnit
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario
from sim.standing import NOTHING_YET, Standing

AT_ANY_HOUR = StatedUnit(arrives=None)

Crew = list[tuple[Unit, simpy.Process]]


class StuckError(Exception):
    """Nothing can happen any more, yet wells are not on production: says who waits for what."""


def simulate(scenario: Scenario, replication: int = 0, seed: int = 0, since: Standing = NOTHING_YET) -> Log:
    """Play the plan once, up to the horizon. Same scenario, replication and seed: same log, to the bit.

    `since` is where the pad stands; without it, at hour zero with nothing done. What is done stays as it was, and is
    in the log; jobs under way go on, each for as long as it may still take having taken so long already (see
    `sim.chance.residual`); what has not begun meets the luck that it would have met anyway. Nobody can tell from a log
    where trucks are, which pumps are down, or how much of its permit a source has used up today: trucks start empty
    from where they load, pumps are all up, permits as drawn. So is the weather, but that what is bad now goes on.
    """
    env = simpy.Environment(since.as_of_h or 0)
    log = Log(replication, seed, scenario.horizon, {well.name: well.stage_count for well in scenario.wells})
    log.intervals, log.levels, log.as_of_h = list(since.rows), list(since.level_rows), since.as_of_h
    site = Site(scenario, env, log, Luck(drawn(seed, replication)), since)
    find(site)
    crew = _man(site)
    _play_until(env, scenario.horizon)
    if site.supplies is not None:
        site.supplies.catch_up()
    _refuse_standstill(env, log, crew)
    site.neighbours.cut_short(scenario.horizon)
    _cut_short(site, crew)
    return log


def _cut_short(site: Site, crew: Crew) -> None:
    """Close the rows of all who are not done. With nobody on location yet, those on call say that work is left."""
    unfinished = [unit for unit, process in crew if process.is_alive]
    on_location = [unit for unit in unfinished if unit.cut_short(site.scenario.horizon)]
    site.log.cut_short = len(on_location or unfinished)


class _HorizonReached(Exception):
    pass


def _play_until(env: simpy.Environment, horizon_h: float) -> None:
    """Play up to the horizon. SimPy's own way to stop leaves an event behind that would hide a standstill."""

    def stop(_: simpy.Event) -> None:
        raise _HorizonReached

    env.timeout(max(0.0, horizon_h - env.now)).callbacks.append(stop)
    with suppress(_HorizonReached):
        env.run()


def _man(site: Site) -> Crew:
    """Put every unit and every well to work."""
    for well in site.wells:
        if not has_begun(site, well):
            site.env.process(release(site, well))
    works: tuple[Callable[[Site, Unit, Any], Process], ...] = (
        prepare_wells,
        fracture_pad,
        perforate_wells,
        mill_wells,
        flow_back_wells,
    )
    scenario, crew = site.scenario, [*_man_water(site), *_man_proppant(site)]
    hands: list[tuple[Unit, Callable[[Site, Unit, Any], Process], Any]] = []
    for entries, work in zip(scenario.units.kinds.values(), works, strict=True):
        for name, stated in individuals(entries):
            unit = _unit(site, name, stated, scenario.hours_at(stated.arrives) if stated.arrives else None)
            hands.append((unit, work, stated))
    if site.standing.rows:
        hands.sort(key=lambda each: turn_of(site, each[0].name))
    return crew + [(unit, site.env.process(work(site, unit, stated))) for unit, work, stated in hands]


def _man_water(site: Site) -> Crew:
    line, storage = (_unit(site, name, AT_ANY_HOUR, 0.0) for name in (LINE, STORAGE))
    laying = site.env.process(lay_line(site, line))
    return [(line, laying), (storage, site.env.process(set_up_water(site, storage, laying)))]


def _man_proppant(site: Site) -> Crew:
    proppant = site.scenario.proppant
    if proppant is None:
        return []
    starts_h = site.scenario.hours_at(proppant.starts) if proppant.starts else 0.0
    storage = _unit(site, PROPPANT_STORAGE, AT_ANY_HOUR, starts_h)
    return [(storage, site.env.process(fill_proppant(site, storage)))]


def _unit(site: Site, name: str, stated: StatedUnit, arrives_h: float | None) -> Unit:
    must_fit, shifts = stated.at_shift_end == "fit the job in", shifts_of(site.scenario, stated)
    open_for = site.working_times.of(stated, shifts)
    priority = getattr(stated, "priority", 1)
    unit = Unit(site.env, site.log, name, shifts, open_for, arrives_h, must_fit=must_fit, priority=priority)
    unit.stand(site.standing)
    return unit


def _refuse_standstill(env: simpy.Environment, log: Log, crew: Crew) -> None:
    """Whoever still waits when nothing can happen any more waits for ever, unless for work that the horizon ends."""
    waiting = [f"{unit.name} waits for {_short_of(unit)}" for unit, process in crew if process.is_alive]
    if waiting and env.peek() == inf and not any(unit.is_at_work for unit, _ in crew):
        raise StuckError(f"replication {log.replication}: nothing can happen any more; " + "; ".join(waiting))


def _short_of(unit: Unit) -> str:
    """What a unit waits for, and where that is a supply, since when."""
    draw = unit.drawing[2] if unit.drawing else None
    if draw is None:
        return unit.waiting_for
    causes = [cause for _, cause in draw.waits(unit.free_h, unit.env.now)]
    causes += [cause for cause, _ in draw.lost(unit.env.now)]
    return f"{', '.join(causes[-1:])} since hour {unit.free_h:.1f}"
