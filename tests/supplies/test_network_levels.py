"""Random networks of tanks against scipy's solve_ivp with event detection, and what must hold of any."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.log import Log
from sim.supplies.network import TRANSFER, Line, Network, Pond, nodes_of
from sim.supplies.source import Source
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from tests.supplies.ode import Levels, Place

UNTIL_H = 200.0


def drawn(seed: int) -> tuple[dict[str, Place], list[tuple[float, float, float]]]:
    """A random tree of sources, ponds and lines, and stretches of demand: from, until, rate."""
    rng = np.random.default_rng(seed)
    places = {"pad": Place("pad", capacity=rng.uniform(500, 3000), most=rng.uniform(100, 600))}
    places["pad"].level = rng.uniform(0, places["pad"].capacity)
    inner = ["pad"]
    for k in range(rng.integers(0, 4)):
        place = Place(f"n{k}", str(rng.choice(inner)), most=rng.uniform(30, 400), priority=int(rng.integers(1, 3)))
        if rng.random() < 0.7:
            place.capacity = rng.uniform(200, 3000)
            place.minimum = rng.choice([0.0, rng.uniform(0, 0.3 * place.capacity)])
            place.level = rng.choice([0.0, place.minimum, rng.uniform(0, place.capacity), place.capacity])
            place.losses = rng.choice([0.0, rng.uniform(1, 20)])
        places[place.name] = place
        inner.append(place.name)
    leaves = [name for name in inner if name not in {place.to for place in places.values()}]
    for k, name in enumerate([*leaves, *rng.choice(inner, rng.integers(1, 4))]):
        edges = np.sort(rng.uniform(0, UNTIL_H, 2 * rng.integers(1, 4))).tolist()
        windows = ((0.0, inf),) if rng.random() < 0.4 else tuple(zip(edges[::2], edges[1::2], strict=True))
        places[f"s{k}"] = Place(f"s{k}", str(name), rng.uniform(10, 300), windows, priority=int(rng.integers(1, 3)))
    cuts = np.sort(rng.uniform(0, UNTIL_H, 12)).tolist()
    return places, [(a, b, rng.uniform(20, 500)) for a, b in zip(cuts[::2], cuts[1::2], strict=True)]


def network_of(places: dict[str, Place]) -> Network:
    def node(place: Place) -> Source | Pond | Line:
        if place.rate > 0:
            return Source(place.name, place.rate, place.windows, priority=place.priority)
        feeders = feeders_of(place.name)
        if not place.is_pond:
            return Line(place.name, feeders, place.most, place.priority)
        return Pond(place.name, feeders, place.capacity, place.level, place.most, losses=place.losses,
                    minimum=place.minimum, priority=place.priority)  # fmt: skip

    def feeders_of(name: str) -> list[Source | Pond | Line]:
        return [node(place) for place in places.values() if place.to == name]

    return Network(Line(TRANSFER, feeders_of("pad"), places["pad"].most))


def played(places: dict[str, Place], demand: list[tuple[float, float, float]]) -> tuple[dict[str, float], Log]:
    """Levels at the end, by the simulator's own stores under *as it comes*."""
    env, log, pad = simpy.Environment(), Log(0, 0, UNTIL_H, {}), places["pad"]
    store = Store("water", pad.capacity, pad.level, RULES["as it comes"], network_of(places))
    stores = Stores(env, log, [store])

    def draw(from_h: float, until_h: float, rate: float) -> simpy.events.ProcessGenerator:
        yield env.timeout(from_h)
        stores.take({"water": rate * 1e6}, 1e6, until_h)

    for stretch in demand:
        env.process(draw(*stretch))
    env.run(until=UNTIL_H)
    stores.catch_up()
    assert isinstance(store.upstream, Network)
    ponds = {node.name: node.level for node in nodes_of(store.upstream.root) if isinstance(node, Pond)}
    return {"pad": store.level} | ponds, log


@pytest.mark.parametrize("first", range(0, 24, 8))
def test_levels_equal_those_of_an_integrator(first: int) -> None:
    """Ponds with losses and minima, lines, windows and priorities: every level after 200 h, drawn on and off."""
    for seed in range(first, first + 8):
        places, demand = drawn(seed)
        levels, _ = played(places, demand)
        edges = [edge for place in places.values() for window in place.windows for edge in window]
        edges += [edge for stretch in demand for edge in stretch[:2]]

        def wanted(at_h: float, demand: list[tuple[float, float, float]] = demand) -> float:
            return sum(rate for from_h, until_h, rate in demand if from_h <= at_h < until_h)

        solved = Levels(places, wanted, edges)
        solved.play(UNTIL_H)
        assert levels == pytest.approx(solved.levels, abs=1e-3), seed


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.integers(1000, 100_000))
def test_nothing_is_won_or_lost(seed: int) -> None:
    """Row by row, and over the whole network: what sources deliver is drawn, stored or lost (to 1e-6)."""
    places, demand = drawn(seed)
    levels, log = played(places, demand)
    flows: dict[str, np.ndarray] = {}
    for name in {row.supply for row in log.levels}:
        rows = [row for row in log.levels if row.supply == name]
        ends = np.array([*(row.time_h for row in rows[1:]), UNTIL_H])
        table = np.array([row[2:] for row in rows])
        hours = ends - np.array([row.time_h for row in rows])
        net = table[:, 1] - table[:, 2] - table[:, 3]
        after = [*table[1:, 0], levels.get("pad" if name == "water" else name, 0.0)]
        assert table[:, 0] + net * hours == pytest.approx(after, abs=1e-6 * 3000)
        flows[name] = hours @ table[:, 1:]
    sources = [name for name, place in places.items() if place.rate > 0]
    delivered = sum(flows[name][1] for name in sources)
    ponds = {"water" if name == "pad" else name: place for name, place in places.items() if place.is_pond}
    kept = sum(levels["pad" if name == "water" else name] - place.level for name, place in ponds.items())
    lost = sum(flows[name][2] for name in ponds if name != "water")
    assert delivered == pytest.approx(flows["water"][1] + kept + lost, abs=1e-6 * max(1.0, delivered))
