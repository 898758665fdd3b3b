"""Loads that come at random from elsewhere: the same unloading as an open queue, M/M/c."""

from __future__ import annotations

from collections.abc import Generator

import numpy as np
import pytest
import simpy

from sim.calendars import AROUND_THE_CLOCK
from sim.chance.streams import own_generator
from sim.operations.haulage import Haulage, Truck, unload
from tests.haulage.yard import OpenSilo, WatchedSpots, trucks
from tests.theory.tolerance import assert_mean

REPLICATIONS, HOURS, WARM_UP = 40, 2000.0, 60.0


def mean_waiting(spots: int, loads_per_h: float, unload_min: float, number: int) -> tuple[float, float, float]:
    """Mean numbers waiting and there, and the share of time with none there."""
    env = simpy.Environment()
    stated = trucks(unload_spots=spots, unload={"exponential": f"{unload_min} min"})
    watched = WatchedSpots(env, spots)
    haulage = Haulage(env, stated, AROUND_THE_CLOCK, OpenSilo(env), watched)
    one = Truck(stated, 1, number, 1)
    gaps = own_generator(1, number, "elsewhere", "gaps")

    def come() -> Generator[simpy.Event, None, None]:
        while True:
            yield env.timeout(float(gaps.exponential(1 / loads_per_h)))
            env.process(unload(haulage, one))

    env.process(come())
    env.run(HOURS)
    shares = watched.shares(WARM_UP, HOURS)
    there = np.arange(len(shares))
    return float(np.maximum(there - spots, 0) @ shares), float(there @ shares), float(shares[0])


@pytest.mark.parametrize(
    ("spots", "per_h", "unload_min", "waiting", "there", "nobody"),
    [
        pytest.param(3, 300 / 365, 2 * 60, 0.35242592, 1.99626153, 0.17753703, id="Q3, Bronson 24.6, a day as an hour"),
        pytest.param(3, 6.0, 20.0, 8 / 9, 8 / 9 + 2, 1 / 9, id="Q4, Gross & Harris, from memory"),
    ],
)
def test_unloading_is_an_open_queue(
    spots: int, per_h: float, unload_min: float, waiting: float, there: float, nobody: float
) -> None:
    """Numbers waiting and there, and the chance that nobody is (Q3: Bronson 1982; here a day of it is an hour)."""
    found = np.array([mean_waiting(spots, per_h, unload_min, number) for number in range(REPLICATIONS)]).T
    assert_mean(found[0], waiting, power=0.1)
    assert_mean(found[1], there, power=0.03)
    assert_mean(found[2], nobody, power=0.04)
