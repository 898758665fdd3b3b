"""Several supplies at once, worked out by hand: who starts when, who slows whom, and what each wait is put down to."""

from __future__ import annotations

from collections.abc import Callable
from math import inf

import pytest
import simpy

from sim.log import Log
from sim.supplies.draw import Draw
from sim.supplies.network import TRANSFER, Line, Network, Pond
from sim.supplies.source import Returned, Source
from sim.supplies.start_rules import RULES
from sim.supplies.store import Store
from sim.supplies.stores import Stores
from sim.supplies.upstream import Steady

FULL, COMES = RULES["full stage on hand"], RULES["as it comes"]


class Played:
    """Stores, and draws asked for at their hours: (hour, wanted, hours[, deadline, priority])."""

    def __init__(self, stores: list[Store], asks: list[tuple], until_h: float = 500.0) -> None:
        self.env, self.log = simpy.Environment(), Log(0, 0, until_h, {})
        self.stores = Stores(self.env, self.log, stores)
        self.draws: list[Draw] = []
        self.asked_h = [ask[0] for ask in asks]
        for ask in asks:
            self.env.process(self._ask(*ask))
        self.env.run(until=until_h)
        self.stores.catch_up()

    def _ask(self, at_h: float, *ask: object) -> simpy.events.ProcessGenerator:
        yield self.env.timeout(at_h)
        draw = self.stores.take(*ask)  # type: ignore[arg-type]
        self.draws.append(draw)
        if not draw.started:
            yield draw.granted
        if draw.started:
            yield draw.done
        draw.deadline_h = self.env.now  # when it was over

    def times(self) -> list[tuple[float, float]]:
        return [(draw.start_h, draw.deadline_h) for draw in self.draws]

    def waits(self, number: int) -> list[tuple[float, str]]:
        return list(self.draws[number].waits(self.asked_h[number], self.draws[number].start_h))


def water(level: float, inflow: float, rule: object = FULL, capacity: float = 1000.0, minimum: float = 0.0) -> Store:
    return Store("water", capacity, level, rule, Steady("source", inflow), minimum)  # type: ignore[arg-type]


def proppant(level: float, inflow: float, rule: object = FULL, capacity: float = 1000.0) -> Store:
    return Store("proppant", capacity, level, rule, Steady("trucks", inflow))  # type: ignore[arg-type]


def test_a_draw_starts_when_the_last_supply_is_there() -> None:
    """600 of water at 100 an hour: hour 6; 800 of proppant at 50 an hour: hour 16; all of the wait is the proppant."""
    played = Played([water(0, 100), proppant(0, 50)], [(0, {"water": 600.0, "proppant": 800.0}, 2.0)])
    assert played.times() == [(16, 18)]
    assert played.waits(0) == [(16, "proppant: trucks")]


def test_a_supply_that_was_used_up_meanwhile_is_to_blame_from_then() -> None:
    """Proppant is short until hour 5.45; water only from hour 5, when another takes 500, until hour 6.

    Water is full by then: of 1000, 500 are promised, 600 wanted; 100 an hour make up the 100 that are missing.
    """
    asks = [(0, {"water": 600.0, "proppant": 300.0}, 1.0), (5, {"water": 500.0}, 1.0)]
    played = Played([water(600, 100), proppant(0, 55)], asks)
    assert played.times() == [(pytest.approx(6), pytest.approx(7)), (5, 6)]
    assert played.waits(0) == [(5, "proppant: trucks"), (6, "water: source")]


def test_full_storage_that_is_too_small_is_the_limit() -> None:
    """A tank of 1000, full at hour 1: 700 promised to one until hour 10 leave no 600 for another.

    Until hour 1 it fills at 100 an hour; then only what is drawn makes room: 70 an hour, missing 300 less 100.
    """
    asks = [(0, {"water": 700.0}, 10.0), (0, {"water": 600.0}, 1.0)]
    played = Played([water(930, 140)], asks)
    # The level rises by 70 an hour and reaches 1000 at hour 1; 600 + 700 - 930 = 370 were missing, 230 at hour 1.
    assert played.draws[1].start_h == pytest.approx(1 + 230 / 70)
    assert played.waits(1) == [(1, "water: source"), (pytest.approx(1 + 230 / 70), "water: storage")]


def test_one_supply_that_runs_dry_slows_all_of_a_draw() -> None:
    """100 of proppant at 100 an hour, 20 an hour coming: dry at 1.25 h, and pumped at a fifth from then on.

    400 wanted over 4 h: 125 by 1.25 h, 275 more at 20 an hour: 13.75 h. Water flows at the same pace: 800 in all.
    """
    played = Played(
        [water(1000, 0, COMES), proppant(100, 20, COMES)], [(0, {"water": 800.0, "proppant": 400.0}, 4.0)], 20.0
    )
    draw = played.draws[0]
    assert played.times() == [(0, 15)]
    assert (draw.slow_from_h, draw.lost(15)) == (1.25, [("proppant: trucks", pytest.approx(11.0))])
    assert played.stores.level("water") == pytest.approx(200)
    assert played.stores.level("proppant") == pytest.approx((20 - 15) * 20)


def test_a_closing_window_pauses_all_without_losing_volume() -> None:
    """Until hour 2: two hours of four are done, of both supplies; the rest is taken later."""
    stores = [water(500, 0), proppant(500, 0)]
    played = Played(stores, [(0, {"water": 400.0, "proppant": 200.0}, 4.0, 2.0), (9, {"water": 200.0}, 2.0)])
    assert played.times() == [(0, 2), (9, 11)]
    assert played.draws[0].left_h == pytest.approx(2.0)
    assert played.stores.level("proppant") == pytest.approx(400)
    assert played.stores.level("water") == pytest.approx(100)


