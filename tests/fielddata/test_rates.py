"""Strikes, and the jobs in which they might have come, counted alike; hours of a trouble under way as unfinished."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.field.attempts import attempts_of
from analysis.field.quantities import Quantity
from analysis.field.rates import TroubleRate, losses_of, rates_of
from analysis.field.reading import FieldLog
from sim.scenario import load_stated
from sim.scenario.scenario import Scenario
from tests.fielddata.logs import SMALL, read, small_pad

DAY = "2027-03-08"
TWO_STAGES = (
    f"{DAY} 06:00,{DAY} 08:00,Fleet A,pump stage,Curlew 1,1,,",
    f"{DAY} 08:00,{DAY} 10:00,Fleet A,pump stage,Curlew 2,1,,",
)
STRUCK = (
    f"{DAY} 10:00,{DAY} 11:00,Fleet A,pump stage,Curlew 1,2,,",
    f"{DAY} 11:00,{DAY} 14:00,Fleet A,pump stage,Curlew 1,2,screen-out,",
)
ON_AGAIN = f"{DAY} 14:00,{DAY} 15:00,Fleet A,pump stage,Curlew 1,2,,"


def rate(log: FieldLog, name: str = "screen-out", scenario: Scenario | None = None) -> TroubleRate:
    plan = scenario or small_pad()
    return next(each for each in rates_of(log, attempts_of(log, plan), plan, 0.0) if each.name == name)


def loss(log: FieldLog, name: str = "screen-out") -> Quantity:
    return next(each for each in losses_of(log, small_pad()) if each.name.startswith(name))


def hours(quantity: Quantity) -> tuple[list[float], list[float]]:
    return quantity.done.tolist(), quantity.unfinished.tolist()


def test_a_strike_under_way_is_unfinished_and_its_job_a_trial(tmp_path: Path) -> None:
    """Open for an hour at the end of the log, after two stages without: one of three, and more than an hour."""
    rows = [
        *TWO_STAGES,
        STRUCK[0],
        f"{DAY} 11:00,,Fleet A,pump stage,Curlew 1,2,screen-out,",
        f"{DAY} 06:00,{DAY} 12:00,Wireline,plug and perforate,Curlew 2,2,,",
    ]
    log = read(tmp_path, *rows)
    assert (rate(log).strikes, rate(log).jobs) == (1, 3)
    assert hours(loss(log)) == ([], [1.0])


def test_a_strike_that_is_over_has_its_hours(tmp_path: Path) -> None:
    """Its job works again, and goes on; a second trouble of it is the one that is under way."""
    rows = [*TWO_STAGES, *STRUCK, ON_AGAIN, f"{DAY} 15:00,,Fleet A,pump stage,Curlew 1,2,,"]
    assert hours(loss(read(tmp_path, *rows))) == ([3.0], [])
    rows = [*TWO_STAGES, *STRUCK, ON_AGAIN, f"{DAY} 15:00,{DAY} 17:00,Fleet A,pump stage,Curlew 1,2,screen-out,"]
    rows.append(f"{DAY} 17:00,,Fleet A,pump stage,Curlew 1,2,weather,")
    assert hours(loss(read(tmp_path, *rows))) == ([3.0], [2.0])


def test_a_job_under_way_that_is_not_struck_is_no_trial_yet(tmp_path: Path) -> None:
    rows = [*TWO_STAGES, f"{DAY} 10:00,,Fleet A,pump stage,Curlew 1,2,,"]
    assert (rate(read(tmp_path, *rows)).strikes, rate(read(tmp_path, *rows)).jobs) == (0, 2)


def test_a_run_that_was_begun_again_and_goes_on_is_one_trial(tmp_path: Path) -> None:
    """The first attempt was struck; of the second nobody knows yet."""
    rows = [
        f"{DAY} 06:00,{DAY} 08:00,Wireline,plug and perforate,Curlew 1,1,,",
        f"{DAY} 08:00,{DAY} 09:00,Wireline,plug and perforate,Curlew 1,2,,",
        f"{DAY} 09:00,{DAY} 10:00,Wireline,plug and perforate,Curlew 1,2,misrun,",
        f"{DAY} 10:00,,Wireline,plug and perforate,Curlew 1,2,,",
        f"{DAY} 06:00,{DAY} 11:00,Fleet A,pump stage,Curlew 2,1,,",
    ]
    found = rate(read(tmp_path, *rows), "misrun")
    assert (found.strikes, found.jobs) == (1, 2)


def test_a_stage_that_was_given_up_is_a_trial(tmp_path: Path) -> None:
    stated = {"screen-out": {"then": "give up the rest"}}
    plan = load_stated(SMALL | {"troubles": stated})
    found = rate(read(tmp_path, *TWO_STAGES, *STRUCK), scenario=plan)
    assert (found.strikes, found.jobs) == (1, 3)


@pytest.mark.parametrize("left_out", [False, True])
def test_a_job_of_which_a_row_was_left_out_is_on_neither_side(tmp_path: Path, *, left_out: bool) -> None:
    """Its strikes tell nothing either: a row of theirs may be the one that is missing."""
    slip = f"{DAY} 16:00,{DAY} 15:00,Fleet A,pump stage,Curlew 1,2,,"
    log = read(tmp_path, *TWO_STAGES, *STRUCK, slip if left_out else ON_AGAIN)
    assert (rate(log).strikes, rate(log).jobs) == ((0, 2) if left_out else (1, 3))
    assert hours(loss(log)) == (([], []) if left_out else ([3.0], []))
