"""Whether the water can reach the pad, and be enough: names, ways, levels, seasons and permits of its network."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import ceil, inf

from sim.scenario.document import Steps
from sim.scenario.feasibility import Finding
from sim.scenario.problems import did_you_mean
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.scenario.thirst import water_in_all, water_there
from sim.scenario.water_network import Source

NAMES_OF_SUPPLIES = frozenset({"water", "proppant", "flowback water", "transfer", "source", "storage"})
"""What the log and the causes of waits call other things."""
DAY_H = 24.0


def water_names(scenario: Scenario) -> Iterator[Finding]:
    """A source, pond, line or supply called like another, or like something else that the log names."""
    taken = dict.fromkeys(NAMES_OF_SUPPLIES, "what logs call something else")
    for name in scenario.other_supplies:
        if name in taken:
            yield Finding(("other_supplies", name), f"'{name}' is {taken[name]}; expected another name")
        taken[name] = "the name of a supply"
    for steps, name in _named(scenario.water):
        if taken.get(name) == "earlier":
            yield Finding((*steps, "name"), "an earlier entry has the same name; expected each name once")
        elif name in taken:
            yield Finding((*steps, "name"), f"'{name}' is {taken[name]}; expected another name")
        taken.setdefault(name, "earlier")


def _named(water: Water | None) -> Iterator[tuple[Steps, str]]:
    for key in ("sources", "ponds", "lines"):
        for number, entry in enumerate(getattr(water, key, ())):
            yield ("water", key, number), entry.name


def ways_to_the_pad(scenario: Scenario) -> Iterator[Finding]:
    """Each source, pond and line must have one way on, which ends at the pad; each line something that feeds it."""
    water = scenario.water
    if water is None:
        return
    ways = {node.name: node.to for node in water.nodes}
    for steps, name in _named(water):
        to = ways.get(name) if steps[1] != "sources" else water.sources[int(steps[2])].to
        if to is not None and to not in ways:
            known = ", ".join(ways) or "none is stated"
            message = f"no pond or line is called that{did_you_mean(to, ways)}; expected one of them: {known}"
            yield Finding((*steps, "to"), message)
        elif steps[1] != "sources" and _comes_back(name, ways):
            yield Finding((*steps, "to"), f"the water of {name} would come back to it; expected a way on to the pad")
    yield from _unfed(water)
    if water.flowback_to is not None and water.flowback_to not in {pond.name for pond in water.ponds}:
        ponds = ", ".join(pond.name for pond in water.ponds) or "none is stated"
        yield Finding(("water", "flowback_to"), f"no pond is called that; expected one of the ponds: {ponds}")


def _comes_back(name: str, ways: dict[str, str | None]) -> bool:
    seen, to = {name}, ways[name]
    while to is not None and to not in seen:
        seen.add(to)
        to = ways.get(to)
    return to == name


def _unfed(water: Water) -> Iterator[Finding]:
    fed = {source.to for source in water.sources} | {node.to for node in water.nodes} | {water.flowback_to}
    for number, line in enumerate(water.lines):
        if line.name not in fed:
            yield Finding(("water", "lines", number), f"nothing feeds {line.name}; expected a source or pond that does")
    for number, pond in enumerate(water.ponds):
        if pond.name not in fed and pond.on_hand <= pond.working_minimum:
            message = f"nothing feeds {pond.name}, and it holds nothing to draw; expected a source that does"
            yield Finding(("water", "ponds", number), message)
    if None not in fed:
        yield Finding(("water", "sources"), "none has a way to the pad; expected one, or a pond or line, without `to`")


def blended(scenario: Scenario) -> Iterator[Finding]:
    """A share of what flows to the pad can only be kept where the pond flows to the pad itself, beside something."""
    if scenario.water is None:
        return
    for number, pond in enumerate(scenario.water.ponds):
        steps: Steps = ("water", "ponds", number, "blend_limit")
        others = [each for each in (*scenario.water.sources, *scenario.water.nodes) if each.to is None]
        if pond.blend_limit < 1 and pond.to is not None:
            yield Finding(steps, "a share of what flows to the pad; expected it of a pond without `to`")
        elif pond.blend_limit < 1 and others == [pond]:
            yield Finding(steps, "nothing else flows to the pad, so nothing would; expected another source beside it")


def pond_levels(scenario: Scenario) -> Iterator[Finding]:
    """Ponds and stores that would have to hold more than they can."""
    for number, pond in enumerate(scenario.water.ponds if scenario.water else ()):
        for key in ("on_hand", "working_minimum"):
            if getattr(pond, key) > pond.capacity:
                message = f"more than {pond.name} holds; expected at most its capacity, {pond.capacity:,.0f} bbl"
                yield Finding(("water", "ponds", number, key), message)
    storage = scenario.water.storage if scenario.water else None
    if storage is not None and storage.working_minimum >= storage.capacity:
        message = f"nothing could be drawn; expected less than the capacity, {storage.capacity:,.0f} bbl"
        yield Finding(("water", "storage", "working_minimum"), message)
    for name, other in scenario.other_supplies.items():
        for key in ("on_hand", "working_minimum"):
            if (getattr(other, key) or 0.0) > other.capacity:
                message = f"more than is stored; expected at most the capacity, {other.capacity:,.0f} bbl"
                yield Finding(("other_supplies", name, key), message)


def closed_sources(scenario: Scenario) -> Iterator[Finding]:
    """Sources that would deliver nothing up to the horizon."""
    for number, source in enumerate(scenario.water.sources if scenario.water else ()):
        if open_hours(scenario, source, 0.0, scenario.horizon) <= 0:
            end = scenario.moment_at(scenario.horizon)
            message = f"{source.name} delivers nothing before the horizon, {end:%Y-%m-%d}; expected it open by then"
            yield Finding(("water", "sources", number), message)
        elif source.rate == 0 and not source.is_steady:
            yield Finding(("water", "sources", number, "rate"), "delivers nothing; expected a rate above zero")


def open_hours(scenario: Scenario, source: Source, from_h: float, to_h: float) -> float:
    """Hours between two in which a source is in season and not stopped, whatever its hours of the day."""
    seasons = [(scenario.hours_at(each.begins), scenario.hours_at(each.until)) for each in source.open or ()]
    stopped = [(scenario.hours_at(each.begins), scenario.hours_at(each.until)) for each in source.stopped or ()]
    edges = {hour for stretch in (*seasons, *stopped) for hour in stretch if from_h < hour < to_h}
    return sum(
        until_h - since_h
        for since_h, until_h in pairwise(sorted({from_h, to_h} | edges))
        if (not seasons or any(a <= since_h < b for a, b in seasons)) and not any(a <= since_h < b for a, b in stopped)
    )


def too_little_permitted(scenario: Scenario) -> Iterator[Finding]:
    """Permits and rates that, all used up to the horizon, would not be what the wells take."""
    water = scenario.water
    if water is None or water.is_steady or water.flowback_to is not None:
        return  # what comes steadily is enough in time: work beyond the horizon is counted, not refused
    if sum(source.rate for source in water.sources) == 0:
        return
    needed = water_in_all(scenario)
    most = water_there(water) + sum(_most(scenario, source) for source in water.sources)
    if most < needed:
        yield Finding(
            ("water", "sources"),
            f"deliver at most {most:,.0f} bbl up to the horizon, on hand included, of the {needed:,.0f} bbl that"
            " stages, wireline runs and drill-outs take; expected more sources, higher rates or permits, or a longer"
            " horizon",
        )


def _most(scenario: Scenario, source: Source) -> float:
    hours = open_hours(scenario, source, 0.0, scenario.horizon)
    permitted = inf if source.daily_limit is None else source.daily_limit * (ceil(hours / DAY_H) + 1)
    return min(source.rate * hours, permitted)
