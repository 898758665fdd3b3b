"""When something that runs and fails by turns stands still: spells drawn up front, which nobody foresees."""

from __future__ import annotations

from collections.abc import Iterator

from numpy.random import Generator

from sim.chance.windows import Window


def drawn_outages(up_h: float, down_h: float, horizon_h: float, stream: Generator) -> list[Window]:
    """Outages from hour zero to the horizon, exponential by turns with these means.

    Hour zero finds it as it is in the long run: what is left of an exponential spell is as long as a whole one.
    """
    return list(_down(up_h, down_h, horizon_h, stream))


def _down(up_h: float, down_h: float, horizon_h: float, stream: Generator) -> Iterator[Window]:
    is_down = stream.random() * (up_h + down_h) < down_h
    at_h = 0.0
    while at_h < horizon_h:
        end_h = at_h + (down_h if is_down else up_h) * stream.standard_exponential()
        if is_down and end_h > at_h:
            yield at_h, min(end_h, horizon_h)
        at_h, is_down = end_h, not is_down
