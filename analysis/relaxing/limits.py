"""The limits that a plan states, each with the changes that would lift it: what might buy time.

The list follows from the plan: nothing is relaxed that is not there. A limit is lifted by patches on the plan as
written, so a relaxed plan passes the same checks as any other. Changes are worked out from the plan they are made
to, so that two limits can be lifted one after the other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any, NamedTuple

from analysis.relaxing.limits_of_units import unit_limits
from analysis.relaxing.limits_written import Changes, halved, replaced
from sim.scenario.scenario import Scenario
from sim.scenario.strategy import Strategy, Swap
from sim.scenario.supplies import Water

MOST_WELLS = 12  # whose rig releases are looked at one by one
NO_LIMIT = "1000000 bbl/h"  # far more than any fleet can pump
NOW = "0 h"
ALL_RELEASES, NO_TROUBLE = SUMS = ("every rig release a day earlier", "no trouble at all")


class Limit(NamedTuple):
    """Something that holds the plan back, named as what would be if it did not.

    `is_sum` marks one that lifts several others of the list at once.
    """

    name: str
    changes: Callable[[dict[str, Any]], Changes]
    is_sum: bool = False


def limits_of(scenario: Scenario) -> list[Limit]:
    """Every limit that the scenario states, in the order of the work."""
    found = [
        *_wells(scenario),
        *unit_limits(scenario),
        *_water(scenario.water),
        *_strategy(scenario),
        *_facility(scenario),
        *_shifts_and_weather(scenario),
        *_troubles(scenario),
    ]
    return [Limit(*each, is_sum=each[0] in SUMS) for each in found]


Found = Iterator[tuple[str, Callable[[dict[str, Any]], Changes]]]


def _always(*changes: tuple[str, Any]) -> Callable[[dict[str, Any]], Changes]:
    return lambda _: list(changes)


def _wells(scenario: Scenario) -> Found:
    """Rig releases after the start, and injection tests. What lies before the start can be moved no more."""
    late = {well.name: well.rig_release for well in scenario.wells if well.rig_release}
    earlier = {
        name: f"{max(scenario.start, release - timedelta(days=1)):%Y-%m-%d %H:%M:%S}"
        for name, release in late.items()
        if release > scenario.start
    }
    patches = [(f"wells.{name}.rig_release", moment) for name, moment in earlier.items()]
    if len(patches) <= MOST_WELLS:
        for name, patch in zip(earlier, patches, strict=True):
            yield f"rig release of {name} a day earlier", _always(patch)
    if len(patches) > 1:
        yield ALL_RELEASES, _always(*patches)
    tested = [well.name for well in scenario.wells if well.injection_test is not None]
    if tested:
        yield "no injection test", _always(*((f"wells.{name}.injection_test", None) for name in tested))


def _water(water: Water | None) -> Found:
    if water is None:
        return
    sources = [{"name": source.name, "rate": NO_LIMIT} for source in water.sources]
    line = [] if water.transfer is None else [("water.transfer.limit", NO_LIMIT)]
    yield "water without limit", _always(*replaced("water.sources", sources), *line)
    wanted = water.storage.capacity if water.storage.fill_to is None else water.storage.fill_to
    storage = {"capacity": f"{2 * water.storage.capacity!r} bbl", "fill_to": f"{wanted!r} bbl"}
    yield "twice the storage", _always(("water.storage", storage))
    ready = {"erect": NOW, "on_hand": f"{max(wanted, water.storage.on_hand)!r} bbl"}
    laid = [] if water.transfer is None else [("water.transfer.lay", NOW)]
    yield "water system ready at the start", _always(("water.storage", ready), *laid)
    if water.start_rule != "as it comes":
        yield "stages start as their water comes", _always(("water.start_rule", "as it comes"))


def _strategy(scenario: Scenario) -> Found:
    strategy, several = scenario.strategy, len(scenario.groups) > 1
    rotating = max(len(group) for group in scenario.groups) > 1
    if rotating and strategy.swap.time != 0:
        yield "half the swap time", _half(("strategy", "swap", "time"), Swap.model_fields["time"].default)
    if rotating and strategy.swap.when != "as soon as the fleet is free":
        yield "swap as soon as the fleet is free", _always(("strategy.swap.when", "as soon as the fleet is free"))
    if several and strategy.between_groups != 0:
        default = Strategy.model_fields["between_groups"].default
        yield "half the move between groups", _half(("strategy", "between_groups"), default)
    if several and strategy.drill_out == "after the pad":
        yield "drill-out after each group", _always(("strategy.drill_out", "after the group"))
    if strategy.wells_between:
        clear = [("strategy.keep_clear", 0), ("strategy.keep_clear_distance", None)]
        yield "neighbours need not keep clear", _always(*clear)


def _half(steps: tuple[str, ...], default: Any) -> Callable[[dict[str, Any]], Changes]:
    def changes(plan: dict[str, Any]) -> Changes:
        written: Any = plan
        for step in steps:
            written = written.get(step) if isinstance(written, dict) else None
        return replaced(".".join(steps), halved(default if written is None else written))

    return changes


def _facility(scenario: Scenario) -> Found:
    if scenario.facility is not None:
        yield "no limit of the facility", _always(("facility", None))


def _shifts_and_weather(scenario: Scenario) -> Found:
    if scenario.shifts is not None and scenario.shifts.crew_change > 0:
        yield "no time lost to crew changes", _always(("shifts", None))
    if scenario.weather is not None:
        yield "no weather", _always(("weather", None))


def _troubles(scenario: Scenario) -> Found:
    if not scenario.trouble_factor:
        return
    for name in scenario.troubles:
        yield f"no {name}", _without(name)
    if len(scenario.troubles) > 1:
        yield NO_TROUBLE, _always(("trouble_factor", 0))


def _without(trouble: str) -> Callable[[dict[str, Any]], Changes]:
    def changes(plan: dict[str, Any]) -> Changes:
        left = {name: figures for name, figures in (plan.get("troubles") or {}).items() if name != trouble}
        return replaced("troubles", left)

    return changes
