"""What fits its field but contradicts the rest of the scenario: names, dates, stages, the order of wells."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime, timedelta

from sim.scenario.document import Steps
from sim.scenario.durations import ByStage
from sim.scenario.equipment import individuals
from sim.scenario.feasibility import Finding, never_fits, never_supplied, overfull
from sim.scenario.field_checks import (
    all_spare,
    beyond_pressure,
    claimed_names,
    endless_changes,
    no_room,
    out_of_reach,
    too_few_stacks,
    two_pump_failures,
    undesigned,
    unprepared,
)
from sim.scenario.network_checks import (
    blended,
    closed_sources,
    pond_levels,
    too_little_permitted,
    water_names,
    ways_to_the_pad,
)
from sim.scenario.price_checks import endless_production, priced_no_source, priced_nobody
from sim.scenario.problems import did_you_mean
from sim.scenario.proppant_checks import delivered, deliveries_begin, never_open, too_little_room
from sim.scenario.scenario import Scenario
from sim.scenario.water_checks import never_delivered, never_started
from sim.scenario.weather import contradictions
from sim.scenario.wells import Well
from sim.scenario.written import shortened

MOST_STAGES = 500
ALL_PARTS = frozenset(Scenario.model_fields)
_LONG_AGO = timedelta(days=3653)


def inconsistencies(scenario: Scenario, sound: frozenset[str] = ALL_PARTS) -> list[Finding]:
    """Everything in which a valid scenario contradicts itself, or could never be carried out.

    Of a scenario that is not valid throughout, only what is seen in its `sound` parts. What could never start comes
    last, because it needs rates that can be held.
    """
    findings = [finding for check, needed in _CHECKS.items() if needed <= sound for finding in check(scenario)]
    if findings or sound < ALL_PARTS:
        return findings
    return [finding for check in _OF_THE_WHOLE for finding in check(scenario)] or list(never_started(scenario))


def repeated(names: Iterable[object]) -> Iterator[tuple[int, str]]:
    """Each name that an earlier entry already has, by its number from 0."""
    first: dict[object, int] = {}
    for number, name in enumerate(names):
        if name is not None and first.setdefault(name, number) != number:
            yield number, "an earlier entry has the same name; expected each name once"


def _wells(scenario: Scenario) -> Iterator[Finding]:
    for number, message in repeated(well.name for well in scenario.wells):
        yield Finding(("wells", number, "name"), message)
    for number, well in enumerate(scenario.wells):
        steps: Steps = ("wells", number)
        yield from _out_of_reach(scenario, well.rig_release, (*steps, "rig_release"), _LONG_AGO)
        yield from _geometry(well, steps)
        yield from _stages(well, steps)


def _geometry(well: Well, steps: Steps) -> Iterator[Finding]:
    if well.lateral_length >= well.measured_depth:
        depth = f"the whole measured_depth of {well.measured_depth:,.0f} ft"
        yield Finding((*steps, "lateral_length"), f"not less than {depth}; expected only the lateral")


def _stages(well: Well, steps: Steps) -> Iterator[Finding]:
    if well.stages is None and well.stage_length is None:
        yield Finding(steps, "states neither stages nor stage_length; expected one of the two")
    elif well.stages is not None and well.stage_length is not None:
        yield Finding((*steps, "stage_length"), "stands beside stages; expected one of the two")
    elif well.stage_length is not None and well.lateral_length / well.stage_length >= MOST_STAGES + 0.5:
        least = well.lateral_length / MOST_STAGES
        yield Finding(
            (*steps, "stage_length"),
            f"cuts the lateral of {well.name} into more than {MOST_STAGES} stages; expected at least {least:.4g} ft",
        )
    else:
        yield from _by_stage(well, steps)


def _by_stage(well: Well, steps: Steps) -> Iterator[Finding]:
    """Lists with an entry for each stage. Without a wireline run for stage 1, its entry counts for nothing."""
    design = well.stage_design
    for key, stated in (("pump_time", design.pump_time), ("wireline_time", design.wireline_time)):
        if isinstance(stated, ByStage) and len(stated.by_stage) != well.stage_count:
            yield Finding(
                (*steps, "stage_design", key, "by_stage"),
                f"{len(stated.by_stage)} entries for the {well.stage_count} stages of {well.name};"
                " expected one for each stage, from the toe to the heel",
            )


def _out_of_reach(scenario: Scenario, date: datetime | None, steps: Steps, before: timedelta) -> Iterator[Finding]:
    """A date too long before the start, or after the horizon."""
    end = scenario.moment_at(scenario.horizon)
    if date is not None and date > end:
        yield Finding(steps, f"after the horizon, {end:%Y-%m-%d %H:%M}; expected an earlier date or a longer horizon")
    elif date is not None and date < scenario.start - before:
        since = "before the start" if not before else "more than ten years before the start"
        yield Finding(steps, f"{since}, {scenario.start:%Y-%m-%d %H:%M}; expected a later date, or none")


def _units(scenario: Scenario) -> Iterator[Finding]:
    names: list[str] = []
    places: list[Steps] = []
    for kind, entries in scenario.units.kinds.items():
        names += [name for name, _ in individuals(entries)]
        places += [("units", kind, number, "name") for number, unit in enumerate(entries) for _ in range(unit.count)]
        for number, unit in enumerate(entries):
            yield from _out_of_reach(scenario, unit.arrives, ("units", kind, number, "arrives"), timedelta(0))
    for number, _ in repeated(names):
        message = f"two units would be called '{names[number]}'; expected another name"
        yield Finding(places[number], message)


def _strategy(scenario: Scenario) -> Iterator[Finding]:
    wells = {well.name for well in scenario.wells}
    yield from _order(scenario.strategy.order, wells)
    stated = scenario.strategy.model_fields_set
    for number, size in enumerate(scenario.strategy.wells_in_rotation):
        if size > len(scenario.wells) and "wells_in_rotation" in stated:
            message = f"more than there are wells; expected at most {len(scenario.wells)}"
            yield Finding(("strategy", "wells_in_rotation", number), message)
    yield from _together(scenario)


def _order(order: tuple[str, ...] | None, wells: set[str]) -> Iterator[Finding]:
    if order is None:
        return
    for number, name in enumerate(order):
        if name not in wells:
            message = f"no well is called that{did_you_mean(name, wells)}; expected names of wells"
            yield Finding(("strategy", "order", number), message)
    for number, message in repeated(order):
        yield Finding(("strategy", "order", number), message)
    left_out = sorted(wells - set(order))
    if left_out:
        names = shortened(", ".join(left_out))
        yield Finding(("strategy", "order"), f"leaves out {names}; expected every well once")


def _together(scenario: Scenario) -> Iterator[Finding]:
    wells = Counter(well.name for well in scenario.wells)
    if scenario.strategy.order is not None and Counter(scenario.strategy.order) != wells:
        return
    largest = max(len(group) for group in scenario.groups)
    if scenario.strategy.pumped_together > largest:
        message = f"more than are in rotation at a time; expected at most {largest}"
        yield Finding(("strategy", "pumped_together"), message)


def _weather(scenario: Scenario) -> Iterator[Finding]:
    if scenario.weather is not None:
        for steps, message in contradictions(scenario.weather, scenario.start, scenario.horizon):
            yield Finding(("weather", *steps), message)


_OF_THE_WHOLE = (  # only of what is sound throughout
    never_delivered,
    never_supplied,
    too_little_room,
    too_little_permitted,
    too_few_stacks,
    beyond_pressure,
    no_room,
)
_CHECKS: dict[Callable[[Scenario], Iterator[Finding]], set[str]] = {
    water_names: {"water", "other_supplies"},
    ways_to_the_pad: {"water"},
    blended: {"water"},
    pond_levels: {"water"},
    closed_sources: {"water", "start", "horizon"},
    overfull: {"water"},
    delivered: {"proppant"},
    deliveries_begin: {"proppant", "start", "horizon"},
    never_open: {"proppant", "start", "horizon"},
    undesigned: {"wells"},
    _wells: {"wells", "start", "horizon"},
    _units: {"units", "start", "horizon"},
    claimed_names: {"units"},
    all_spare: {"units"},
    endless_changes: {"shifts"},
    never_fits: {"units", "wells"},
    unprepared: {"units", "wells"},
    out_of_reach: {"units", "wells"},
    two_pump_failures: {"troubles"},
    _weather: {"weather", "start", "horizon"},
    _strategy: {"strategy", "wells"},
    priced_nobody: {"prices", "fuel", "units"},
    priced_no_source: {"prices", "water"},
    endless_production: {"wells"},
}  # each with the parts it looks at
