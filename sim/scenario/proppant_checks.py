"""Whether the proppant as stated could ever be there: storage, loads, trucks and the road they drive on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta

from sim.calendars import daily
from sim.scenario.document import Steps
from sim.scenario.feasibility import Finding
from sim.scenario.proppant import Proppant, Trucks
from sim.scenario.scenario import Scenario
from sim.scenario.water_network import Stretch
from sim.scenario.wells import Well

TRUCKS: Steps = ("proppant", "trucks")
WHOLE_LOADS = "a truck unloads only where all of its load has room"


def delivered(scenario: Scenario) -> Iterator[Finding]:
    """Proppant with no way to come, or two; storage that should hold more than it can."""
    proppant = scenario.proppant
    if proppant is None:
        return
    if (proppant.rate is None) == (proppant.trucks is None):
        both = "states both a rate and trucks" if proppant.trucks else "states neither a rate nor trucks"
        yield Finding(("proppant",), f"{both}; expected one of the two")
    storage = proppant.storage
    for key, level in (("fill_to", storage.fill_to), ("on_hand", storage.on_hand)):
        if level is not None and level > storage.capacity:
            message = f"more than the storage holds; expected at most its capacity, {storage.capacity:,.0f} lb"
            yield Finding(("proppant", "storage", key), message)
    if proppant.trucks is not None:
        yield from _loads(proppant, proppant.trucks)


def deliveries_begin(scenario: Scenario) -> Iterator[Finding]:
    """Deliveries that begin before the start or after the horizon."""
    if scenario.proppant is None or scenario.proppant.starts is None:
        return
    at_h, end = scenario.hours_at(scenario.proppant.starts), scenario.moment_at(scenario.horizon)
    if at_h < 0:
        message = f"before the start, {scenario.start:%Y-%m-%d %H:%M}; expected a later date, or `on_hand` in storage"
        yield Finding(("proppant", "starts"), message)
    elif at_h > scenario.horizon:
        yield Finding(("proppant", "starts"), f"after the horizon, {end:%Y-%m-%d %H:%M}; expected an earlier date")


def _loads(proppant: Proppant, trucks: Trucks) -> Iterator[Finding]:
    capacity, drivers = proppant.storage.capacity, trucks.hours_of_service
    if trucks.payload > capacity:
        message = (
            f"more than the storage holds, {capacity:,.0f} lb: a truck unloads only where all of its load has room"
        )
        yield Finding((*TRUCKS, "payload"), f"{message}; expected less, or more capacity")
    if trucks.unload == 0:
        yield Finding((*TRUCKS, "unload"), "takes no time; expected a time above zero")
    if drivers is not None and drivers.driving > drivers.duty:
        message = f"more than the {drivers.duty:g} h on duty; expected at most that"
        yield Finding((*TRUCKS, "hours_of_service", "driving"), message)


def never_open(scenario: Scenario) -> Iterator[Finding]:
    """A road on which no truck could ever drive between the first delivery and the horizon."""
    proppant = scenario.proppant
    if proppant is None or proppant.trucks is None:
        return
    trucks, start = proppant.trucks, scenario.start
    first_h = scenario.hours_at(proppant.starts) if proppant.starts else 0.0
    first_hour = start.hour + start.minute / 60 + start.second / 3600
    road = daily(*trucks.hours, first_hour, scenario.horizon)
    closed = trucks.closed or ()
    opens = [first_h, *(a for a, _ in road.windows), *(scenario.hours_at(closure.until) for closure in closed)]
    candidates = (road.next_open(at_h) for at_h in opens if first_h <= at_h < scenario.horizon)
    if not any(at_h < scenario.horizon and _is_open(scenario, closed, at_h) for at_h in candidates):
        message = "the road is never open between the first delivery and the horizon; expected a shorter closure"
        yield Finding((*TRUCKS, "closed") if closed else (*TRUCKS, "hours"), message)


def _is_open(scenario: Scenario, closed: Sequence[Stretch], at_h: float) -> bool:
    moment = scenario.start + timedelta(hours=at_h)
    return not any(closure.begins <= moment < closure.until for closure in closed)


def too_little_room(scenario: Scenario) -> Iterator[Finding]:
    """Storage in which a stage's proppant can never be on hand, or none that takes any."""
    proppant = scenario.proppant
    if proppant is None:
        return
    wells, needed = most_at_once(scenario)
    if not needed:
        message = "no stage takes any; expected proppant in the stage_design of a well, or no such section"
        yield Finding(("proppant",), message)
    if proppant.start_rule == "as it comes" or (proppant.start_rule == "enough to finish" and proppant.rate):
        return
    load = proppant.trucks.payload if proppant.trucks else 0.0
    if proppant.storage.capacity < needed + load:
        names = " and ".join(well.name for well in wells)
        beyond = f" and one load more ({WHOLE_LOADS})" if load else ""
        message = f"less than one stage of {names} takes{beyond}; expected at least {needed + load:,.0f} lb"
        yield Finding(("proppant", "storage", "capacity"), f"{message}, or the start_rule 'as it comes'")


def most_at_once(scenario: Scenario) -> tuple[tuple[Well, ...], float]:
    """The wells pumped at the same time whose stages take most proppant together, and how much, in lb."""
    together = scenario.strategy.pumped_together
    sets: list[tuple[Well, ...]] = []
    for group in scenario.groups:
        if scenario.strategy.pairs == "as listed":
            sets += [group[first : first + together] for first in range(0, len(group), together)]
        else:
            sets.append(tuple(sorted(group, key=lambda well: -well.proppant_lb)[:together]))
    most = max(sets, key=_stage_lb)
    return most, _stage_lb(most)


def _stage_lb(wells: tuple[Well, ...]) -> float:
    return sum(well.proppant_lb for well in wells)
