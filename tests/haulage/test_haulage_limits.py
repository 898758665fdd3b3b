"""What a wait for trucks is put down to: worked out by hand for roads that close, queues, and too few trucks."""

from __future__ import annotations

import simpy

from sim.calendars import Calendar
from sim.chance.windows import Window
from sim.operations.haulage import Haulage
from sim.operations.haulage_limits import HaulageLimits
from tests.haulage.yard import OpenSilo, trucks

INF = float("inf")


def limits(road: list[Window], until_h: float, closures: dict[str, list[Window]], **fleet: object) -> HaulageLimits:
    """After so many hours of trucks that go round on a road with these windows."""
    env, stated = simpy.Environment(), trucks(**fleet)
    haulage = Haulage(env, stated, Calendar(road), OpenSilo(env))
    haulage.start(1, 0)
    env.run(until_h)
    return HaulageLimits(haulage, list(closures.items()))


def test_too_few_trucks() -> None:
    """One truck on an open road: nothing else is the limit."""
    assert limits([(0.0, INF)], 20.0, {}, load="30 min", drive="1 h").parts(2.0, 17.0) == [(17.0, "trucks")]


def test_unload_spots_while_a_truck_waits_for_one() -> None:
    """Three come at 1 h to one spot of half an hour: a queue until the third has its turn at 2 h; back at 4.5 h."""
    found = limits([(0.0, INF)], 8.0, {}, count=3, loaders=3, drive="1 h")
    assert found.parts(0.0, 3.0) == [(1.0, "trucks"), (2.0, "unload spots"), (3.0, "trucks")]
    assert found.parts(1.25, 1.75) == [(1.75, "unload spots")]


def test_loaders_while_a_truck_waits_for_one() -> None:
    """Three trucks, one loader of an hour: the third waits until 2 h."""
    found = limits([(0.0, INF)], 8.0, {}, count=3, loaders=1, load="1 h", drive="4 h")
    assert found.parts(0.0, 4.0) == [(2.0, "loaders"), (4.0, "trucks")]


def test_a_closed_road_until_the_first_truck_has_unloaded() -> None:
    """Out of hours from 20 to 30: trips of 3 h, half an hour at the pad, so there at 3, 9.5 and 16 h, back at 19.5 h.

    The night catches it half an hour on the way; it is there at 32.5 h and has unloaded at 33 h.
    """
    night = {"road hours": [(20.0, 30.0)], "road closed": [(24.0, 26.0)]}
    found = limits([(0.0, 20.0), (30.0, 60.0)], 50.0, night, drive="3 h")
    assert found.parts(17.0, 40.0) == [(20.0, "trucks"), (33.0, "road hours"), (40.0, "trucks")]


def test_what_is_foreseen_comes_first_and_what_ended_last_goes_on() -> None:
    """A storm within the night is not to blame, but the hour of it after the night is, until a truck has unloaded."""
    why = {"road hours": [(20.0, 30.0)], "weather on the road": [(28.0, 31.0)]}
    found = limits([(0.0, 20.0), (31.0, 60.0)], 50.0, why, drive="3 h")
    assert found.parts(21.0, 40.0) == [(30.0, "road hours"), (34.0, "weather on the road"), (40.0, "trucks")]
