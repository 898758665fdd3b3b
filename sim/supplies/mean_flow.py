"""What a water system delivers on average: for a plan of averages, which knows no storage and no bad luck."""

from __future__ import annotations

from math import inf
from typing import NamedTuple

from sim.scenario.network_checks import open_hours
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.scenario.water_network import Line, Pond, Source
from sim.supplies.feeders import most

DAY_H = 24.0
CLOSE_H = 1e-9  # how exactly the moment is found at which a volume is there


class Mean(NamedTuple):
    """A mean rate, and the largest share of the whole that it may be."""

    able: float
    blend: float


class _Window(NamedTuple):
    """Hours between which means are taken, and whether ponds give what they hold at the start as well."""

    scenario: Scenario
    water: Water
    from_h: float
    to_h: float
    ponds: bool

    def gathered(self, name: str | None) -> float:
        """What reaches a pond or line, or the transfer line, with none above its share of the whole."""
        sources = [self.source(source) for source in self.water.sources if source.to == name]
        nodes = [self.passed_on(node) for node in self.water.nodes if node.to == name]
        return most([*(Mean(rate, 1.0) for rate in sources), *nodes])

    def passed_on(self, node: Pond | Line) -> Mean:
        """What a pond or line passes on; a pond passes on what it gathers, and never more than its outlet."""
        gathered = self.gathered(node.name)
        if isinstance(node, Line):
            return Mean(min(gathered, node.limit), 1.0)
        held = max(0.0, node.on_hand - node.working_minimum) / (self.to_h - self.from_h) if self.ponds else 0.0
        return Mean(min(max(0.0, gathered + held - node.losses), node.outlet), node.blend_limit)

    def source(self, source: Source) -> float:
        """What a source delivers: in season and in its hours, while it is up, and within its permit."""
        in_season = open_hours(self.scenario, source, self.from_h, self.to_h) / (self.to_h - self.from_h)
        opens, closes = source.hours
        share = ((closes - opens) % DAY_H or DAY_H) / DAY_H
        up = 1.0 if source.outages is None else source.outages.up / (source.outages.up + source.outages.down)
        permitted = inf if source.daily_limit is None else source.daily_limit / DAY_H
        return min(source.rate * share * up, permitted) * in_season


def inflow_bbl_per_h(scenario: Scenario, from_h: float, to_h: float, *, ponds: bool = False) -> float:
    """What the sources deliver to the pad together in the mean between two hours, within all limits on the way.

    With `ponds` also what those hold at the start, spread over these hours. Seasons and blend limits count as means:
    ponds are taken to make good for what comes at another time.
    """
    window = _window(scenario, from_h, to_h, ponds)
    return min(window.gathered(None), window.water.transfer.limit if window.water.transfer else inf)


def sources_bbl_per_h(scenario: Scenario, from_h: float, to_h: float) -> dict[str, float]:
    """What each source could deliver in the mean between two hours, by its name."""
    window = _window(scenario, from_h, to_h, ponds=False)
    return {source.name: window.source(source) for source in window.water.sources}


def _window(scenario: Scenario, from_h: float, to_h: float, ponds: bool) -> _Window:
    assert scenario.water is not None
    return _Window(scenario, scenario.water, from_h, to_h if to_h > from_h else from_h + 1, ponds)


def hours_to_bring(scenario: Scenario, volume: float, from_h: float) -> float:
    """Hours until so much has reached the pad, from sources and ponds; up to the horizon where it never does."""
    if volume <= 0:
        return 0.0

    def rate(hours: float) -> float:
        return inflow_bbl_per_h(scenario, from_h, from_h + hours, ponds=True)

    low_h, high_h = 0.0, max(scenario.horizon - from_h, 1.0)
    while high_h - low_h > CLOSE_H:
        middle_h = (low_h + high_h) / 2
        low_h, high_h = (low_h, middle_h) if rate(middle_h) * middle_h >= volume else (middle_h, high_h)
    return min(high_h, volume / rate(high_h)) if rate(high_h) > 0 else high_h
