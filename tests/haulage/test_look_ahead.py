"""The look ahead spares itself what cannot happen by itself; it must find every moment that a full search finds."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.calendars import AROUND_THE_CLOCK
from sim.log import Level, Log
from sim.operations.haulage import Haulage
from sim.supplies import outlook
from sim.supplies.network import Line, Network, Pond
from sim.supplies.source import Source
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from sim.supplies.upstream import Steady
from tests.haulage.test_stores_and_trucks import LOAD, Filled
from tests.haulage.yard import trucks

HOURS = 120.0


def network(rate: float, up: list[float]) -> Network:
    """A pond fed by a source that is up and down by turns, and another source beside it."""
    windows, at_h = [], 0.0
    for number, hours in enumerate(up):
        if number % 2 == 0:
            windows.append((at_h, at_h + hours))
        at_h += hours
    pond = Pond("Pond", [Source("River", rate, windows, daily_limit=15 * rate)], 20 * rate, 5 * rate, 1.5 * rate)
    return Network(Line("transfer", [pond, Source("Wells", 0.3 * rate, windows[1:])]))


def played(rules: list[str], rate: float, up: list[float], fleet: int, jobs: list[tuple[float, float, float]]) -> Any:
    """Levels, and the start, end and causes of every job: hours of pause, hours of pumping, loads of proppant."""
    env, log = simpy.Environment(), Log(0, 0, HOURS, {})
    stores = Stores(
        env,
        log,
        [
            Store("water", 8000.0, 2000.0, RULES[rules[0]], network(rate, up)),
            Store("proppant", 12 * LOAD, 0.0, RULES[rules[1]], Steady("trucks")),
        ],
    )
    haulage = trucks(count=fleet, drive={"uniform": ["1 h", "3 h"]}, unload={"uniform": ["20 min", "2 h"]})
    Haulage(env, haulage, AROUND_THE_CLOCK, Filled(stores)).start(1, 0)
    told: list[Any] = []

    def pump(priority: int) -> Generator[simpy.Event, None, None]:
        for pause, hours, loads in jobs:
            yield env.timeout(pause)
            asked_h = env.now
            draw = stores.take({"water": 1000.0 * loads, "proppant": LOAD * loads}, hours, priority=priority)
            if not draw.started:
                yield draw.granted
            yield draw.done
            told.append(
                (asked_h, draw.start_h, env.now, draw.waits(asked_h, draw.start_h), sorted(draw.lost_h.items()))
            )

    for priority in (1, 2):
        env.process(pump(priority))
    env.run(HOURS)
    stores.catch_up()
    return told, log.levels


def rounded(played: Any) -> Any:
    """Moments to a thousandth of a second: a longer search may end at the same moment by another sum."""
    told, levels = played
    return [
        (*(round(hour, 7) for hour in row[:3]), [(round(end, 7), cause) for end, cause in row[3]]) for row in told
    ], [Level(round(row.time_h, 7), row.supply, *(round(value, 3) for value in row[2:])) for row in levels]


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    st.lists(st.sampled_from(list(RULES)), min_size=2, max_size=2),
    st.floats(50.0, 900.0),
    st.lists(st.floats(1.0, 30.0), min_size=2, max_size=9),
    st.integers(1, 5),
    st.lists(st.tuples(st.floats(0.1, 6), st.floats(0.5, 4), st.floats(0.5, 6)), min_size=1, max_size=6),
)
def test_nothing_is_missed(
    rules: list[str], rate: float, up: list[float], fleet: int, jobs: list[tuple[float, float, float]]
) -> None:
    """Starts, ends, causes and levels are those of a search that spares itself nothing."""
    short = played(rules, rate, up, fleet, jobs)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(outlook, "_in_vain", lambda *_: False)
        patch.setattr(outlook, "_may_open", lambda *_: True)
        full = played(rules, rate, up, fleet, jobs)
    assert rounded(short) == rounded(full)
