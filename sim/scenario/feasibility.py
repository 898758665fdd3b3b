"""Work that a consistent scenario asks for and that could never be done: water that never comes, jobs too long."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from sim.scenario.document import Steps
from sim.scenario.equipment import PreparationCrew, Unit
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Empirical, Pert, Shape, Triangular, Uniform
from sim.scenario.supplies import Water
from sim.scenario.wells import TOE_TIMES, Well

Job = tuple[str, float | None]  # what it is, and the most hours it takes; None without a bound


class Finding(NamedTuple):
    """Something that does not fit, and the steps to where it is stated."""

    steps: Steps
    message: str


def never_supplied(scenario: Scenario) -> Iterator[Finding]:
    """Stages whose water never has room, as far as that can be told without playing the scenario."""
    if scenario.water is not None:
        yield from _full_stage(scenario, scenario.water)


def never_fits(scenario: Scenario) -> Iterator[Finding]:
    """Jobs that must be done within one shift, and may take longer than that."""
    for kind, entries in scenario.units.kinds.items():
        for number, unit in enumerate(entries):
            yield from _shift(scenario, unit, ("units", kind, number, "at_shift_end"))


def overfull(scenario: Scenario) -> Iterator[Finding]:
    """Storage that should hold more than it can."""
    if scenario.water is None:
        return
    storage = scenario.water.storage
    for key, level in (("fill_to", storage.fill_to), ("on_hand", storage.on_hand)):
        if level is not None and level > storage.capacity:
            message = f"more than the storage holds; expected at most its capacity, {storage.capacity:,.0f} bbl"
            yield Finding(("water", "storage", key), message)


def _full_stage(scenario: Scenario, water: Water) -> Iterator[Finding]:
    if water.start_rule != "full stage on hand":
        return
    wells = max(pumped_at_once(scenario), key=_stage_fluid)
    minimum = water.storage.working_minimum
    if _stage_fluid(wells) + minimum > water.storage.capacity:
        names = " and ".join(well.name for well in wells)
        above = f" above its working minimum of {minimum:,.0f} bbl" if minimum else ""
        yield Finding(
            ("water", "storage", "capacity"),
            f"less{above} than one stage of {names} takes; expected at least {_stage_fluid(wells) + minimum:,.0f} bbl,"
            " or a start_rule other than 'full stage on hand'",
        )


def _stage_fluid(wells: tuple[Well, ...]) -> float:
    return sum(max(well.fluid_by_stage) for well in wells)


def pumped_at_once(scenario: Scenario) -> Iterator[tuple[Well, ...]]:
    """Wells that one fleet may pump at the same time; of any that are ready, the thirstiest."""
    together = scenario.strategy.pumped_together
    for group in scenario.groups:
        if scenario.strategy.pairs == "as listed":
            yield from (group[first : first + together] for first in range(0, len(group), together))
        else:
            yield tuple(sorted(group, key=lambda well: -max(well.fluid_by_stage))[:together])


def _shift(scenario: Scenario, unit: Unit, steps: Steps) -> Iterator[Finding]:
    opens, closes = unit.hours
    shift_h = (closes - opens) % 24 or 24
    if unit.at_shift_end == "pause" or shift_h == 24:
        return
    jobs = dict(sorted(_jobs(scenario, unit), key=lambda job: job[1] or 0))  # the longest of each name comes last
    for name, hours in jobs.items():
        if hours is not None and hours > shift_h:
            message = f"{name} may take {hours:.4g} h and would not fit into a shift of {shift_h:.4g} h"
            yield Finding(steps, f"{message}; expected 'pause', or longer hours")


def _jobs(scenario: Scenario, unit: Unit) -> Iterator[Job]:
    for key in ("rig_up", "rig_down", "duration", "turn_in_line"):
        if hasattr(unit, key):
            yield key, longest(getattr(unit, key))
    if isinstance(unit, PreparationCrew):
        for well in scenario.wells:
            yield from _preparation(well)


def _preparation(well: Well) -> Iterator[Job]:
    yield "preparation.nipple_up", longest(well.preparation.nipple_up)
    yield "preparation.pressure_test", longest(well.preparation.pressure_test)
    yield "toe.time", longest(TOE_TIMES[well.toe.method] if well.toe.time is None else well.toe.time)
    if well.injection_test is not None:
        set_up_h = longest(well.injection_test.set_up) or 0.0
        yield "injection_test", set_up_h + well.injection_test.volume / well.injection_test.rate


def longest(duration: float | Shape) -> float | None:
    """The most that a duration or a factor may be; None without a bound."""
    match duration:
        case Triangular() | Pert() | Uniform():
            return duration.high
        case Empirical():
            return max(duration.values)
        case float() | int():
            return float(duration)
    return None


def shortest(duration: float | Shape) -> float:
    """The least that a duration or a factor may be."""
    match duration:
        case Triangular() | Pert() | Uniform():
            return duration.low
        case Empirical():
            return min(duration.values)
        case float() | int():
            return float(duration)
    return 0.0