def test_who_shares_a_dry_store_gets_the_same_share() -> None:
    """300 and 100 an hour wanted of 100 that flow in: a quarter of what each wants."""
    asks = [(0, {"water": 600.0}, 2.0), (0, {"water": 200.0}, 2.0)]
    assert Played([water(0, 100, COMES)], asks).times() == [(0, 8), (0, 8)]


def test_lower_priority_numbers_are_served_first() -> None:
    """80 an hour of 100 go to the first; the second gets 20 an hour, then all."""
    asks = [(0, {"water": 200.0}, 2.0, inf, 2), (0, {"water": 160.0}, 2.0, inf, 1)]
    played = Played([water(0, 100, COMES)], asks)
    assert played.draws[1].deadline_h == 2
    assert played.draws[0].deadline_h == pytest.approx(2 + (200 - 40) / 100)


def test_who_comes_after_does_not_take_what_the_first_waits_for() -> None:
    """A stage waits for 900; a run of 100, of lower priority, would be there at once but may not start before it."""
    asks = [(0, {"water": 900.0}, 1.0, inf, 1), (1, {"water": 100.0}, 1.0, inf, 2)]
    assert Played([water(500, 50)], asks).times() == [(8, 9), (10, 11)]
    equal = [ask[:4] for ask in asks]
    assert Played([water(500, 50)], equal).times() == [(10, 11), (1, 2)]


def test_nothing_is_drawn_from_below_the_working_minimum() -> None:
    """300 wanted, 200 kept back: 500 must be there, at hour 4; as it comes, the draw runs dry at 200."""
    assert Played([water(100, 100, minimum=200)], [(0, {"water": 300.0}, 1.0)]).times() == [(4, 5)]
    dry = Played([water(300, 50, COMES, minimum=200)], [(0, {"water": 300.0}, 1.0)])
    assert dry.draws[0].slow_from_h == pytest.approx(100 / 250)
    assert dry.times() == [(0, pytest.approx(4.0))]


def test_loads_wait_for_room_in_turn_and_storage_is_then_the_limit() -> None:
    """Storage of 100 with 80 in it: a load of 30 waits until 10 are drawn; nothing overtakes it."""
    env, log = simpy.Environment(), Log(0, 0, 100.0, {})
    stores = Stores(env, log, [proppant(80, 0, capacity=100.0)])
    came: list[float] = []

    def truck(volume: float) -> simpy.events.ProcessGenerator:
        yield stores.room_for("proppant", volume)
        came.append(env.now)
        stores.deliver("proppant", volume, 0.5)

    def pump() -> simpy.events.ProcessGenerator:
        yield env.timeout(4)
        yield stores.take({"proppant": 40.0}, 2.0).done

    assert stores.room("proppant") == 20
    for process in (truck(30.0), truck(5.0), pump()):
        env.process(process)
    env.run(until=4.25)
    assert (came, stores.room("proppant")) == ([], 25)
    env.run(until=50)
    assert came == [4.5, 4.75]
    assert stores.level("proppant") == pytest.approx(80 - 40 + 35)


def pond_network(build: Callable[[], list]) -> Store:
    return Store("water", 1000.0, 0.0, FULL, Network(Line(TRANSFER, build(), 80.0)))


@pytest.mark.parametrize(
    ("build", "start_h", "cause"),
    [
        (lambda: [Source("river", 50.0)], 10, "water: source"),
        (lambda: [Source("river", 90.0)], 6.25, "water: transfer"),
        (lambda: [Pond("North pond", [Source("river", 90.0)], 1000.0, 900.0, 40.0)], 12.5, "water: North pond"),
        (lambda: [Pond("North pond", [Source("river", 25.0)], 1000.0, 0.0, 40.0)], 20, "water: source"),
        (lambda: [Line("Trunk", [Source("river", 70.0)], 20.0), Source("wells", 30.0)], 10, "water: Trunk"),
    ],
)
def test_the_part_that_is_the_limit(build: Callable[[], list], start_h: float, cause: str) -> None:
    """500 wanted: the wait is put down to what would have ended it sooner, had it been a little more."""
    played = Played([pond_network(build)], [(0, {"water": 500.0}, 1.0)])
    assert played.draws[0].start_h == pytest.approx(start_h)
    assert [each for _, each in played.waits(0)] == [cause]


def test_a_permit_lasts_from_midnight_to_midnight() -> None:
    """Start at 18:00: 300 of a permit by 21:00, nothing until midnight, then again: 500 are there at hour 8."""
    network = Network(Line(TRANSFER, [Source("river", 100.0, daily_limit=300.0, first_midnight_h=6.0)]))
    played = Played([Store("water", 1000.0, 0.0, FULL, network)], [(0, {"water": 500.0}, 1.0)], 12.0)
    assert played.draws[0].start_h == pytest.approx(8.0)


def test_no_more_than_its_share_of_the_whole_is_recycled() -> None:
    """70 an hour of fresh water and a pond that could give 90, at most 30 %: 30 an hour, 100 in all."""
    pond = Pond("Recycle", [Returned("flowback water", [(0.0, 50.0, 10.0)])], 1000.0, 900.0, 90.0, blend=0.3)
    store = Store("water", 5000.0, 0.0, FULL, Network(Line(TRANSFER, [Source("river", 70.0), pond])))
    played = Played([store], [(0, {"water": 1000.0}, 1.0)], 10.0)
    assert played.stores.level("water") == pytest.approx(1000.0)
    assert pond.level == pytest.approx(900 + 10 * 10 - 30 * 10)
    rows = {row.supply: row for row in played.log.levels if row.time_h == 0}
    assert (rows["Recycle"].outflow, rows["river"].outflow) == (pytest.approx(30), pytest.approx(70))
