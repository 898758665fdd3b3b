"""A zipper as one would write it by hand in SimPy: no water, no log, no causes. The yardstick of the benchmarks."""

from __future__ import annotations

from collections.abc import Generator

import numpy as np
import simpy


def bare_zipper(wells: int, stages: int, in_rotation: int, wireline_units: int, seed: int) -> float:
    """Hours until the last stage is pumped: wells go round between wireline and one fleet, group after group."""
    env = simpy.Environment()
    generator = np.random.default_rng(seed)
    pump_h = generator.triangular(1.7, 1.9, 2.6, (wells, stages)).tolist()
    wireline_h = generator.triangular(2.2, 2.5, 3.4, (wells, stages)).tolist()
    swap_h = generator.triangular(0.33, 0.5, 0.75, (wells, stages)).tolist()
    wireline = simpy.Resource(env, wireline_units)
    fleet = simpy.Resource(env, 1)
    last = [-1]

    def well(number: int) -> Generator[simpy.Event, None, None]:
        for stage in range(stages):
            if stage > 0:
                with wireline.request() as request:
                    yield request
                    yield env.timeout(wireline_h[number][stage])
            with fleet.request() as request:
                yield request
                if last[0] not in {-1, number}:
                    yield env.timeout(swap_h[number][stage])
                last[0] = number
                yield env.timeout(pump_h[number][stage])

    def pad() -> Generator[simpy.Event, None, None]:
        for first in range(0, wells, in_rotation):
            group = range(first, min(first + in_rotation, wells))
            yield env.all_of([env.process(well(number)) for number in group])

    env.process(pad())
    env.run()
    return float(env.now)
