"""What a water system delivers on average: for a plan of averages, which knows no storage and no bad luck."""

from __future__ import annotations

from math import inf

from sim.scenario.supplies import Water
from sim.scenario.water_network import Line, Pond, Source

DAY_H = 24.0


def inflow_bbl_per_h(water: Water) -> float:
    """What the sources deliver to the pad together in the mean, in season, within all limits on the way."""
    return min(_gathered(water, None), water.transfer.limit if water.transfer else inf)


def _gathered(water: Water, name: str | None) -> float:
    """What reaches a pond or line, or the transfer line."""
    sources = sum(mean_rate(source) for source in water.sources if source.to == name)
    nodes = (node for node in water.nodes if node.to == name)
    return sources + sum(_passed_on(water, node) for node in nodes)


def _passed_on(water: Water, node: Pond | Line) -> float:
    if isinstance(node, Line):
        return min(_gathered(water, node.name), node.limit)
    gathered = _gathered(water, node.name)
    return min(max(0.0, gathered - node.losses), node.outlet)


def mean_rate(source: Source) -> float:
    """What a source delivers in the mean: in its hours, while it is up, and within its permit."""
    opens, closes = source.hours
    share = ((closes - opens) % DAY_H or DAY_H) / DAY_H
    up = 1.0 if source.outages is None else source.outages.up / (source.outages.up + source.outages.down)
    permitted = inf if source.daily_limit is None else source.daily_limit / DAY_H
    return min(source.rate * share * up, permitted)
