"""Trucks that fill a store from which stages draw: balanced or not, whole loads against a plain rate."""

from __future__ import annotations

from collections.abc import Generator
from itertools import pairwise
from typing import Any

import pytest
import simpy

from sim.calendars import AROUND_THE_CLOCK
from sim.log import Log
from sim.operations.haulage import Haulage
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from sim.supplies.upstream import Steady
from tests.haulage.yard import trucks
from tests.theory.tolerance import assert_mean

LOAD, STAGE = 46_000.0, 414_000.0  # nine loads a stage


class Filled:
    """The store of one supply as trucks see it."""

    def __init__(self, stores: Stores) -> None:
        self._stores = stores

    def room(self, volume: float) -> simpy.Event:
        return self._stores.room_for("proppant", volume)

    def deliver(self, volume: float, hours: float) -> None:
        self._stores.deliver("proppant", volume, hours)


def played(
    capacity: float, rule: str, hours: float, stages: int, rate: float = 0.0, number: int = 0, **fleet: Any
) -> tuple[Log, list[float]]:
    """Log, and hours at which stages that follow each other end; each takes two hours and nine loads."""
    env, log = simpy.Environment(), Log(0, 0, hours, {})
    stores = Stores(env, log, [Store("proppant", capacity, 0.0, RULES[rule], Steady("trucks", rate))])
    if fleet:
        Haulage(env, trucks(**fleet), AROUND_THE_CLOCK, Filled(stores)).start(1, number)
    ends: list[float] = []

    def pump() -> Generator[simpy.Event, None, None]:
        for _ in range(stages):
            draw = stores.take({"proppant": STAGE}, 2.0)
            if not draw.started:
                yield draw.granted
            yield draw.done
            ends.append(env.now)

    env.process(pump())
    env.run(hours)
    stores.catch_up()
    return log, ends


@pytest.mark.parametrize("rule", RULES)
def test_what_trucks_bring_is_drawn_or_there(rule: str) -> None:
    """Loads that came are what was drawn and what is left, and the level stays between nothing and full."""
    log, ends = played(
        1e6, rule, 400.0, 60, count=6, drive={"uniform": ["1 h", "2 h"]}, unload={"uniform": ["20 min", "1 h"]}
    )
    inflow = sum(row.inflow * (after.time_h - row.time_h) for row, after in pairwise(log.levels))
    drawn = sum(row.outflow * (after.time_h - row.time_h) for row, after in pairwise(log.levels))
    assert len(ends) > 20
    assert inflow - drawn == pytest.approx(log.levels[-1].level, abs=1.0)
    assert all(-1e-3 <= row.level <= 1e6 + 1e-3 and row.turned_away == 0 for row in log.levels)


@pytest.mark.parametrize("rule", ["full stage on hand", "as it comes"])
def test_a_balanced_fleet_is_as_good_as_its_rate(rule: str) -> None:
    """Six trucks of a round of 3 h and 92 klb/h, one behind the other: stages end as with that rate, to half a load.

    The silo never fills up, so nothing is turned away, and stages go at the pace of the proppant.
    """
    rate = 6 * LOAD / 3.0
    _, by_truck = played(
        1e7, rule, 300.0, 50, count=6, load="30 min", loaders=1, drive="1 h", unload="30 min", unload_spots=1
    )
    _, by_rate = played(1e7, rule, 300.0, 50, rate)
    begins_h = 1.5  # when the first truck unloads; from then on one follows the other
    assert len(by_truck) == len(by_rate) == 50
    assert [end - begins_h for end in by_truck] == pytest.approx(by_rate, abs=1e-6)


def test_random_trucks_keep_the_pace_of_their_mean_rate() -> None:
    """Ten stages to fifty at six trucks that never queue: 40 x 9 loads at 6 / E[round], as the plain rate has it.

    The long-run rate of a renewal process is one over its mean, whatever its spread.
    """
    times = {"load": {"exponential": "20 min"}, "drive": {"lognormal": {"mean": "60 min", "cv": 0.5}}}
    times |= {"unload": {"uniform": ["20 min", "60 min"]}}
    round_h = (20 + 2 * 60 + 40) / 60
    _, by_rate = played(1e7, "full stage on hand", 400.0, 50, 6 * LOAD / round_h)
    expected = by_rate[49] - by_rate[9]
    assert expected == pytest.approx(40 * 9 * round_h / 6)
    found = []
    for number in range(24):
        _, ends = played(1e7, "full stage on hand", 400.0, 50, number=number, count=6, unload_spots=6, **times)
        found.append(ends[49] - ends[9])
    assert_mean(found, expected)
