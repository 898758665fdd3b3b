"""The tank by itself and under whole pads: knees, waits, drain times, and long-run laws under random demand."""

from __future__ import annotations

from itertools import pairwise
from math import exp, inf
from typing import NamedTuple

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.activities import supply_of
from sim.log import Log
from sim.pad import simulate
from sim.supplies.start_rules import RULES
from sim.supplies.stock import Stock
from tests.theory.pumping import makespan_h, pumpings
from tests.theory.test_water_makespans import level_at_end, spilled_until, watered
from tests.theory.tolerance import assert_mean

VOLUME, PUMP_H, GAP_H, CAPACITY = 12_000.0, 2.5, 2.0, 24_000.0


def stages_before_first_wait(log: Log) -> int | None:
    """None if there never is one."""
    waits = [row for row in log.intervals if row.unit == "Fleet" and supply_of(row.cause) == "water"]
    return waits[0].stage - 1 if waits else None


@pytest.mark.parametrize(
    ("inflow", "before_first_wait", "stages_a_day"),
    [(1000, 2, 2.0), (2000, 6, 4.0), (2500, 25, 5.0), (3000, None, 24 / 4.5)],
)
def test_stages_before_the_first_wait(inflow: float, before_first_wait: int | None, stages_a_day: float) -> None:
    """One well on a full tank: how long the store lasts, and what the inflow then allows (W1, own recursion).

    Also by the formula floor((C - (V - qP)) / (V - q(P + G))) + 1.
    """
    log = simulate(
        watered(1, 60, GAP_H, PUMP_H, 0.0, toe=False, volume=VOLUME, inflow=inflow, capacity=CAPACITY,
                on_hand=CAPACITY, rule="enough to finish")
    )  # fmt: skip
    assert stages_before_first_wait(log) == before_first_wait
    ends_h = [pumping.end_h for pumping in pumpings(log)][30:]
    assert np.diff(ends_h) == pytest.approx(24 / stages_a_day, rel=1e-9)
    lost = VOLUME - inflow * (PUMP_H + GAP_H)
    if before_first_wait is not None:
        assert before_first_wait == (CAPACITY - (VOLUME - inflow * PUMP_H)) // lost + 1


@pytest.mark.parametrize(
    ("level", "outflow", "inflow", "empty_h"),
    [(24_000.0, 4800.0, 2000.0, 8.571428571), (40_000.0, 90 * 60.0, 60 * 60.0, 22.222222222)],
)
def test_drain_time(level: float, outflow: float, inflow: float, empty_h: float) -> None:
    """A tank drawn faster than it is fed is empty after level / (out - in) (W2; 40 000 bbl at 90 and 60 bbl/min)."""
    env, log = simpy.Environment(), Log(0, 0, inf, {})
    stock = Stock(env, log, "water", level, level, RULES["as it comes"])
    stock.set_inflow(inflow)
    draw = stock.draw(inf, outflow)
    env.run(until=2 * empty_h)
    assert draw.slow_from_h == pytest.approx(empty_h, abs=1e-9)
    assert (log.levels[-1].level, log.levels[-1].outflow) == (0.0, inflow)


def test_feed_caps_the_pace_once_the_store_is_gone() -> None:
    """Stages of 9435 bbl at 90 bbl/min on 40 000 bbl and 60 bbl/min: 60 x 1440 / 9435 = 9.2 stages a day.

    A Neuquén stage of 1500 m3, from "Vaca Muerta no se detiene", Vaca Muerta News (2024); the rest follows.
    """
    volume = 9435.0
    log = simulate(
        watered(2, 60, 1.2, volume / 5400, 0.1, toe=False, volume=volume, inflow=3600.0, capacity=40_000.0,
                on_hand=40_000.0, rule="enough to finish")
    )  # fmt: skip
    ends_h = [pumping.end_h for pumping in pumpings(log)]
    assert np.diff(ends_h[-30:]) == pytest.approx(24 / (60 * 1440 / volume), rel=1e-9)
    assert 24 / (ends_h[-1] - ends_h[-2]) == pytest.approx(9.2, abs=0.05)
    assert 24 / (ends_h[1] - ends_h[0]) > 12


quarter_hours = st.integers(1, 16)


@settings(derandomize=True, deadline=None, max_examples=150)
@given(
    st.integers(1, 3), quarter_hours, quarter_hours, st.integers(0, 4), st.integers(13, 30), st.sampled_from([*RULES])
)
def test_knee_of_the_inflow(wells: int, w: int, p: int, s: int, storage: int, rule: str) -> None:
    """Above q* = V / cycle, with V of a stage stored, more water buys nothing; below, the pad takes longer.

    The cycle is P + W for one well, else max(P + S, W).
    """
    w_h, p_h, s_h = w / 4, p / 4, s / 4
    cycle_h = p_h + w_h if wells == 1 else max(p_h + s_h, w_h)
    knee = VOLUME / cycle_h

    def span_h(inflow: float) -> float:
        capacity = 1000.0 * storage
        return makespan_h(
            simulate(
                watered(wells, 12, w_h, p_h, s_h, toe=False, volume=VOLUME, inflow=inflow, capacity=capacity,
                        on_hand=VOLUME, rule=rule)
            )
        )  # fmt: skip

    plenty_h = span_h(1e6)
    assert span_h(knee) == pytest.approx(plenty_h, abs=1e-6)
    assert span_h(0.5 * knee) > plenty_h + 1e-6


