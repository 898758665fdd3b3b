"""Networks in the long run against closed forms: storage before a demand that comes and goes, a pond behind such a
source, and a pond that is never full."""

from __future__ import annotations

from math import exp, inf

import numpy as np
import pytest
import simpy
from numpy.typing import NDArray

from sim.chance.outages import drawn_outages
from sim.chance.windows import without
from sim.log import Log
from sim.supplies.network import TRANSFER, Line, Network, Pond
from sim.supplies.source import Source
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from tests.theory.test_tank import OnOff
from tests.theory.tolerance import assert_mean

AS_IT_COMES = RULES["as it comes"]
Rows = NDArray[np.float64]  # of a supply: columns are those of `Level` but for its name


def rows_of(log: Log, supply: str, end_h: float) -> Rows:
    """Level rows of a supply, and one more at the end with nothing in it but the time."""
    rows = [(row.time_h, *row[2:]) for row in log.levels if row.supply == supply]
    return np.array([*rows, (end_h, 0.0, 0.0, 0.0, 0.0)])


def batch_means(rows: Rows, shares: Rows, batches: int) -> Rows:
    """Averages over time of each share, in batches of equal length after a tenth of warm-up."""
    at_h, hours = rows[:, 0], np.diff(rows[:, 0])
    until_h = np.linspace(0.1, 1, batches + 1) * at_h[-1]
    summed = np.concatenate([np.zeros((len(shares), 1)), np.cumsum(shares * hours, axis=1)], axis=1)
    totals = np.array([np.interp(until_h, at_h, each) for each in summed])
    return np.diff(totals, axis=1) / np.diff(until_h)


def pond_behind(source_rate: float, to_on: float, to_off: float, capacity: float, drawn: float, hours: float, seed: int
                ) -> Rows:  # fmt: skip
    """A source up and down by turns feeds a pond, from which the pad draws steadily through its storage tank."""
    env, log, rng = simpy.Environment(), Log(0, seed, hours, {}), np.random.default_rng(seed)
    windows = without([(0.0, inf)], drawn_outages(1 / to_off, 1 / to_on, hours, rng))
    pond = Pond("pond", [Source("river", source_rate, windows)], capacity, 0.0, drawn)
    stores = Stores(env, log, [Store("water", 1.0, 0.0, AS_IT_COMES, Network(Line(TRANSFER, [pond])))])
    stores.take({"water": drawn * hours * 2}, hours * 2)
    env.run(until=hours)
    stores.catch_up()
    return rows_of(log, "pond", hours)


def middle_levels(rows: Rows) -> Rows:
    """Mean level of each stretch between two rows."""
    net = rows[:-1, 2] - rows[:-1, 3]
    middle: Rows = rows[:-1, 1] + net * np.diff(rows[:, 0]) / 2
    return middle


def storage_before(case: OnOff, hours: float, seed: int) -> Rows:
    """A steady river and the pad's storage, from which demand comes and goes, each time of a length drawn anew."""
    env, log, rng = simpy.Environment(), Log(0, seed, hours, {}), np.random.default_rng(seed)
    network = Network(Line(TRANSFER, [Source("river", case.supply)]))
    stores = Stores(env, log, [Store("water", case.capacity, case.capacity / 2, AS_IT_COMES, network)])

    def demand() -> simpy.events.ProcessGenerator:
        while True:
            off_h, on_h = rng.exponential((1 / case.to_on, 1 / case.to_off)).tolist()
            yield env.timeout(off_h)
            yield stores.take({"water": 1e12}, 1e12 / case.demand, env.now + on_h).done

    env.process(demand())
    env.run(until=hours)
    stores.catch_up()
    return rows_of(log, "water", hours)


LAWS = {
    "W6": (2000.0, (0.28276443, 0.06253687, 1874.926258, 3859.1938)),
    "W7": (2500.0, (0.19898983, 0.11640397, 2208.990068, 5290.5226)),
    "W8, balanced": (4800 * 0.5 / 0.9, (0.17094017, 0.13675214, 2301.994302, 5794.8718)),
}
"""Supply, and what follows: empty and on, full and off, served, mean level. Own formulae in the theory of Anick, Mitra
and Sondhi (1982), confirmed by a grid generator, by spectral solution and by an event simulation of its own."""
POWERS = (0.04, 0.08, 0.01, 0.03)  # what the 95 % half-widths may be at most, as shares: rare states vary most


@pytest.mark.slow
@pytest.mark.parametrize("name", LAWS)
def test_storage_before_a_demand_that_comes_and_goes(name: str) -> None:
    """How often the storage at the end of a network is empty or full, how full it is, and what it serves (W6-W8)."""
    supply, expected = LAWS[name]
    case = OnOff(supply)
    rows = storage_before(case, 80_000, seed=4)
    level, inflow, out = rows[:-1, 1], rows[:-1, 2], rows[:-1, 3]
    empty, full = (level == 0) & (out > 0) & (out < case.demand), (level == case.capacity) & (inflow == out)
    means = batch_means(rows, np.array([empty, full, out, middle_levels(rows)]), batches=40)
    for share, law, power in zip(means, expected, POWERS, strict=True):
        assert_mean(share, law, power)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["W7", "W8, balanced"])
def test_a_pond_behind_a_source_that_comes_and_goes(name: str) -> None:
    """The same seen from behind, where a pond is between: full and empty change places, so do level and room."""
    supply, expected = LAWS[name]
    case = OnOff(supply)
    rows = pond_behind(case.demand, case.to_on, case.to_off, case.capacity, case.supply, 80_000, seed=4)
    level, inflow, out = rows[:-1, 1], rows[:-1, 2], rows[:-1, 3]
    full, empty = (level == case.capacity) & (inflow == out), (level == 0) & (out < case.supply)
    room = case.capacity - middle_levels(rows)
    for share, law, power in zip(
        batch_means(rows, np.array([full, empty, out, room]), 40), expected, POWERS, strict=True
    ):
        assert_mean(share, law, power)


@pytest.mark.slow
def test_a_pond_that_is_never_full() -> None:
    """How often more than x is in a pond that a source of rate 1 fills by turns and an outlet of 0.6 empties (W9).

    P(Q > x) = 0.47619048 exp(-1.83333333 x), in the mean 0.25974026: Anick, Mitra and Sondhi (1982) with one source,
    from memory.
    """
    rows = pond_behind(1.0, to_on=0.4, to_off=1.0, capacity=1000.0, drawn=0.6, hours=60_000, seed=5)
    level = rows[:-1, 1]
    end = level + (rows[:-1, 2] - rows[:-1, 3]) * np.diff(rows[:, 0])
    low, high = np.minimum(level, end), np.maximum(level, end)
    depths = (0.0, 0.25, 0.5, 1.0)
    above = [np.where(high > low, np.clip((high - x) / np.maximum(high - low, 1e-300), 0, 1), low > x) for x in depths]
    mean, *shares = batch_means(rows, np.array([middle_levels(rows), *above]), batches=40)
    assert_mean(mean, 0.25974026, power=0.05)
    for x, share in zip(depths, shares, strict=True):
        assert_mean(share, 0.47619048 * exp(-1.83333333 * x), power=0.08)
    assert high.max() < 100
