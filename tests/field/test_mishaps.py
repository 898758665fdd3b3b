"""How often troubles strike: as stated, by the exact binomial test and Poisson counts, and never less when raised."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import pytest
from scipy import stats

from sim import activities
from sim.chance.luck import Luck, drawn
from sim.chance.troubles import MOST_STRIKES, Hazard, Mishaps, script
from sim.scenario.troubles import Trouble
from tests.theory.tolerance import RISK, assert_mean, assert_quantiles, assert_variance

PUMP = activities.PUMP_STAGE
HOURS = 2.0
WELLS, MANY_WELLS, STAGES = 120, 1200, 50


def trouble(**stated: Any) -> Trouble:
    """One that strikes pumping; it costs three hours, unless stated otherwise."""
    return Trouble.model_validate({"strikes": PUMP, "lost": "3 h"} | stated)


def mishaps(factor: float = 1.0, replication: int = 0, **troubles: Trouble) -> Mishaps:
    stages = {f"well {well}": STAGES for well in range(MANY_WELLS)}
    return Mishaps(troubles, factor, stages, Luck(drawn(11, replication)))


def jobs_of(found: Mishaps, wells: int = WELLS, hours: float = HOURS) -> list[list[Hazard]]:
    """The luck of every stage of so many wells."""
    return [found.hazards(PUMP, [(f"well {w}", k)], hours) for w in range(wells) for k in range(1, STAGES + 1)]


def strikes_of(jobs: list[list[Hazard]], hours: float = HOURS) -> list[int]:
    """How often each job is struck."""
    return [sum(bool(step.trouble) for step in script(hours, job).steps) if job else 0 for job in jobs]


@pytest.mark.parametrize("then", ["resume", "repeat", "give up the rest"])
@pytest.mark.parametrize(("chance", "factor"), [(0.015, 1.0), (0.2, 1.0), (0.2, 2.0), (0.5, 0.1)])
def test_share_of_jobs_struck_is_the_chance(then: str, chance: float, factor: float) -> None:
    """The exact binomial test at one in ten thousand, over 6,000 stages."""
    found = mishaps(factor, misrun=trouble(chance=f"{100 * chance} %", then=then))
    struck = sum(strikes > 0 for strikes in strikes_of(jobs_of(found)))
    n, p = WELLS * STAGES, chance * factor
    assert 1.96 * np.sqrt(p * (1 - p) / n) < 0.25 * p, "sample too small to have any power"
    assert stats.binomtest(struck, n, p).pvalue > RISK


@pytest.mark.parametrize("chance", [0.05, 0.4])
def test_a_job_that_is_repeated_is_struck_again_by_the_same_chance(chance: float) -> None:
    """Strikes before the first attempt that succeeds are geometric, cut at four."""
    counts = strikes_of(jobs_of(mishaps(misrun=trouble(chance=f"{100 * chance} %", then="repeat"))))
    expected = sum(chance**k for k in range(1, MOST_STRIKES + 1))
    assert_mean(counts, expected, power=0.15)
    assert max(counts) <= MOST_STRIKES


def test_a_factor_beyond_certainty_strikes_every_job() -> None:
    """Two per cent times a hundred."""
    assert set(strikes_of(jobs_of(mishaps(100.0, a=trouble(chance="2 %")), wells=4))) == {1}


def test_strikes_by_the_hour_are_poisson_counts() -> None:
    """Once in ten hours of work, jobs of two: mean and variance are 0.2."""
    rate = HOURS / 10
    counts = strikes_of(jobs_of(mishaps(a=trouble(every="10 h")), wells=MANY_WELLS))
    assert_mean(counts, rate)
    assert_variance(counts, rate, excess_kurtosis=1 / rate)


def test_strikes_fall_anywhere_in_a_job() -> None:
    """The place of a strike is uniform over the job, whatever its length; hours lost have the shape stated."""
    found = mishaps(a=trouble(chance="50 %", lost={"uniform": ["1 h", "5 h"]}))
    places, lost = [], []
    for steps in [script(HOURS, job).steps for job in jobs_of(found) if job]:
        if len(steps) > 1:
            places.append(steps[0].hours / HOURS)
            lost.append(steps[1].hours)
    assert_quantiles(places, [0.1, 0.25, 0.5, 0.75, 0.9], [0.1, 0.25, 0.5, 0.75, 0.9])
    assert_quantiles(lost, [0.1, 0.5, 0.9], [1.4, 3.0, 4.6])
    assert abs(np.corrcoef(places, lost)[0, 1]) < stats.norm.isf(RISK / 2) / np.sqrt(len(places))


@pytest.mark.parametrize("then", ["resume", "repeat", "give up the rest"])
def test_a_higher_chance_only_adds_strikes(then: str) -> None:
    """Under the same luck a job struck before is struck at the same place for the same hours, exactly."""
    levels = [jobs_of(mishaps(a=trouble(chance=f"{chance} %", then=then)), wells=20) for chance in (1, 5, 25, 100)]
    for rarely, often in itertools.pairwise(levels):
        for before, after in zip(rarely, often, strict=True):
            _only_adds(before, after)
    struck = [sum(map(bool, level)) for level in levels]
    assert struck == sorted(struck)
    assert struck[0] < struck[2] < struck[3] == 20 * STAGES


def _only_adds(before: list[Hazard], after: list[Hazard]) -> None:
    if not before:
        return
    assert after
    assert after[0].lost_h == before[0].lost_h
    for few, many in zip(before[0].apart_h, after[0].apart_h, strict=True):
        assert few in {many, np.inf}


def test_a_higher_factor_only_adds_strikes() -> None:
    """The same for the factor, by chance and by the hour; by the hour every strike comes the sooner by that factor."""
    by_chance, by_hour = trouble(chance="3 %"), trouble(every="30 h")
    once, thrice = (mishaps(factor, a=by_chance, b=by_hour) for factor in (1.0, 3.0))
    for before, after in zip(jobs_of(once, wells=20), jobs_of(thrice, wells=20), strict=True):
        few, many = ({hazard.name: hazard for hazard in job} for job in (before, after))
        assert set(few) <= set(many)
        if "a" in few:
            _only_adds([few["a"]], [many["a"]])
        if "b" in few:
            n = len(few["b"].apart_h)  # there may be more, at the end
            assert many["b"].apart_h[:n] == pytest.approx([gap / 3 for gap in few["b"].apart_h], rel=1e-12)
            assert many["b"].lost_h[:n] == few["b"].lost_h


def test_factor_zero_is_no_trouble() -> None:
    """Nothing strikes, however likely it is stated to be."""
    found = mishaps(0.0, a=trouble(chance="100 %"), b=trouble(every="1 h"))
    assert not any(jobs_of(found, wells=20))


def test_luck_does_not_depend_on_the_order_of_asking() -> None:
    """Well by well or stage by stage, forwards or backwards, alone or among other troubles."""
    a, b = trouble(chance="30 %"), trouble(every="5 h")
    places = [(well, stage) for well in range(6) for stage in range(1, STAGES + 1)]

    def asked(found: Mishaps, order: list[tuple[int, int]], name: str) -> dict[tuple[int, int], list[Hazard]]:
        jobs = {at: found.hazards(PUMP, [(f"well {at[0]}", at[1])], HOURS) for at in order}
        return {at: [hazard for hazard in job if hazard.name == name] for at, job in jobs.items()}

    for name in ("a", "b"):
        alone = asked(mishaps(**{name: a if name == "a" else b}), places, name)
        assert alone == asked(mishaps(a=a, b=b), places[::-1], name)
        assert alone == asked(mishaps(b=b, a=a, c=a), sorted(places, key=lambda at: at[1]), name)
        assert any(alone.values())
        assert alone != asked(mishaps(replication=1, a=a, b=b), places, name)


def test_a_long_job_is_struck_as_often_as_stated() -> None:
    """Thirty days of flowback, struck once in 24 hours of it: thirty times in the mean."""
    once_a_day = trouble(strikes=activities.FLOW_BACK, every="24 h")
    counts = []
    for number in range(300):
        job = mishaps(replication=number, a=once_a_day).hazards(activities.FLOW_BACK, [("well 1", 0)], 720.0)
        counts.append(strikes_of([job], 720.0)[0])
    assert_mean(counts, 30.0, power=0.05)
