"""A tank behind a source that fails: long-run laws of the fluid buffer and of the two-machine line."""

from __future__ import annotations

from itertools import pairwise
from math import inf
from typing import NamedTuple

import numpy as np
import pytest
import simpy

from sim.chance.outages import drawn_outages
from sim.chance.windows import without
from sim.log import Log
from sim.supplies.network import TRANSFER, Line, Network
from sim.supplies.source import Source
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from sim.supplies.upstream import Steady
from tests.theory.test_tank import OnOff
from tests.theory.tolerance import assert_mean

AS_IT_COMES = RULES["as it comes"]


class Stretch(NamedTuple):
    hours: float
    level: float
    next_level: float
    outflow: float
    turned_away: float


def behind_outages(case: OnOff, hours: float, seed: int) -> list[Stretch]:
    """A source of rate `demand`, up and down as the demand is on and off, and a steady draw of `supply`."""
    env, log, rng = simpy.Environment(), Log(0, seed, hours, {}), np.random.default_rng(seed)
    windows = without([(0.0, inf)], drawn_outages(1 / case.to_off, 1 / case.to_on, hours, rng))
    network = Network(Line(TRANSFER, [Source("river", case.demand, windows)]))
    stores = Stores(env, log, [Store("water", case.capacity, case.capacity / 2, AS_IT_COMES, network)])
    stores.take({"water": case.supply * hours * 2}, hours * 2)
    env.run(until=hours)
    stores.catch_up()
    rows = [row for row in log.levels if row.supply == "water"]
    away = [row for row in log.levels if row.supply == "river"]
    found, number = [], 0
    for row, after in pairwise(rows):
        while number + 1 < len(away) and away[number + 1].time_h <= row.time_h:
            number += 1
        turned = away[number].turned_away
        found.append(Stretch(after.time_h - row.time_h, row.level, after.level, row.outflow, turned))
    return found


@pytest.mark.slow
def test_a_source_that_fails_before_a_finite_tank() -> None:
    """How often the tank is full or empty, how full it is, and what it delivers in the long run.

    W6 seen from the other side: where there a steady supply meets a demand that comes and goes, here a source that
    comes and goes meets a steady demand; full and empty change places. Own formulae in the theory of Anick, Mitra and
    Sondhi (1982), confirmed by a grid generator, by spectral solution and by an event simulation of its own.
    """
    case = OnOff(2000.0)
    full, empty, served = case.laws()
    assert (full, empty, served) == pytest.approx((0.28276443, 0.06253687, 1874.926258), rel=1e-6)
    past = np.array(behind_outages(case, 150_000, seed=4))
    hours, level, following, outflow, turned_away = past.T
    dry = (level == 0) & (following == 0) & (outflow < case.supply)
    shares = np.array([turned_away > 0, dry, outflow, case.capacity - (level + following) / 2])
    at_h = np.cumsum(hours)
    edges = np.searchsorted(at_h, np.linspace(0.1, 1, 31) * at_h[-1])
    pieces = [slice(*edge) for edge in pairwise(edges)]
    batches = np.array([np.average(shares[:, piece], axis=1, weights=hours[piece]) for piece in pieces]).T
    for share, law in zip(batches, (full, empty, served, 3859.1938), strict=True):
        assert abs(share.mean() - law) <= 3.9 * share.std(ddof=1) / len(share) ** 0.5
    assert_mean(batches[2], served)


class TwoMachines:
    """A machine that fills a buffer and one that empties it; each fails after so much work of its own, at speed 1."""

    def __init__(self, capacity: float, fails: tuple[float, float], repaired: tuple[float, float], seed: int) -> None:
        self.env, self.rng = simpy.Environment(), np.random.default_rng(seed)
        self.fails, self.repaired, self.capacity = fails, repaired, capacity
        store = Store("buffer", capacity, capacity / 2, AS_IT_COMES, Steady("source", 1.0))
        self.stores = Stores(self.env, Log(0, seed, inf, {}), [store])
        self.made, self.under_way = 0.0, 0.0
        self.bell, self.second_runs, self.draw = self.env.event(), True, None
        self.env.process(self.first())
        self.env.process(self.second())

    def emptied(self) -> float:
        """All that the second machine has worked on."""
        self.stores.catch_up()
        return self.made + (self.draw.hours_done if self.draw is not None else 0.0)

    def first(self) -> simpy.events.ProcessGenerator:
        while True:
            left = self.rng.exponential(1 / self.fails[0])
            while left > 1e-9:
                before = self.stores.level("buffer") + self.emptied()
                blocked = not self.second_runs and self.stores.level("buffer") >= self.capacity
                yield self.bell if blocked else self.bell | self.env.timeout(left)
                left -= self.stores.level("buffer") + self.emptied() - before
            self.stores.set_rate("buffer", 0.0)
            yield self.env.timeout(self.rng.exponential(1 / self.repaired[0]))
            self.stores.set_rate("buffer", 1.0)

    def second(self) -> simpy.events.ProcessGenerator:
        while True:
            work = self.rng.exponential(1 / self.fails[1])
            self.draw = self.stores.take({"buffer": work}, work)
            yield self.draw.done
            self.made, self.draw, self.second_runs = self.made + work, None, False
            self.ring()
            yield self.env.timeout(self.rng.exponential(1 / self.repaired[1]))
            self.second_runs = True
            self.ring()

    def ring(self) -> None:
        bell, self.bell = self.bell, self.env.event()
        bell.succeed()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("fails", "repaired", "expected"),
    [((0.01, 0.01), (0.1, 0.1), 0.85872576), ((0.02, 0.01), (0.1, 0.1), 0.79891515)],
)
def test_two_machine_line(fails: tuple[float, float], repaired: tuple[float, float], expected: float) -> None:
    """A buffer of 10 between two machines of equal speed (W11): what they make together in the long run.

    Closed form in the manner of Gershwin (1994), after Buzacott (1967); from memory, re-derived, and confirmed by an
    event simulation of its own.
    """
    line = TwoMachines(10.0, fails, repaired, seed=5)
    line.env.run(until=5_000)
    made = []
    for end_h in range(10_000, 155_000, 5_000):
        before = line.emptied()
        line.env.run(until=end_h)
        made.append((line.emptied() - before) / 5_000)
    assert_mean(np.array(made), expected)
