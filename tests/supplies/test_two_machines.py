"""The two-machine line through the network: a source that fails by what it delivers, a pond, and a draw that fails."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
import simpy

from sim.log import Log
from sim.supplies.network import TRANSFER, Line, Network, Pond
from sim.supplies.source import Source
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from tests.theory.tolerance import assert_mean

BRIEF = 1e-9


class Machine(Source):
    """A source of rate 1 that fails after so much that it has delivered, not while it is idle, and is then repaired.

    What it does before each failure and how long each repair takes is drawn beforehand: a copy played forward sees
    the same future.
    """

    __slots__ = ("_done", "_left", "_repaired_h", "_repairs", "_works")

    def __init__(self, works: list[float], repairs: list[float]) -> None:
        super().__init__("machine", 1.0)
        self._works, self._repairs, self._done = works, repairs, 0
        self._left, self._repaired_h = works[0], -inf

    def look(self, at_h: float, open_: bool) -> None:
        if self._left <= BRIEF:
            self._repaired_h = at_h + self._repairs[self._done]
            self._done += 1
            self._left = self._works[self._done]
        self.able = 1.0 if at_h >= self._repaired_h else 0.0

    def until_h(self, at_h: float) -> float:
        if at_h < self._repaired_h:
            return self._repaired_h
        return at_h + self._left / self.flow if self.flow > 0 else inf

    def run(self, hours: float) -> None:
        self._left -= self.flow * hours

    def copy(self) -> Machine:
        other = Machine(self._works, self._repairs)
        other._done, other._left, other._repaired_h = self._done, self._left, self._repaired_h
        other.able, other.flow = self.able, self.flow
        return other


def made(buffer: float, fails: tuple[float, float], repaired: tuple[float, float], ends_h: range, seed: int
         ) -> np.ndarray:  # fmt: skip
    """What the line has made by each hour: source, pond of the size of the buffer, and draws of random length."""
    env, rng = simpy.Environment(), np.random.default_rng(seed)
    count = int(2 * ends_h[-1] * max(fails)) + 100
    first = Machine(rng.exponential(1 / fails[0], count).tolist(), rng.exponential(1 / repaired[0], count).tolist())
    pond = Pond("buffer", [first], buffer, buffer / 2, 1.0) if buffer else Line("joint", [first])
    store = Store("line", 1e-3, 0.0, RULES["as it comes"], Network(Line(TRANSFER, [pond])))
    stores = Stores(env, Log(0, seed, inf, {}), [store])
    finished, under_way = [0.0], []

    def second() -> simpy.events.ProcessGenerator:
        while True:
            work = rng.exponential(1 / fails[1])
            under_way[:] = [stores.take({"line": work}, work)]
            yield under_way[0].done
            finished.append(finished[-1] + work)
            under_way.clear()
            yield env.timeout(rng.exponential(1 / repaired[1]))

    env.process(second())
    found = []
    for end_h in ends_h:
        env.run(until=end_h)
        stores.catch_up()
        found.append(finished[-1] + sum(draw.hours_done for draw in under_way))
    return np.array(found)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("buffer", "fails", "expected"),
    [
        (0, (0.01, 0.01), 0.83333333),
        (1, (0.01, 0.01), 0.83696946),
        (10, (0.01, 0.01), 0.85872576),
        (100, (0.01, 0.01), 0.89655172),
        (10, (0.02, 0.01), 0.79891515),
        (10_000, (0.01, 0.02), 0.83333333),
    ],
)
def test_two_machine_line_through_the_network(buffer: float, fails: tuple[float, float], expected: float) -> None:
    """Two machines of equal speed that fail as they work, with a pond between them (W11): what they make in the end.

    Closed form in the manner of Gershwin (1994), after Buzacott (1967); from memory, re-derived, and confirmed by an
    event simulation of its own. Without a buffer 1 / (1 + p1/r1 + p2/r2), with a large one that of the
    worse machine alone, r / (r + p).
    """
    counts = made(buffer, fails, (0.1, 0.1), range(5_000, 1_000_000, 25_000), seed=5)
    assert_mean(np.diff(counts) / 25_000, expected, power=0.005)
