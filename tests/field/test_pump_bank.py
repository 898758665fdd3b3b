"""Pumps of a fleet that fail and are repaired: against birth and death, and against arithmetic by hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import accumulate, cycle
from math import inf, prod
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from sim.chance.pump_bank import PumpBank
from tests.theory.tolerance import RISK, assert_mean

BATCHES, WARM_UP = 40, 5
Draw = Callable[[], float]


class Bank(NamedTuple):
    """Exponential lifetimes and repairs, means in hours; pumps beyond those `needed` stand by cold."""

    pumps: int
    needed: int
    mtbf_h: float
    mttr_h: float
    crews: int

    def up(self) -> np.ndarray:
        """Chance of 0, 1, ... pumps up in the long run: birth and death, as with a finite source of customers."""
        down = range(self.pumps)
        failing = [min(self.pumps - d, self.needed) / self.mtbf_h for d in down]
        mended = [min(d + 1, self.crews) / self.mttr_h for d in down]
        weights = np.array([prod(failing[:d]) / prod(mended[:d]) for d in range(self.pumps + 1)])
        return (weights / weights.sum())[::-1]

    def running(self) -> float:
        """Mean number of pumps that run."""
        return float(self.up() @ np.minimum(range(self.pumps + 1), self.needed))

    def at_least(self, many: int) -> float:
        """Share of time with so many pumps up."""
        return float(self.up()[many:].sum())

    def build(self, seed: int) -> PumpBank:
        rng = np.random.default_rng(seed)
        lifetimes, repairs = chunks(rng, self.mtbf_h), chunks(rng, self.mttr_h)
        return PumpBank(self.pumps, self.crews, lambda: next(lifetimes), lambda: next(repairs))


def chunks(rng: np.random.Generator, mean_h: float) -> Iterator[float]:
    while True:
        yield from rng.exponential(mean_h, 10_000).tolist()


# Expected numbers: own birth-death arithmetic, the formula of finite-source queues (Peck & Hazelwood 1958).
LONG_RUNS = {
    "18 pumps, a crew each": (Bank(18, 18, 40, 4, 18), 16.36363636, 16, 0.77878856, 0.01),
    "18 pumps, two crews": (Bank(18, 18, 40, 4, 2), 15.27311767, 16, 0.53861580, 0.02),
    "18 pumps, one crew": (Bank(18, 18, 40, 4, 1), 9.92857562, 16, 0.04185469, 0.08),
    "8 pumps, six needed": (Bank(8, 8, 50, 5, 1), 6.61681567, 6, 0.79843150, 0.01),
    "16 of 18 run, cold spares": (Bank(18, 16, 40, 4, 2), 14.84466636, 16, 0.55563040, 0.02),
}


@pytest.mark.parametrize(("bank", "running", "many", "share", "power"), LONG_RUNS.values(), ids=LONG_RUNS)
def test_pumps_running_in_the_long_run(bank: Bank, running: float, many: int, share: float, power: float) -> None:
    """Mean number running, and the share of time with enough of them up (A3, A4, A6), by means of batches.

    Hours by the hour of work have the mean needed / running. A look after equal pieces of work sees a state the more
    often the more pumps run, which is weighed out again.
    """
    assert bank.running() == pytest.approx(running, abs=5e-9)
    assert bank.at_least(many) == pytest.approx(share, abs=5e-9)
    paces, shares = long_run(bank, many)
    assert_mean(paces, bank.needed / running)
    assert_mean(shares, share, power)


def long_run(bank: Bank, many: int, piece_h: float = 1.0, pieces: int = 12_000) -> tuple[np.ndarray, np.ndarray]:
    """By batches after a warm-up: hours by the hour of work, and the share of time with `many` pumps up."""
    pumps, now = bank.build(seed=7), 0.0
    paces, shares = [], []
    for _ in range(BATCHES + WARM_UP):
        begin, weights = now, np.zeros(bank.pumps + 1)
        for _ in range(pieces):
            now += pumps.pump(now, piece_h, bank.needed)
            weights[pumps.up] += 1 / max(1, min(pumps.up, bank.needed))
        paces.append((now - begin) / (pieces * piece_h))
        shares.append(weights[many:].sum() / weights.sum())
    return np.array(paces[WARM_UP:]), np.array(shares[WARM_UP:])


@pytest.mark.parametrize(
    ("mtbf", "mttr", "availability"), [(100, 5, 0.95238095), (40, 4, 0.90909091), (120, 8, 0.9375)]
)
@pytest.mark.parametrize("law", ["exponential", "uniform", "gamma", "fixed repairs"])
def test_availability_of_one_pump(mtbf: float, mttr: float, availability: float, law: str) -> None:
    """MTBF / (MTBF + MTTR), whatever the distributions (A1; alternating renewal, Barlow & Proschan, from memory)."""
    rng = np.random.default_rng(3)
    draw: dict[str, Callable[[float], float]] = {
        "exponential": rng.exponential,
        "uniform": lambda mean: rng.uniform(0, 2 * mean),
        "gamma": lambda mean: rng.gamma(3.0, mean / 3.0),
        "fixed repairs": lambda mean: mean if mean == mttr else rng.uniform(0.5 * mean, 1.5 * mean),
    }
    pump = PumpBank(1, 1, lambda: float(draw[law](mtbf)), lambda: float(draw[law](mttr)))
    now, paces, batch_h = 0.0, [], 100.0 * mtbf
    for _ in range(WARM_UP + BATCHES):
        took_h = pump.pump(now, batch_h, 1)
        now += took_h
        paces.append(took_h / batch_h)
    assert mtbf / (mtbf + mttr) == pytest.approx(availability, abs=5e-9)
    assert_mean(paces[WARM_UP:], 1 / availability)


def test_availability_of_a_pump_that_begins_new() -> None:
    """It is up after ten hours in 95.821 % of cases, up for 97.228 % of these hours (A2; own arithmetic, 100 h/5 h).

    Stages as long as the pump's lifetimes end with its failures, so that each tells when the pump ran.
    """
    rng, up, share = np.random.default_rng(5), 0, []
    for _ in range(12_000):
        lives, repairs = rng.exponential(100.0, 12).tolist(), iter(rng.exponential(5.0, 12).tolist())
        pump, next_life, now, ran_h = (
            PumpBank(1, 1, iter([*lives, inf]).__next__, repairs.__next__),
            iter(lives),
            0.0,
            0.0,
        )
        while now < 10:
            life_h = next(next_life)
            now += pump.pump(now, life_h, 1)
            ran_h += max(0.0, min(now, 10.0) - (now - life_h))
        up += now - life_h <= 10
        share.append(ran_h / 10)
    assert stats.binomtest(up, len(share), 0.95821221).pvalue > RISK
    assert_mean(share, 0.97227990)


def by_hand(pumps: int, crews: int, failures: list[float], repair_h: float = 6.0) -> PumpBank:
    """Pumps that fail after so many pump-hours, one after the other, and then no more."""
    return PumpBank(pumps, crews, iter([*failures, inf]).__next__, lambda: repair_h)


def test_by_hand() -> None:
    """Three pumps of which two are needed, and a stage of ten hours: twenty pump-hours.

    After 10 pump-hours, at hour 5, the first fails and the spare takes over; after 14, at hour 7, the second, and one
    runs on. The first is back at hour 11, with 2 pump-hours left: the stage takes 12 hours. The only crew is at the
    second until hour 17; of a stage from hour 15 on that needs all three, and takes four hours, two run for two hours,
    then all for the rest, 12 - 4 pump-hours.
    """
    bank = by_hand(3, 1, [10, 4])
    assert bank.pump(0, 10, 2) == pytest.approx(12)
    assert bank.pump(15, 4, 3) == pytest.approx(2 + 8 / 3)
    two_crews = by_hand(3, 2, [10, 4])
    assert two_crews.pump(0, 10, 2) == pytest.approx(12)
    assert two_crews.pump(15, 4, 3) == pytest.approx(4)  # the second was back at hour 13


def test_repairs_go_on_while_nothing_runs() -> None:
    """A pump that fails at the end of a stage is back after six hours of rest, not after five."""
    for rest_h, took_h in ((6, 2), (5, 1 + 2 - 1 / 2)):
        bank = by_hand(2, 1, [4])
        assert bank.pump(0, 2, 2) == 2
        assert bank.pump(2 + rest_h, 2, 2) == pytest.approx(took_h)


def test_all_pumps_down() -> None:
    """Nothing is pumped until the first is back."""
    assert by_hand(1, 1, [3]).pump(0, 5, 1) == pytest.approx(5 + 6)


@pytest.mark.parametrize("hours", [0.1, 1 / 3, 2.75, 40.0])
def test_without_failures_a_stage_takes_what_is_stated(hours: float) -> None:
    """To the last digit of the clock, at any hour."""
    bank, now = by_hand(18, 2, []), 1000.0
    for needed in (18, 17, 3):
        assert now + bank.pump(now, hours, needed) == pytest.approx(now + hours, abs=1e-12 * now)
        now += 2 * hours


fixed = settings(derandomize=True, deadline=None, max_examples=300)
luck = st.lists(st.floats(0.05, 60), min_size=3, max_size=40)
stages = st.lists(st.tuples(st.floats(0, 10), st.floats(0.1, 8)), min_size=1, max_size=12)  # rest, then pumping


def ends(bank: PumpBank, plan: list[tuple[float, float]], needed: int) -> list[float]:
    """When each stage ends, one after the other."""
    now, found = 0.0, []
    for rest_h, hours in plan:
        now += rest_h
        now += bank.pump(now, hours, needed)
        found.append(now)
    return found


@fixed
@given(luck, luck, stages, st.integers(1, 6), st.integers(0, 3), st.integers(1, 3))
def test_never_faster_than_stated(
    lives: list[float], repairs: list[float], plan: list[tuple[float, float]], needed: int, spare: int, crews: int
) -> None:
    """Whatever fails and is repaired."""
    bank = PumpBank(needed + spare, crews, cycle(lives).__next__, cycle(repairs).__next__)
    stated = list(accumulate(rest + hours for rest, hours in plan))
    assert all(end >= least - 1e-7 for end, least in zip(ends(bank, plan, needed), stated, strict=True))


@fixed
@given(luck, luck, stages, st.integers(1, 6), st.integers(0, 3), st.integers(1, 3), st.booleans())
def test_more_pumps_or_crews_are_never_slower(
    lives: list[float],
    repairs: list[float],
    plan: list[tuple[float, float]],
    needed: int,
    spare: int,
    crews: int,
    crew: bool,
) -> None:
    """Under the same lifetimes and repairs, one more of either: no stage ends later."""
    fewer = PumpBank(needed + spare, crews, cycle(lives).__next__, cycle(repairs).__next__)
    more = PumpBank(needed + spare + (not crew), crews + crew, cycle(lives).__next__, cycle(repairs).__next__)
    pairs = zip(ends(more, plan, needed), ends(fewer, plan, needed), strict=True)
    assert all(sooner <= later + 1e-6 for sooner, later in pairs)
