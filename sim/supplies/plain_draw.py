"""A draw from the one plain stock of a pad."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, nan

import simpy

from sim.supplies.waits import Lack, causes


class PlainDraw:
    """A volume wanted from a stock at a rate.

    Who asks yields `granted`, unless `started` already, and then `done`. `granted` fires when the draw may start, or
    at the deadline; `done` when all is drawn, or at the deadline, which is `stop_h` once it has started.
    `slow_from_h` is when an empty stock first slowed it, nan if never. `asked` is what it needs to start: more than
    `volume` where whoever asks does not know that it will be cut short.
    """

    __slots__ = (
        "asked",
        "deadline_h",
        "done",
        "drawn",
        "end_h",
        "granted",
        "lacks",
        "rate",
        "short_of",
        "slow_from_h",
        "start_h",
        "started",
        "stop_h",
        "volume",
    )

    granted: simpy.Event  # set where it must wait
    done: simpy.Event  # set when it starts

    def __init__(
        self, volume: float, rate: float, stop_h: float, start_by_h: float = inf, asked: float | None = None
    ) -> None:
        self.volume, self.rate, self.stop_h = volume, rate, stop_h
        self.asked = volume if asked is None else asked
        self.deadline_h = stop_h if stop_h < start_by_h else start_by_h
        self.drawn = 0.0
        self.started = False
        self.lacks: list[Lack] | None = None  # set where it must wait
        self.short_of = ""  # the cause of the hours lost while it is slowed
        self.start_h = self.slow_from_h = nan
        self.end_h = inf

    @property
    def left(self) -> float:
        """Volume not drawn."""
        return self.volume - self.drawn

    @property
    def left_h(self) -> float:
        """Hours at full pace still to go."""
        return (self.volume - self.drawn) / self.rate

    def lost(self, until_h: float) -> list[tuple[str, float]]:
        """Hours lost since it was slowed, with their cause."""
        return [(self.short_of, until_h - self.start_h - self.drawn / self.rate)] if self.short_of else []

    def waits(self, since_h: float, until_h: float) -> Sequence[tuple[float, str]]:
        """The wait before the draw started, or up to now, as ends and causes in order of time."""
        return causes(self.lacks, since_h, until_h) if self.lacks else ()
