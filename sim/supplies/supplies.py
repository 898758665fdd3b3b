"""The supplies of the pad: one plain stock of water where that is all, else all stores in one hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from types import MappingProxyType
from typing import Protocol

import simpy

from sim.activities import PROPPANT, WATER
from sim.log import Log
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.supplies.draw import Draw
from sim.supplies.network import TRANSFER, Network, Pond, nodes_of
from sim.supplies.plain_draw import PlainDraw
from sim.supplies.source import Step
from sim.supplies.start_rules import RULES
from sim.supplies.stock import Stock
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from sim.supplies.upstream import Steady
from sim.supplies.water_ways import network_of

Wanted = Mapping[str, float]  # volume by supply
AnyDraw = Draw | PlainDraw


class Supplies(Protocol):
    """What the trades see of the supplies."""

    def take(
        self,
        wanted: Wanted,
        hours: float,
        stop_h: float = inf,
        priority: int = 1,
        *,
        start_by_h: float = inf,
        asked_h: float | None = None,
        begun: bool = False,
    ) -> AnyDraw:
        """Ask for volumes, evenly over so many hours, from as soon as the rule of each supply allows.

        The rules are asked for `asked_h` at that rate: all that whoever asks believes to come, before trouble strikes.
        It is given up if it may not start by `start_by_h`, and stops at `stop_h`, done or not. What has `begun` before
        goes on without being asked.
        """

    def lay(self, supply: str) -> None:
        """Let a supply flow in from now on."""

    def hours_to_reach(self, supply: str, level: float) -> float:
        """How long it takes until so much is in store if nobody draws."""

    def give_back(self, steps: Sequence[Step]) -> None:
        """Let the water of a well's flowback come in."""

    def catch_up(self) -> None:
        """Bring levels and draws up to now."""


class PlainWater:
    """Water alone, at a constant inflow: what most pads have, in closed form."""

    def __init__(self, stock: Stock, inflow: float) -> None:
        self.stock, self._inflow = stock, inflow

    def take(
        self,
        wanted: Wanted,
        hours: float,
        stop_h: float = inf,
        priority: int = 1,
        *,
        start_by_h: float = inf,
        asked_h: float | None = None,
        begun: bool = False,
    ) -> PlainDraw:
        """See `Supplies`; all have the same priority."""
        volume = wanted[WATER]
        rate = volume / hours
        asked = None if asked_h is None else rate * asked_h
        return self.stock.draw(volume, rate, stop_h, start_by_h=start_by_h, asked=asked, begun=begun)

    def lay(self, supply: str) -> None:
        """See `Supplies`."""
        self.stock.set_inflow(self._inflow)

    def hours_to_reach(self, supply: str, level: float) -> float:
        """See `Supplies`."""
        return self.stock.hours_to_reach(level)

    def give_back(self, steps: Sequence[Step]) -> None:
        """Nobody takes it."""

    def catch_up(self) -> None:
        """See `Supplies`."""
        self.stock.catch_up()


def supplies_of(
    scenario: Scenario, env: simpy.Environment, log: Log, levels: Mapping[str, float] = MappingProxyType({})
) -> Supplies | None:
    """The supplies of a scenario in one replication; None where nothing is ever short.

    `levels` are what stores and ponds hold by now, where that is not what the scenario has on hand at the start.
    """
    water, plain = scenario.water, _is_plain(scenario)
    if water is not None and plain:
        inflow, part = steady_inflow(water)
        storage, rule = water.storage, RULES[water.start_rule]
        return PlainWater(
            Stock(env, log, WATER, storage.capacity, levels.get(WATER, storage.on_hand), rule, part), inflow
        )
    stores = [*_water(scenario, log), *_proppant(scenario), *_others(scenario)]
    _hold(stores, levels)
    return Stores(env, log, stores) if stores else None


def _hold(stores: Sequence[Store], levels: Mapping[str, float]) -> None:
    """Let stores, and the ponds behind them, hold what is known of them."""
    for store in stores:
        store.level = levels.get(store.name, store.level)
        if isinstance(store.upstream, Network):
            for node in nodes_of(store.upstream.root):
                if isinstance(node, Pond):
                    node.level = levels.get(node.name, node.level)


def _is_plain(scenario: Scenario) -> bool:
    """Whether water is all there is, steady, and nobody goes before anybody else."""
    water, units = scenario.water, scenario.units
    priorities = {unit.priority for unit in units.pumping_fleets} | {unit.priority for unit in units.wireline_units}
    priorities |= {rig.priority for rig in units.milling_rigs}
    return (
        scenario.proppant is None
        and not scenario.other_supplies
        and (water is None or (water.is_steady and not water.storage.working_minimum))
        and len(priorities) == 1
    )


def steady_inflow(water: Water) -> tuple[float, str]:
    """What steady sources deliver together within the limit of the line, and which of the two is the limit."""
    delivered = sum(source.rate for source in water.sources)
    if water.transfer is not None and water.transfer.limit < delivered:
        return water.transfer.limit, TRANSFER
    return delivered, "source"


def _water(scenario: Scenario, log: Log) -> list[Store]:
    water = scenario.water
    if water is None:
        return []
    storage, rule = water.storage, RULES[water.start_rule]
    if water.is_steady:
        inflow, part = steady_inflow(water)
        upstream = Steady(part, inflow, laid=False)
        return [Store(WATER, storage.capacity, storage.on_hand, rule, upstream, storage.working_minimum)]
    network = network_of(scenario, water, log.seed, log.replication)
    log.feeders = {
        node.name: "pond" if isinstance(node, Pond) else "source"
        for node in nodes_of(network.root)
        if not hasattr(node, "most")
    }
    return [Store(WATER, storage.capacity, storage.on_hand, rule, network, storage.working_minimum)]


def _proppant(scenario: Scenario) -> list[Store]:
    proppant = scenario.proppant
    if proppant is None:
        return []
    storage, upstream = proppant.storage, Steady(proppant.part, proppant.rate or 0.0, laid=False)
    return [Store(PROPPANT, storage.capacity, storage.on_hand, RULES[proppant.start_rule], upstream)]


def _others(scenario: Scenario) -> list[Store]:
    return [
        Store(
            name, other.capacity, other.capacity if other.on_hand is None else other.on_hand,
            RULES[other.start_rule], Steady("source", other.rate), other.working_minimum,
        )
        for name, other in scenario.other_supplies.items()
    ]  # fmt: skip