@pytest.mark.parametrize(
    ("rule", "after_last_h"), [("full stage on hand", PUMP_H), ("enough to finish", 0.0), ("as it comes", 0.0)]
)
def test_makespan_where_water_binds(rule: str, after_last_h: float) -> None:
    """Nothing spilled and short to the end: the last stage ends at (JV - L0) / q, + P if it had to be stored first."""
    inflow, on_hand, stages = 1500.0, 6000.0, 20
    log = simulate(
        watered(2, stages // 2, 1.5, PUMP_H, 0.25, toe=False, volume=VOLUME, inflow=inflow, capacity=CAPACITY,
                on_hand=on_hand, rule=rule)
    )  # fmt: skip
    assert spilled_until(log, makespan_h(log)) == 0
    assert makespan_h(log) == pytest.approx((stages * VOLUME - on_hand) / inflow + after_last_h, rel=1e-12)
    left = inflow * PUMP_H if after_last_h else 0.0
    assert level_at_end(log, makespan_h(log)) == pytest.approx(left, abs=1e-6)


class OnOff(NamedTuple):
    """Demand d while on, off -> on at rate a, on -> off at rate b; supply u always; a tank of C."""

    supply: float
    demand: float = 4800.0
    to_on: float = 0.5
    to_off: float = 0.4
    capacity: float = 12_000.0

    def laws(self) -> tuple[float, float, float]:
        """P(empty and on), P(full and off), served; in closed form."""
        u, d, a, b, c = self
        v = d - u
        theta = b / v - a / u
        grown = exp(theta * c)
        between = c if theta == 0 else (grown - 1) / theta
        k = 1 / (1 / b + grown / a + (1 / u + 1 / v) * between)
        return k / b, k * grown / a, d * a / (a + b) - v * k / b


def on_off_log(case: OnOff, hours: float, seed: int) -> tuple[Log, float]:
    """The stock of the simulator under that demand, and the volume that its draws say they got."""
    env, log, rng = simpy.Environment(), Log(0, seed, hours, {}), np.random.default_rng(seed)
    stock = Stock(env, log, "water", case.capacity, case.capacity / 2, RULES["as it comes"])
    stock.set_inflow(case.supply)
    draws = []

    def demand() -> simpy.events.ProcessGenerator:
        while env.now < hours:
            off_h, on_h = rng.exponential((1 / case.to_on, 1 / case.to_off)).tolist()
            yield env.timeout(off_h)
            draws.append(stock.draw(1e12, case.demand, env.now + on_h))
            yield draws[-1].done

    env.run(until=env.process(demand()))
    return log, sum(draw.drawn for draw in draws)


class History(NamedTuple):
    """Rows of a stock as arrays, over the stretches between them."""

    elapsed_h: np.ndarray
    level: np.ndarray
    next_level: np.ndarray
    inflow: np.ndarray
    outflow: np.ndarray
    turned_away: np.ndarray

    @classmethod
    def of(cls, log: Log) -> History:
        time_h, level, inflow, outflow, turned_away = np.array([row[:1] + row[2:] for row in log.levels]).T
        return cls(np.diff(time_h), level[:-1], level[1:], inflow[:-1], outflow[:-1], turned_away[:-1])

    def shares(self) -> np.ndarray:
        """Rows: empty and on, full and off, flow served, mean level, over each stretch."""
        empty = (self.level == 0) & (self.next_level == 0) & (self.outflow > 0)
        return np.array([empty, self.turned_away > 0, self.outflow, (self.level + self.next_level) / 2])

    def batches(self, count: int) -> np.ndarray:
        """Averages over time of `count` batches of about equal length, after a tenth of warm-up."""
        at_h = np.cumsum(self.elapsed_h)
        edges = np.searchsorted(at_h, np.linspace(0.1, 1, count + 1) * at_h[-1])
        pieces = [slice(*edge) for edge in pairwise(edges)]
        means = [np.average(self.shares()[:, piece], axis=1, weights=self.elapsed_h[piece]) for piece in pieces]
        return np.array(means).T


@pytest.mark.slow
@pytest.mark.parametrize(
    ("supply", "hours", "expected"),
    [
        pytest.param(2000.0, 850_000, (0.28276443, 0.06253687, 1874.926258, 3859.1938), id="W6"),
        pytest.param(2500.0, 450_000, (0.19898983, 0.11640397, 2208.990068, 5290.5226), id="W7"),
        pytest.param(4800 * 0.5 / 0.9, 420_000, (0.17094017, 0.13675214, 2301.994302, 5794.8718), id="W8, balanced"),
    ],
)
def test_random_demand_on_a_finite_tank(
    supply: float, hours: float, expected: tuple[float, float, float, float]
) -> None:
    """How often the tank is empty or full, how full it is, and what it delivers in the long run (W6-W8).

    Own formulae in the theory of Anick, Mitra and Sondhi (1982); confirmed by a grid generator, by spectral
    solution and by an event simulation of its own.
    """
    case = OnOff(supply)
    assert case.laws() == pytest.approx(expected[:3], rel=1e-6)
    log, _ = on_off_log(case, hours, seed=6)
    for share, law in zip(History.of(log).batches(50), expected, strict=True):
        assert_mean(share, law)


def test_nothing_is_won_or_lost_over_a_long_run() -> None:
    """Level + what flowed out + what was turned away is what there was and flowed in, row by row and in all."""
    log, drawn = on_off_log(OnOff(2500.0), 20_000, seed=7)
    past = History.of(log)
    net = (past.inflow - past.outflow - past.turned_away) * past.elapsed_h
    assert past.next_level - past.level == pytest.approx(net, abs=1e-4)
    assert log.levels[-1].level - log.levels[0].level == pytest.approx(net.sum(), abs=1e-3)
    assert drawn == pytest.approx((past.outflow * past.elapsed_h).sum(), rel=1e-9)
    assert 0 <= past.level.min() < past.level.max() == OnOff(2500.0).capacity
