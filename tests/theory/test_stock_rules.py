"""The stock, driven by random draws, against a tank worked out the long way and against its own promises."""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise
from math import inf
from typing import NamedTuple

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.log import Level, Log
from sim.supplies.plain_draw import PlainDraw
from sim.supplies.start_rules import RULES
from sim.supplies.stock import Stock
from tests.theory.fluid import SHORTAGES, Ask, Change, Fluid

UNTIL_H = 400.0


class Played(NamedTuple):
    """What became of the draws, and the rows of the stock. Draws that are not over have no end."""

    levels: list[Level]
    draws: dict[int, PlainDraw]
    ended_h: dict[int, float]

    def end_h(self, k: int) -> float:
        return self.ended_h.get(k, UNTIL_H)

    def active(self, k: int, from_h: float, to_h: float) -> bool:
        draw = self.draws[k]
        return draw.started and draw.start_h <= from_h + 1e-9 and to_h <= self.end_h(k) + 1e-9


def play(capacity: float, level: float, rule: str, asks: list[Ask], changes: list[Change]) -> Played:
    """The stock of the simulator under the same demands."""
    env, log = simpy.Environment(), Log(0, 0, UNTIL_H, {})
    stock = Stock(env, log, "water", capacity, level, RULES[rule])
    played = Played(log.levels, {}, {})

    def want(k: int, ask: Ask) -> simpy.events.ProcessGenerator:
        yield env.timeout(ask.at_h)
        draw = played.draws[k] = stock.draw(ask.volume, ask.rate, ask.deadline_h)
        if not draw.started:
            yield draw.granted
        if draw.started:
            yield draw.done
        played.ended_h[k] = env.now

    def change(at_h: float, inflow: float) -> simpy.events.ProcessGenerator:
        yield env.timeout(at_h)
        stock.set_inflow(inflow)

    for at_h, inflow in changes:
        env.process(change(at_h, inflow))
    for k, ask in enumerate(asks):
        env.process(want(k, ask))
    env.run(until=UNTIL_H)
    return played


def random_demands(seed: int, *, may_run_out: bool) -> tuple[float, float, list[Ask], list[Change]]:
    """A capacity, a level, draws and inflows; nothing happens at exactly the same time as anything else."""
    rng = np.random.default_rng(seed)
    capacity = rng.uniform(500, 3000)
    asks = []
    for at_h in np.sort(rng.uniform(0.1, 60, rng.integers(1, 12))).tolist():
        volume = rng.uniform(20, capacity)
        patient = rng.random() < 0.6
        asks.append(Ask(at_h, volume, rng.uniform(20, 900), inf if patient else at_h + rng.uniform(0.5, 12)))
    inflows = rng.uniform(0, 400, rng.integers(1, 6))
    if may_run_out:
        inflows *= rng.random(len(inflows)) < 0.7  # sometimes nothing flows in
    changed_h = np.sort(rng.uniform(0.1, 60, len(inflows) - 1)).tolist()
    changes = list(zip([0.0, *changed_h], inflows.tolist(), strict=True))
    return capacity, rng.uniform(0, capacity), asks, changes


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("seed", range(150))
def test_stock_does_what_the_long_way_gives(rule: str, seed: int) -> None:
    """Starts, ends, volumes and levels equal those of the tank worked out the long way."""
    compare(rule, *random_demands(seed, may_run_out=False))


def compare(rule: str, capacity: float, level: float, asks: list[Ask], changes: list[Change]) -> None:
    played = play(capacity, level, rule, asks, changes)
    fluid = Fluid(capacity, level, rule, asks, changes)
    fluid.play(UNTIL_H)
    starts_h = {k: draw.start_h for k, draw in played.draws.items() if draw.started}
    assert starts_h == pytest.approx(fluid.started_h, abs=1e-6)
    assert played.ended_h == pytest.approx(fluid.ended_h, abs=1e-6)
    drawn = {k: played.draws[k].drawn for k in played.ended_h}
    assert drawn == pytest.approx(fluid.drawn, rel=1e-6, abs=1e-4)
    for time_h, expected in fluid.levels:
        assert level_at(played.levels, time_h) == pytest.approx(expected, abs=1e-3)


def level_at(levels: list[Level], time_h: float) -> float:
    row = levels[bisect_right(levels, time_h + 1e-9, key=lambda level: level.time_h) - 1]
    return row.level + (row.inflow - row.outflow - row.turned_away) * (time_h - row.time_h)


whole_ask = st.builds(
    lambda at_h, volume, rate, patience_h: Ask(at_h, volume, rate, at_h + patience_h if patience_h else inf),
    st.integers(0, 30),
    st.integers(1, 1000),
    st.integers(1, 300),
    st.integers(0, 20),
)


@pytest.mark.parametrize("rule", RULES)
@settings(derandomize=True, deadline=None, max_examples=300)
@given(
    st.integers(1000, 2000),
    st.integers(0, 1000),
    st.lists(whole_ask, min_size=1, max_size=8),
    st.integers(1, 300),
    st.lists(st.tuples(st.integers(0, 30), st.integers(1, 300)), max_size=3),
)
def test_stock_keeps_its_promises(
    rule: str, capacity: int, level: int, asks: list[Ask], inflow: int, changes: list[Change]
) -> None:
    """Whatever the demands, also several at the same moment: levels, balance, volumes, and who may start when."""
    played = play(float(capacity), float(level), rule, asks, [(0.0, float(inflow)), *changes])
    left = volumes_left(played, asks)
    check_levels(played.levels, capacity)
    check_flows(played, asks)
    check_volumes(played, asks, left)
    check_starts(rule, played, asks, left)


