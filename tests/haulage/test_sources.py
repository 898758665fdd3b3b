"""A source beside the trucks: what it delivers is not used up by what has no permit."""

from __future__ import annotations

from sim.supplies.network import Line, Network, Pond
from sim.supplies.source import Source


def test_a_source_without_a_permit_goes_on() -> None:
    """However much it has delivered, it can deliver its rate."""
    source = Source("Wells", 100.0)
    for hour in range(100):
        source.look(float(hour), open_=True)
        assert source.able == 100.0
        source.settle(float(hour), 100.0)
        source.run(1.0)


def test_a_permit_is_used_up_until_midnight() -> None:
    """Of 250 bbl a day at 100 an hour, nothing is left after two and a half hours; at midnight it begins again."""
    source = Source("River", 100.0, daily_limit=250.0)
    source.look(0.0, open_=True)
    source.settle(0.0, 100.0)
    assert source.until_h(0.0) == 2.5
    source.run(2.5)
    source.look(2.5, open_=True)
    assert source.able == 0.0
    source.look(24.0, open_=True)
    assert source.able == 100.0


def test_an_edge_reached_in_no_time_is_seen() -> None:
    """A pond a hair below its minimum comes to it before the clock can move, and passes on water from then on."""
    pond = Pond("Pond", [Source("River", 1000.0)], 9000.0, 5000.0 - 1e-9, 800.0, minimum=5000.0)
    network = Network(Line("transfer", [pond]))
    network.look(700.0)
    network.settle(700.0, 0.0)
    assert network.able == 0.0
    network.flow(0.0, 700.0)
    network.look(700.0)
    assert network.able == 800.0
