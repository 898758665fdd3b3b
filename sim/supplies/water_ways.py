"""The network of a scenario's water in one replication: its tree, and when each source can deliver."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import inf

from sim.activities import FLOWBACK_WATER
from sim.calendars import daily
from sim.chance.outages import drawn_outages
from sim.chance.streams import own_generator
from sim.chance.windows import Window, union, without
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.scenario.water_network import Line as StatedLine
from sim.scenario.water_network import Pond as StatedPond
from sim.scenario.water_network import Source as StatedSource
from sim.scenario.water_network import Stretch
from sim.supplies.feeders import Node
from sim.supplies.network import TRANSFER, Line, Network, Pond
from sim.supplies.source import DAY_H, Returned, Source

EVER: Window = (0.0, inf)


def network_of(scenario: Scenario, water: Water, seed: int, replication: int) -> Network:
    """The network of one replication, with its lines not laid yet."""
    fed_by: dict[str | None, list[Node]] = defaultdict(list)
    for source in water.sources:
        fed_by[source.to].append(_source(scenario, source, seed, replication))
    if water.flowback_to is not None:
        fed_by[water.flowback_to].append(Returned(FLOWBACK_WATER))
    for stated in _outermost_first(water):
        fed_by[stated.to].append(_node(stated, fed_by[stated.name]))
    limit = water.transfer.limit if water.transfer else inf
    return Network(Line(TRANSFER, fed_by[None], limit), laid=False)


def _outermost_first(water: Water) -> list[StatedPond | StatedLine]:
    """Ponds and lines in such an order that each comes after all that feed it."""
    by_name = {stated.name: stated for stated in water.nodes}

    def steps_to_pad(stated: StatedPond | StatedLine) -> int:
        return 0 if stated.to is None else 1 + steps_to_pad(by_name[stated.to])

    return sorted(water.nodes, key=steps_to_pad, reverse=True)


def _node(stated: StatedPond | StatedLine, feeders: Sequence[Node]) -> Node:
    if isinstance(stated, StatedLine):
        return Line(stated.name, feeders, stated.limit, stated.priority)
    return Pond(
        stated.name, feeders, stated.capacity, stated.on_hand, stated.outlet, losses=stated.losses,
        minimum=stated.working_minimum, blend=stated.blend_limit, priority=stated.priority,
    )  # fmt: skip


def _source(scenario: Scenario, stated: StatedSource, seed: int, replication: int) -> Source:
    start = scenario.start
    first_hour = start.hour + start.minute / 60 + start.second / 3600
    windows = without(when_open(scenario, stated), _outages(scenario, stated, seed, replication))
    limit = inf if stated.daily_limit is None else stated.daily_limit
    return Source(stated.name, stated.rate, windows, limit, DAY_H - first_hour, stated.priority)


def when_open(scenario: Scenario, source: StatedSource) -> list[Window]:
    """Hours from the start in which a source may be taken, as far as that is known beforehand."""
    start = scenario.start
    first_hour = start.hour + start.minute / 60 + start.second / 3600
    windows = daily(*source.hours, first_hour, scenario.horizon).windows
    if source.open is not None:
        windows = without(windows, without([EVER], _stretches(scenario, source.open)))
    return without(windows, _stretches(scenario, source.stopped or ()))


def _stretches(scenario: Scenario, stated: Sequence[Stretch]) -> list[Window]:
    hours = ((scenario.hours_at(each.begins), scenario.hours_at(each.until)) for each in stated)
    return union(*([(max(begins_h, 0.0), until_h)] for begins_h, until_h in hours if until_h > 0))


def _outages(scenario: Scenario, source: StatedSource, seed: int, replication: int) -> list[Window]:
    if source.outages is None:
        return []
    luck = own_generator(seed, replication, source.name, "outages")
    return drawn_outages(source.outages.up, source.outages.down, scenario.horizon, luck)