def check_levels(levels: list[Level], capacity: float) -> None:
    """Levels stay within the tank, and from row to row nothing is won or lost."""
    assert all(0 <= row.level <= capacity for row in levels)
    for row, after in pairwise(levels):
        expected = row.level + (row.inflow - row.outflow - row.turned_away) * (after.time_h - row.time_h)
        assert after.time_h >= row.time_h - 1e-9
        assert after.level == pytest.approx(expected, rel=0, abs=1e-6)
        assert row.turned_away == 0 or row.level == capacity


def check_flows(played: Played, asks: list[Ask]) -> None:
    """All that is wanted flows out, except from an empty stock: then all that flows in."""
    for row, after in pairwise(played.levels):
        if after.time_h - row.time_h > 1e-6:
            wanted = sum(asks[k].rate for k in played.draws if played.active(k, row.time_h, after.time_h))
            expected = min(wanted, row.inflow) if row.level == 0 else wanted
            assert row.outflow == pytest.approx(expected, rel=1e-9)


def volumes_left(played: Played, asks: list[Ask]) -> list[dict[int, float]]:
    """What each draw still wants at each row of the stock, from the flows alone."""
    left = {k: float(ask.volume) for k, ask in enumerate(asks)}
    found = [dict(left)]
    for row, after in pairwise(played.levels):
        drawing = [k for k in played.draws if played.active(k, row.time_h, after.time_h)]
        wanted = sum(asks[k].rate for k in drawing)
        for k in drawing:
            left[k] -= row.outflow * asks[k].rate / wanted * (after.time_h - row.time_h)
        found.append(dict(left))
    return found


def check_volumes(played: Played, asks: list[Ask], left: list[dict[int, float]]) -> None:
    """A draw ends with its volume or at its deadline, having drawn what flowed to it."""
    for k, end_h in played.ended_h.items():
        draw, ask = played.draws[k], asks[k]
        assert draw.drawn == pytest.approx(ask.volume - left[-1][k], rel=0, abs=1e-5)
        assert draw.drawn == pytest.approx(ask.volume, rel=0, abs=1e-5) or end_h == pytest.approx(ask.deadline_h)
        assert end_h <= ask.deadline_h + 1e-9


def check_starts(rule: str, played: Played, asks: list[Ask], left: list[dict[int, float]]) -> None:
    """None starts while its rule finds something missing, none waits although nothing is."""
    order = sorted(played.draws, key=lambda k: asks[k].at_h)

    def shortage(row: Level, now: dict[int, float], k: int) -> float:
        before = [o for o in order if played.draws[o].started and played.draws[o].start_h <= row.time_h + 1e-9]
        before = [o for o in before if played.end_h(o) > row.time_h + 1e-9 and o != k]
        if played.draws[k].start_h <= row.time_h:  # of those that start with it, only the earlier ones count
            before = [o for o in before if played.draws[o].start_h < row.time_h or order.index(o) < order.index(k)]
        return SHORTAGES[rule](asks[k], row.level, sum(now[o] for o in before), row.inflow)

    rows_at: dict[float, list[tuple[Level, dict[int, float]]]] = {}
    for row, now in zip(played.levels, left, strict=True):
        rows_at.setdefault(row.time_h, []).append((row, now))
    for time_h, rows in rows_at.items():
        for k in order:
            draw = played.draws[k]
            if draw.start_h == time_h:  # in one of the states that follow one another at that moment
                assert min(shortage(row, now, k) for row, now in rows) <= 1e-5
            waits_until_h = draw.start_h if draw.started else played.end_h(k)
            if asks[k].at_h <= time_h < waits_until_h - 1e-6:
                assert shortage(*rows[-1], k) > 0


def test_stock_copes_with_an_inflow_that_stops() -> None:
    """The same comparison with stretches in which nothing flows in."""
    for seed in range(100):
        for rule in RULES:
            compare(rule, *random_demands(seed, may_run_out=True))


def test_who_waits_without_inflow_gives_up_at_the_deadline() -> None:
    """A draw that can never start is let go at its deadline, not later."""
    played = play(1000.0, 2.0, "full stage on hand", [Ask(0, 2, 1), Ask(0, 1, 1, 1.0)], [])
    assert played.ended_h == {0: 2.0, 1: 1.0}


def test_a_draw_of_the_whole_capacity_starts_when_the_stock_is_full() -> None:
    """A tank of exactly one stage serves that stage."""
    played = play(12_000.0, 3851.142, "full stage on hand", [Ask(0.25, 12_000, 48_000)], [(0.0, 913.0)])
    assert played.draws[0].start_h == pytest.approx((12_000 - 3851.142) / 913.0)


def test_rows_of_levels_never_go_back_in_time() -> None:
    """Not even by a rounding error."""
    asks = [Ask(0, 172, 17), Ask(5, 393, 108), Ask(11, 1, 1)]
    played = play(1079.0, 0.0, "full stage on hand", asks, [(0.0, 191.0), (8, 40.0)])
    times_h = [row.time_h for row in played.levels]
    assert times_h == sorted(times_h)
