"""Rounds of trucks whose every part takes a fixed time, worked out by hand."""

from __future__ import annotations

from functools import partial

import pytest
import simpy

from sim.calendars import Calendar
from sim.operations.haulage import Haulage
from tests.haulage.yard import OpenSilo, SmallSilo, haul, trucks


def test_one_truck_goes_round() -> None:
    """Load 0.5 h, drive 1 h, unload 0.5 h, drive back 1 h: a load every three hours, the first at 1.5 h."""
    _, silo = haul(trucks(load="30 min", drive="1 h"), 13.0)
    assert silo.loads == [(1.5, 0.5), (4.5, 0.5), (7.5, 0.5), (10.5, 0.5)]


def test_trucks_queue_for_the_loader() -> None:
    """Three trucks and one loader of half an hour: they leave half an hour apart, and stay so."""
    _, silo = haul(trucks(count=3, load="30 min", loaders=1, drive="1 h"), 5.0)
    assert [at_h for at_h, _ in silo.loads] == [1.5, 2.0, 2.5, 4.5]


def test_trucks_queue_for_a_spot() -> None:
    """Three trucks that come together, one spot: they unload one after the other."""
    spots, silo = haul(trucks(count=3, drive="1 h"), 3.4)
    assert [at_h for at_h, _ in silo.loads] == [1.0, 1.5, 2.0]
    assert (spots.came, spots.waited) == (3, 2)


def test_a_truck_waits_in_its_spot_for_room() -> None:
    """A silo for one load that is used up at 5 h: the second truck waits in the spot, the third behind it."""
    stated, env = trucks(count=3, drive="1 h"), simpy.Environment()
    silo = SmallSilo(env, 1)
    Haulage(env, stated, Calendar([(0.0, 100.0)]), silo).start(1, 0)
    env.timeout(5.0).callbacks.append(lambda _: silo.take())
    env.run(9.0)
    assert silo.loads == [(1.0, 0.5), (5.0, 0.5)]


def test_the_road_is_open_by_day() -> None:
    """From 06:00 to 20:00: a truck on its way at 20:00 goes on at 06:00; unloading needs no road."""
    road = Calendar([(6.0, 20.0), (30.0, 44.0)])
    _, silo = haul(trucks(drive="5 h", unload="2 h"), 60.0, road=road)
    assert silo.loads == [(11.0, 2.0), (33.0, 2.0)]


def test_a_driver_rests() -> None:
    """Trips of two hours, half an hour to unload: the sixth is cut at the eleventh hour of driving, at 12.5 h.

    Ten hours of rest, an hour to the loading point, two to the pad: the fourth load comes at 25.5 h.
    """
    _, silo = haul(trucks(drive="2 h", hours_of_service={}), 30.0)
    assert [at_h for at_h, _ in silo.loads] == [2.0, 6.5, 11.0, 25.5]


def test_a_road_that_ends_leaves_the_truck_where_it_is() -> None:
    """Nothing comes any more, and nothing happens any more."""
    _, silo = haul(trucks(drive="2 h"), 1000.0, road=Calendar([(0.0, 3.0)]))
    assert silo.loads == [(2.0, 0.5)]


@pytest.mark.parametrize("purpose", ["load", "drive", "unload"])
def test_every_truck_has_luck_of_its_own(purpose: str) -> None:
    """More trucks change nothing for those who were there, as long as nobody has to wait for another."""
    stated = partial(trucks, unload_spots=500, **({"drive": "1 h"} | {purpose: {"uniform": ["1 h", "2 h"]}}))
    _, few = haul(stated(count=3), 200.0)
    _, many = haul(stated(count=9), 200.0)
    assert set(few.loads) < set(many.loads)
    _, other = haul(stated(count=3), 200.0, replication=1)
    assert not set(few.loads) & set(other.loads)


def test_events_of_a_load(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three events a load, with a place in the queue four: nothing happens on the road."""
    steps, step = 0, simpy.Environment.step

    def counted(env: simpy.Environment) -> None:
        nonlocal steps
        steps += 1
        step(env)

    monkeypatch.setattr(simpy.Environment, "step", counted)
    _, silo = haul(trucks(count=1, drive="75 min", hours_of_service={}), 1000.0, silo=OpenSilo)
    assert steps <= 3 * len(silo.loads) + 4
