"""What is left of a job under way, against the closed forms of residual life.

Residual life, from any text on reliability (Barlow and Proschan 1965, Mathematical Theory of Reliability, from memory):
the chance of lasting x more having lasted t is S(t + x) / S(t).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import exp, gamma, sqrt

import pytest

from sim.activities import NIPPLE_UP, PRESSURE_TEST
from sim.chance.luck import Luck, drawn
from sim.chance.residual import GOES_ON, beyond, longer_than, matching
from sim.chance.troubles import Step
from sim.log import NO_ROW, Interval
from sim.operations.calendars import WorkingTimes, shifts_of
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Exponential
from sim.standing import Standing, stand
from tests.pads import units, well
from tests.theory.tolerance import STANDARD_ERRORS

PLAYED = 600
TAKEN_H = 6.0


def exponential(hours: float) -> float:
    return exp(-hours / 8.0)


def uniform(hours: float) -> float:
    return max(0.0, 1 - hours / 10.0)


def weibull(hours: float) -> float:
    return exp(-((hours * gamma(1 + 1 / 2.0) / 8.0) ** 2.0))


SHAPES: list[tuple[dict, Callable[[float], float]]] = [
    ({"exponential": "8 h"}, exponential),
    ({"uniform": ["0 h", "10 h"]}, uniform),
    ({"weibull": {"mean": "8 h", "shape": 2.0}}, weibull),
]


def pad_with(nipple_up: object, **more: object) -> Scenario:
    one = well("A", 1, "1 h", "1 h", toe=True, preparation={"nipple_up": nipple_up, "pressure_test": "1 h"})
    return load_stated({"start": "2027-03-01", "wells": [one], "strategy": {}, "units": units(), **more})


def under_way(hours: float = TAKEN_H) -> Interval:
    return Interval(0.0, hours + 1, "Preparation crew", NIPPLE_UP, "A", 0, "work", "", NO_ROW)


@pytest.mark.parametrize(("stated", "survival"), SHAPES)
def test_residuals_of_a_job_under_way(stated: dict, survival: Callable[[float], float]) -> None:
    """Of many plays on, the share that lasts longer than x more is S(t + x) / S(t), within its interval."""
    scenario, standing = pad_with(stated), stand([under_way()], TAKEN_H, {})
    left_h = [_left_h(scenario, replication, standing) for replication in range(PLAYED)]
    assert min(left_h) >= 0
    for x in (0.5, 1.0, 2.0, 3.0):
        chance = survival(TAKEN_H + x) / survival(TAKEN_H)
        within = STANDARD_ERRORS * sqrt(chance * (1 - chance) / PLAYED)
        assert sum(each > x for each in left_h) / PLAYED == pytest.approx(chance, abs=within), x


def _left_h(scenario: Scenario, replication: int, standing: object) -> float:
    log = simulate(scenario, replication, 4, standing)  # type: ignore[arg-type]
    return next(row.start_h for row in log.intervals if row.activity == PRESSURE_TEST) - TAKEN_H


def test_exponential_forgets_how_long_it_has_taken() -> None:
    """The mean of what is left is that of a whole one."""
    shape, n = Exponential(5.0), 2000
    left = [longer_than(9.0, lambda luck: luck.hours("A", "b", shape), Luck(drawn(1, k))) - 9.0 for k in range(n)]
    assert sum(left) / n == pytest.approx(5.0, abs=STANDARD_ERRORS * 5.0 / sqrt(n))


def test_first_try_is_the_plain_luck() -> None:
    """What began under the same luck lasts as long as it would have."""
    luck, shape = Luck(drawn(2, 3)), Exponential(5.0)
    whole_h = luck.hours("A", "b", shape)
    assert longer_than(0.9 * whole_h, lambda each: each.hours("A", "b", shape), luck) == whole_h
    assert longer_than(1.1 * whole_h, lambda each: each.hours("A", "b", shape), luck) != whole_h


def test_what_the_plan_thinks_over_goes_on_for_a_share() -> None:
    """A fixed time that has passed: a tenth of what it has taken."""
    log = simulate(pad_with("4 h"), 0, 0, stand([under_way()], TAKEN_H, {}))
    end_h = max(row.end_h for row in log.intervals if row.activity == NIPPLE_UP)
    assert end_h == pytest.approx(TAKEN_H * (1 + GOES_ON))


def test_trouble_under_way_goes_on_by_its_shape() -> None:
    """Hours lost to a trouble that has taken 2 h already: uniform up to 5 h leaves 3 h at most, 1.5 h in the mean."""
    trouble = {"stuck": {"strikes": "nipple up", "chance": 0.0, "lost": {"uniform": ["0 h", "5 h"]}, "then": "resume"}}
    scenario = pad_with("6 h", troubles=trouble)
    rows = [
        under_way()._replace(end_h=4.0),
        Interval(4.0, 7.0, "Preparation crew", NIPPLE_UP, "A", 0, "trouble", "stuck", 0),
    ]
    standing = stand(rows, TAKEN_H, {})
    assert standing.jobs[0].in_trouble == "stuck"
    left_h = [_left_h(scenario, replication, standing) - 2.0 for replication in range(PLAYED)]  # 2 h of work are left
    assert 0 <= min(left_h) < max(left_h) <= 3
    assert sum(left_h) / PLAYED == pytest.approx(1.5, abs=STANDARD_ERRORS * 3 / sqrt(12 * PLAYED))


def test_bad_weather_goes_on_as_long_as_it_may() -> None:
    """Exponential spells forget how long they have lasted: of bad weather at the moment 9 h are left in the mean."""
    weather = {"spells": {"other_months": {"good": "200 h", "bad": "9 h"}}, "stops": {"preparation": "bad weather"}}
    scenario, n = pad_with("8 h", weather=weather), 300
    standing = Standing(100.0, bad_weather=((98.0, 100.0),), weather_known_h=100.0)
    starts_h = [_first_window_h(scenario, number, standing) - 100.0 for number in range(n)]
    assert min(starts_h) > 0
    assert sum(starts_h) / n == pytest.approx(9.0, abs=STANDARD_ERRORS * 9.0 / sqrt(n))
    known_good = replace(standing, bad_weather=((90.0, 98.0),))
    assert sum(_first_window_h(scenario, number, known_good) > 100.0 for number in range(n)) < n / 5


def _first_window_h(scenario: Scenario, number: int, standing: Standing) -> float:
    """When a crew found at the moment can go to work."""
    unit = scenario.units.preparation_crews[0]
    times = WorkingTimes(scenario, 5, number, standing)
    return times.of(unit, shifts_of(scenario, unit))(NIPPLE_UP).next_window(standing.as_of_h)[0]


def test_script_beyond_the_work_done() -> None:
    """By hand: 5 h of work, a trouble after 2 h, then from the start again."""
    again = [Step(2.0, "", 5.0), Step(1.0, "misrun"), Step(5.0, "", 5.0)]
    assert beyond(again, 5.0, 1.5) == (Step(0.5, ""), *again[1:])
    assert beyond(again, 5.0, 3.0) == (Step(2.0, ""),)  # it did not strike in this attempt
    resumed = [Step(2.0, "", 5.0), Step(1.0, "valve"), Step(3.0, "")]
    assert beyond(resumed, 5.0, 3.0) == (Step(2.0, ""),)
    assert matching(resumed, (2.0, 1.0), ["valve"]) == 2
    assert matching(resumed, (1.0, 1.0), ["valve"]) is None
    assert matching(resumed, (1.0,), []) == 0
