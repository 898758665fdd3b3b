"""Several stores in one hand, with one store only: the same as the tank worked out the long way."""

from __future__ import annotations

from math import inf

import pytest
import simpy

from sim.log import Log
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from sim.supplies.upstream import Steady
from tests.theory.fluid import Ask, Change, Fluid
from tests.theory.test_stock_rules import UNTIL_H, level_at, random_demands


class Followed:
    """What became of the draws on a store."""

    def __init__(self, capacity: float, level: float, rule: str, asks: list[Ask], changes: list[Change]) -> None:
        self.env, log = simpy.Environment(), Log(0, 0, UNTIL_H, {})
        self.levels, self.started_h, self.ended_h, self.drawn = log.levels, {}, {}, {}
        self.stores = Stores(self.env, log, [Store("water", capacity, level, RULES[rule], Steady("source"))])
        for at_h, inflow in changes:
            self.env.process(self.change(at_h, inflow))
        for k, ask in enumerate(asks):
            self.env.process(self.want(k, ask))
        self.env.run(until=UNTIL_H)

    def want(self, k: int, ask: Ask) -> simpy.events.ProcessGenerator:
        yield self.env.timeout(ask.at_h)
        draw = self.stores.take({"water": ask.volume}, ask.volume / ask.rate, ask.deadline_h)
        if not draw.started:
            yield draw.granted
        if draw.started:
            self.started_h[k] = draw.start_h
            yield draw.done
        self.ended_h[k] = self.env.now
        self.drawn[k] = draw.hours_done * ask.rate

    def change(self, at_h: float, inflow: float) -> simpy.events.ProcessGenerator:
        yield self.env.timeout(at_h)
        self.stores.set_rate("water", inflow)


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("may_run_out", [False, True])
def test_one_store_of_several_does_what_the_long_way_gives(rule: str, may_run_out: bool) -> None:
    """Starts, ends, volumes and levels equal those of the tank worked out the long way."""
    for seed in range(60):
        case = random_demands(seed, may_run_out=may_run_out)
        followed, fluid = Followed(case[0], case[1], rule, *case[2:]), Fluid(case[0], case[1], rule, *case[2:])
        fluid.play(UNTIL_H)
        assert followed.started_h == pytest.approx(fluid.started_h, abs=1e-6)
        assert followed.ended_h == pytest.approx(fluid.ended_h, abs=1e-6)
        assert followed.drawn == pytest.approx(fluid.drawn, rel=1e-6, abs=1e-4)
        followed.stores.catch_up()
        for time_h, expected in fluid.levels:
            if time_h < inf:
                assert level_at(followed.levels, time_h) == pytest.approx(expected, abs=1e-3)
