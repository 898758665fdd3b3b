"""Identical crews and wells that are all ready at once: order statistics of the exponential (Renyi 1953, from memory).

With m crews, N wells and exponential jobs of mean t, jobs end at rate m/t while all crews work, and after the last has
begun the m crews finish one after another at rates m/t, (m-1)/t, ... 1/t.
"""

from __future__ import annotations

from math import ceil
from typing import Any, NamedTuple

import numpy as np
import pytest

from sim import activities
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import NOW, pad, units, well
from tests.theory.pumping import makespan_h, work
from tests.theory.tolerance import assert_mean, assert_variance

FIXED = {"swap": {"time": NOW}, "between_groups": NOW}


class Crews(NamedTuple):
    """N wells, m crews, and t days a job."""

    wells: int
    crews: int
    mean_day: float

    def stages_of_ending(self) -> list[float]:
        """Mean days of the exponential stretches that the last end is the sum of."""
        whole = [self.mean_day / self.crews] * (self.wells - self.crews)
        return whole + [self.mean_day / working for working in range(1, self.crews + 1)]

    def last_day(self) -> float:
        return sum(self.stages_of_ending())

    def variance(self) -> float:
        return sum(mean**2 for mean in self.stages_of_ending())

    def excess_kurtosis(self) -> float:
        """From the fourth cumulants of exponentials, 6 mean^4, which add up."""
        return 6 * sum(mean**4 for mean in self.stages_of_ending()) / self.variance() ** 2


def one_stage_wells(count: int, nipple_up: object, **more: Any) -> list[dict[str, Any]]:
    """Wells whose only stage takes an hour."""
    preparation = {"nipple_up": nipple_up, "pressure_test": NOW}
    return [well(f"w{k}", 1, NOW, "1 h", toe=True, preparation=preparation, **more) for k in range(count)]


def prepared_by(case: Crews, job: object) -> Scenario:
    crews = units(preparation_crews={"count": case.crews})
    return pad(one_stage_wells(case.wells, job), FIXED, units=crews)


def days_of_ends(scenario: Scenario, number: int) -> list[float]:
    return sorted(row.end_h / 24 for row in work(simulate(scenario, number, seed=2), activities.NIPPLE_UP))


def replicated(case: Crews, n: int) -> np.ndarray:
    """Days of the first and of the last end, one column for each of `n` replications."""
    scenario = prepared_by(case, {"exponential": f"{case.mean_day} day"})
    ends = (days_of_ends(scenario, number) for number in range(n))
    return np.array([(days[0], days[-1]) for days in ends]).T


@pytest.mark.parametrize(
    ("case", "last_day", "n"),
    [
        pytest.param(Crews(4, 4, 5), 10.416667, 3500, id="a crew for each well"),
        pytest.param(Crews(10, 1, 2), 20.0, 1500, id="one crew"),
    ],
)
def test_random_jobs_of_identical_crews(case: Crews, last_day: float, n: int) -> None:
    """Mean and variance of the last end (C8)."""
    assert case.last_day() == pytest.approx(last_day, abs=5e-7)
    _, last = replicated(case, n)
    assert_mean(last, last_day)
    assert_variance(last, case.variance(), case.excess_kurtosis())


@pytest.mark.slow
def test_first_and_last_of_two_crews() -> None:
    """Six wells, two crews, three days: the first is done after 1.5 days, the last after 10.5, variance 20.25 (C8)."""
    case = Crews(6, 2, 3)
    first, last = replicated(case, 10_000)
    assert_mean(first, 1.5)
    assert_mean(last, 10.5)
    assert_variance(last, 20.25, case.excess_kurtosis(), power=0.05)


@pytest.mark.parametrize(("wells", "crews"), [(6, 2), (7, 2), (5, 3), (4, 4), (3, 5), (10, 1)])
def test_certain_jobs_of_identical_crews(wells: int, crews: int) -> None:
    """Every round of jobs takes as long as one job: ceil(N/m) t in all (C10)."""
    assert days_of_ends(prepared_by(Crews(wells, crews, 3), "3 day"), 0)[-1] == pytest.approx(3 * ceil(wells / crews))


def test_milling_rigs_after_the_pad_are_identical_crews_too() -> None:
    """Six wells fractured, then two rigs with exponential jobs of three days: the last is out 10.5 days later (C8)."""
    rigs = {"count": 2, "rig_up": {"exponential": "3 day"}, "rig_down": NOW, "per_plug": NOW}
    wells = one_stage_wells(6, NOW, measured_depth="2 ft", lateral_length="1 ft")  # so that trips take no time
    scenario = pad(wells, FIXED | {"drill_out": "after the pad"}, units=units(milling_rigs=rigs))
    logs = [simulate(scenario, number, seed=3) for number in range(2500)]
    last_h = [max(row.end_h for row in work(log, activities.TRIP_OUT)) for log in logs]
    assert all(makespan_h(log) == pytest.approx(6.0) for log in logs)
    assert_mean((np.array(last_h) - 6.0) / 24, Crews(6, 2, 3).last_day())
