"""The rotation of random pads against the closed queueing network it is.

N wells go round between c = 1 wireline unit and one fleet, exponential times, no swaps: a cyclic queue with product
form (Koenigsberg 1958; Gordon & Newell 1967; both from memory). With r = W/P the fleet pumps at rate
(1 - r^N) / (1 - r^(N+1)) / P, for equal means N / (N + 1) / P.
"""

from __future__ import annotations

import numpy as np
import pytest

from sim import activities
from sim.log import Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, well
from tests.theory.pumping import hours, pumpings, work
from tests.theory.tolerance import assert_mean

STAGES = 500  # the most a well may have
REPLICATIONS = 40
MINUTES_A_DAY = 1440

CASES = [
    pytest.param(1, 150, 120, 5.33333333, 0.44444444, id="C1"),
    pytest.param(2, 120, 120, 8.0, 2 / 3, id="C2, an M/M/1/2 queue"),
    pytest.param(2, 150, 120, 7.08196721, 0.59016393, id="C3"),
    pytest.param(2, 90, 150, 7.83673469, 0.81632653, id="C4"),
    pytest.param(3, 150, 120, 7.93495935, 7.93495935 * 120 / MINUTES_A_DAY, id="C5, three wells"),
    pytest.param(4, 150, 120, 8.43027130, 8.43027130 * 120 / MINUTES_A_DAY, id="C5, four wells"),
]


def rotation(wells: int, wireline: object, pump: object, next_well: str = "alternate") -> Scenario:
    stated = [well(f"w{k}", STAGES, wireline, pump, toe=False) for k in range(wells)]
    return pad(stated, {"wells_in_rotation": wells, "next_well": next_well, "swap": {"time": "0 h"}})


def random_rotation(wells: int, w_min: float, p_min: float, next_well: str = "alternate") -> Scenario:
    return rotation(wells, {"exponential": minutes(w_min)}, {"exponential": minutes(p_min)}, next_well)


def steady(log: Log, wells: int) -> tuple[float, float, float]:
    """Minutes per stage, and shares of the time that fleet and wireline work, without warm-up and end.

    The first tenth is warm-up; the end begins when the first well has no stage left and no longer goes round.
    """
    pumped = pumpings(log)
    first, last = len(pumped) // 10, len(pumped) - wells
    from_h, to_h = pumped[first].end_h, pumped[last].end_h
    stages = pumped[first + 1 : last + 1]
    pumping_h = sum(stage.end_h - stage.start_h for stage in stages)
    runs = [row for row in work(log, activities.PLUG_AND_PERFORATE) if row.end_h > from_h and row.start_h < to_h]
    inside = [row._replace(start_h=max(row.start_h, from_h), end_h=min(row.end_h, to_h)) for row in runs]
    return (to_h - from_h) * 60 / len(stages), pumping_h / (to_h - from_h), hours(inside) / (to_h - from_h)


def replicated(scenario: Scenario, wells: int) -> np.ndarray:
    return np.array([steady(simulate(scenario, number, seed=1), wells) for number in range(REPLICATIONS)]).T


@pytest.mark.parametrize(("wells", "w_min", "p_min", "stages_a_day", "fleet_share"), CASES)
def test_long_run_rate_is_that_of_the_cyclic_queue(
    wells: int, w_min: float, p_min: float, stages_a_day: float, fleet_share: float
) -> None:
    """Stages a day and what share of their time fleet and wireline work, by replications with the warm-up discarded."""
    per_stage_min, fleet, wireline = replicated(random_rotation(wells, w_min, p_min), wells)
    assert_mean(per_stage_min, MINUTES_A_DAY / stages_a_day)
    assert_mean(fleet, fleet_share)
    assert_mean(wireline, fleet_share * w_min / p_min)


def test_whoever_is_ready_first_comes_in_turn() -> None:
    """With one wireline unit no well overtakes: both rules serve in order of readiness, and pump the same (C5)."""
    in_turn = simulate(random_rotation(3, 150, 120), seed=1)
    by_readiness = simulate(random_rotation(3, 150, 120, "first ready"), seed=1)
    assert pumpings(in_turn) == pumpings(by_readiness)


def test_randomness_costs_stages() -> None:
    """The same means without spread give 9.6 stages a day, exactly; with it clearly fewer (C7)."""
    per_stage_min, _, _ = replicated(random_rotation(2, 150, 120), 2)
    slowest_certain = per_stage_min.mean() - 3.9 * per_stage_min.std(ddof=1) / np.sqrt(REPLICATIONS)
    certain_min, fleet, wireline = steady(simulate(rotation(2, minutes(150), minutes(120))), 2)
    assert certain_min == pytest.approx(MINUTES_A_DAY / 9.6, rel=1e-9)
    assert (fleet, wireline) == pytest.approx((0.8, 1.0), rel=1e-9)
    assert slowest_certain > certain_min
