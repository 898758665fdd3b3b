"""What a spreadsheet of averages would promise: every duration at its mean, nobody kept waiting by chance or by water.

The arithmetic is what a careful planner would write down: crews, rigs and spreads take wells in turn, a rotation goes
at the pace of whoever is slower, fleet or wireline, and working hours stretch the work of a day shift over the day.
It sees room in the facility, but neither the waiting that uneven durations cause nor the supplies.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from math import ceil, inf
from typing import Any, NamedTuple, TypeVar

from analysis.checking.haulage_arithmetic import per_day_lb
from sim.chance.luck import Luck, expected
from sim.operations.drill_out import milling_job, reaches
from sim.operations.facility import Flowing, room_from_h
from sim.operations.flowback import flowback_job
from sim.operations.preparation import preparation_job, watch_hours
from sim.operations.stage_times import StageTimes
from sim.operations.water_system import lay_hours
from sim.operations.wireline import runs_of
from sim.scenario.equipment import FlowbackSpread, MillingRig, PumpingFleet, Unit, individuals
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Shape
from sim.scenario.wells import Well
from sim.supplies.mean_flow import hours_to_bring

AVERAGE = Luck(expected)
U = TypeVar("U", bound=Unit)


class Turn(NamedTuple):
    """Which unit has a well, from when to when."""

    start_h: float
    end_h: float
    unit: Any


class Plan(NamedTuple):
    """Milestones of each well by its name, hours from the start."""

    prepared_h: dict[str, float]
    fracturing_start_h: dict[str, float]
    fracturing_end_h: dict[str, float]
    drilled_out_h: dict[str, float]
    flowback_start_h: dict[str, float]
    on_production_h: dict[str, float]


class Pace(NamedTuple):
    """Mean hours of one turn of a rotation, in which each of the wells pumped together gets a stage.

    A turn takes as long as the slowest of: fleet (pump and swap), wireline units together, and one well's way round
    between the two divided by the sets of wells that go round.
    """

    fleet_h: float
    wireline_h: float
    round_h: float

    @property
    def turn_h(self) -> float:
        """Hours from one turn to the next."""
        return max(self)


def plan_of_averages(scenario: Scenario) -> Plan:
    """The dates that averages promise."""
    prepared_h = _prepared(scenario)
    starts, ends, handed_over = _fractured(scenario, prepared_h)
    drilled_out, to_flowback = _milled(scenario, handed_over)
    flowback_start, on_production = _flowed_back(scenario, to_flowback)
    return Plan(prepared_h, starts, ends, drilled_out, flowback_start, on_production)


def pace(scenario: Scenario, group: Sequence[Well], fleet: PumpingFleet) -> Pace:
    """Mean pace of a group under a fleet; wells with more stages count for more."""
    sets = _sets(scenario, group)
    together = len(sets[0])
    pump_h = _mean([_slowest_h(scenario, wells, fleet) for wells in sets], [_turns(wells) for wells in sets])
    stages = [well.stage_count for well in group]
    swap_h = 0.0 if len(sets) == 1 else _mean([_mean(_times(scenario, well, fleet).swap_h) for well in group], stages)
    units = sum(entry.count for entry in scenario.units.wireline_units)
    run_h = _mean([_mean_run_h(scenario, well) for well in group], stages)
    perforating_h = run_h * ceil(together / units)
    return Pace(pump_h + swap_h, together * run_h / units, (pump_h + perforating_h) / len(sets))


def _sets(scenario: Scenario, group: Sequence[Well]) -> list[Sequence[Well]]:
    """Wells that are pumped together, as listed."""
    together = min(scenario.strategy.pumped_together, len(group))
    return [group[first : first + together] for first in range(0, len(group), together)]


def _turns(wells: Sequence[Well]) -> int:
    """Turns of wells that are pumped together: those of the one with most stages."""
    return max(well.stage_count for well in wells)


def _slowest_h(scenario: Scenario, wells: Sequence[Well], fleet: PumpingFleet) -> float:
    """Mean hours of pumping a stage in each of the wells at once, at the time of the slowest."""
    return max(_mean(_times(scenario, well, fleet).pump_h(len(wells))) for well in wells)


def _times(scenario: Scenario, well: Well, fleet: PumpingFleet) -> StageTimes:
    return StageTimes(AVERAGE, well, scenario.strategy.swap.time, fleet)


def _mean(values: Sequence[float], weights: Sequence[float] = ()) -> float:
    """Mean of values that all count the same, or by their weights."""
    weighed = zip(values, weights or [1.0] * len(values), strict=True)
    return sum(value * weight for value, weight in weighed) / (sum(weights) or len(values))


def _mean_run_h(scenario: Scenario, well: Well) -> float:
    return _mean([hours for hours, _ in runs_of(AVERAGE, well, scenario.units.wireline_units[0])])


def _stretch(unit: Unit) -> float:
    """Hours of the day for one hour of work."""
    opens, closes = unit.hours
    return 24 / ((closes - opens) % 24 or 24)


def _work_h(unit: Unit, duration: float | Shape) -> float:
    """Hours that work of a unit takes on average, breaks between its shifts included."""
    return _stretch(unit) * AVERAGE.hours("", "", duration)


def _arrives_h(scenario: Scenario, unit: Unit) -> float:
    return scenario.hours_at(unit.arrives) if unit.arrives else 0.0


def _in_turn(
    scenario: Scenario,
    entries: Sequence[U],
    jobs: Sequence[tuple[Well, float]],
    done_h: Callable[[Well, U, float], float],
    can: Callable[[Well, U], bool] = lambda _, __: True,
) -> dict[str, Turn]:
    """Each well's turn, when the units of one kind that can do the jobs take them as they come.

    `done_h` says when a job is done that begins at an hour.
    """
    free: list[list[Any]] = [
        [_arrives_h(scenario, unit), number, unit] for number, (_, unit) in enumerate(individuals(entries))
    ]
    found: dict[str, Turn] = {}
    for well, released_h in jobs:
        able = [each for each in free if can(well, each[2])]
        first: list[Any] = min(able, key=lambda each: (each[0], each[1]))
        start_h, unit = max(first[0], released_h), first[2]
        first[0] = done_h(well, unit, start_h)
        found[well.name] = Turn(start_h, first[0], unit)
    return found


def _prepared(scenario: Scenario) -> dict[str, float]:
    wells = [well for group in scenario.groups for well in group]
    released = [(well, scenario.hours_at(well.rig_release) if well.rig_release else 0.0) for well in wells]
    jobs = sorted(((well, max(0.0, at_h)) for well, at_h in released), key=lambda job: job[1])
    crews: list[list[Any]] = [
        [_arrives_h(scenario, crew), number, crew]
        for number, (_, crew) in enumerate(individuals(scenario.units.preparation_crews))
    ]
    return {well.name: _prepared_by(crews, well, at_h) + watch_hours(AVERAGE, well) for well, at_h in jobs}


def _prepared_by(crews: Sequence[list[Any]], well: Well, ready_h: float) -> float:
    """One job after the other, each by the first crew to be there that knows it; whoever is at the well goes on."""
    crew: list[Any] = []
    for activity, hours in preparation_job(AVERAGE, well):
        able = [each for each in crews if activity in each[2].does]
        crew = min(able, key=partial(_comes_first, at_the_well=crew, ready_h=ready_h))
        ready_h = crew[0] = max(crew[0], ready_h) + _stretch(crew[2]) * hours
    return ready_h


def _comes_first(crew: list[Any], at_the_well: list[Any], ready_h: float) -> tuple[float, bool, float, int]:
    free_h, number, _ = crew
    return max(free_h, ready_h), crew is not at_the_well, free_h, number


def _total(job: Callable[..., list[tuple[str, float]]], *of: Any) -> float:
    return sum(hours for _, hours in job(AVERAGE, *of))


def _water_ready_h(scenario: Scenario) -> float:
    """Lines are laid while storage is erected, then it is filled."""
    water = scenario.water
    if water is None:
        return 0.0
    ready_h = max(AVERAGE.hours("", "", water.storage.erect), sum(lay_hours(AVERAGE, water)))
    return ready_h + hours_to_bring(scenario, water.storage.filled_to - water.storage.on_hand, ready_h)


def _proppant_ready_h(scenario: Scenario) -> float:
    proppant = scenario.proppant
    if proppant is None:
        return 0.0
    starts_h = scenario.hours_at(proppant.starts) if proppant.starts else 0.0
    missing = max(0.0, proppant.reachable_lb - proppant.storage.on_hand)
    return starts_h + 24 * missing / per_day_lb(proppant)


def _fractured(
    scenario: Scenario, prepared_h: dict[str, float]
) -> tuple[dict[str, float], dict[str, float], list[tuple[Well, float]]]:
    """Start and end of fracturing by well, and the wells in the order in which drill-out gets them."""
    stated = [fleet for _, fleet in individuals(scenario.units.pumping_fleets)]
    fleets = [[_arrives_h(scenario, fleet), number, fleet, False] for number, fleet in enumerate(stated)]
    starts: dict[str, float] = {}
    ends: dict[str, float] = {}
    for group in scenario.groups:
        first: list[Any] = min(fleets, key=lambda each: (each[0], each[1]))
        free_h, _, fleet, moves = first
        prepared = [prepared_h[well.name] for well in group]
        begin_h = max(_group_begins_h(scenario, free_h, fleet, moves, prepared[0]), min(prepared))
        first[0], first[3] = begin_h, True
        for well, hours in _group_hours(scenario, group, first[2]).items():
            starts[well], ends[well] = begin_h, begin_h + hours
            first[0] = max(first[0], ends[well])
    return starts, ends, _handed_over(scenario, ends)


def _group_begins_h(scenario: Scenario, free_h: float, fleet: PumpingFleet, moves: bool, prepared_h: float) -> float:
    """When a fleet can begin: after moving, or for its first group after rigging up.

    A fleet on call comes when the first well of its group is prepared.
    """
    if moves:
        return free_h + _work_h(fleet, scenario.strategy.between_groups)
    comes_h = max(free_h, prepared_h) if fleet.arrives is None else free_h
    return max(comes_h + _work_h(fleet, fleet.rig_up), _water_ready_h(scenario), _proppant_ready_h(scenario))


def _group_hours(scenario: Scenario, group: Sequence[Well], fleet: PumpingFleet) -> dict[str, float]:
    """Hours from the group's begin to each well's last stage: all go round at one pace until they drop out."""
    turn_h = _stretch(fleet) * pace(scenario, group, fleet).turn_h
    return {well.name: turn_h * _turns_until(scenario, group, well.stage_count) for well in group}


def _turns_until(scenario: Scenario, group: Sequence[Well], stages: int) -> float:
    """Turns until the wells of the group that are not done before have had so many stages."""
    if scenario.strategy.pairs == "as listed":
        return sum(min(stages, _turns(wells)) for wells in _sets(scenario, group))
    return sum(min(stages, well.stage_count) for well in group) / len(_sets(scenario, group)[0])


def _handed_over(scenario: Scenario, ends: dict[str, float]) -> list[tuple[Well, float]]:
    """Wells with the time at which they go to drill-out, in that order."""
    by_group = scenario.strategy.drill_out == "after the group"
    jobs = []
    for group in scenario.groups:
        over_h = max(ends[well.name] for well in group) if by_group else max(ends.values())
        jobs += [(well, over_h) for well in group]
    return sorted(jobs, key=lambda job: job[1])


def _milled(scenario: Scenario, jobs: list[tuple[Well, float]]) -> tuple[dict[str, float], list[tuple[Well, float]]]:
    rigs = scenario.units.milling_rigs

    def done_h(well: Well, rig: MillingRig, at_h: float) -> float:
        return at_h + _stretch(rig) * _total(milling_job, well, rig)

    spans = _in_turn(scenario, rigs, jobs, done_h, reaches)
    over = sorted(((well, spans[well.name].end_h) for well, _ in jobs), key=lambda job: job[1])
    return {name: turn.end_h - _work_h(turn.unit, turn.unit.rig_down) for name, turn in spans.items()}, over


def _flowed_back(scenario: Scenario, jobs: list[tuple[Well, float]]) -> tuple[dict[str, float], dict[str, float]]:
    spreads, limit = scenario.units.flowback_spreads, scenario.facility.limit if scenario.facility else inf
    flowing: list[Flowing] = []

    def done_h(well: Well, spread: FlowbackSpread, at_h: float) -> float:
        """When it is in line, once the facility has room for it."""
        *before, (_, line_h) = flowback_job(AVERAGE, well, spread)
        at_h += _stretch(spread) * sum(hours for _, hours in before)
        if well.production is not None and limit < inf:
            at_h = room_from_h(flowing, limit - well.production.peak, max([at_h, *(since_h for since_h, _ in flowing)]))
            flowing.append((at_h, well.production.curve))
        return at_h + _stretch(spread) * line_h

    spans = _in_turn(scenario, spreads, jobs, done_h)
    return (
        {name: turn.start_h + _work_h(turn.unit, turn.unit.rig_up) for name, turn in spans.items()},
        {name: turn.end_h for name, turn in spans.items()},
    )
