"""A draw from one or several stores at once, evenly over the hours of a job."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, nan

import simpy

from sim.supplies.sharing import Demand
from sim.supplies.waits import Lack, causes


class Draw:
    """Volumes wanted from several stores, each at its own rate, over the same hours.

    Who asks yields `granted`, unless `started` already, and then `done`. `granted` fires when the draw may start, or
    at the deadline; `done` when all is drawn, or at the deadline, which is `stop_h` once it has started. When one
    supply slows, all of the draw slows with it: `slow_from_h` is when that first happened, nan if never. `left_h` are
    the hours at full pace still to go; `asked_h` those for which there must be enough to start, more than `hours` where
    whoever asks does not know that it will be cut short.
    """

    __slots__ = (
        "asked_h",
        "deadline_h",
        "demand",
        "done",
        "granted",
        "hours",
        "lacks",
        "left_h",
        "lost_h",
        "slow_from_h",
        "start_h",
        "started",
        "stop_h",
        "wanted",
    )

    granted: simpy.Event  # set where it must wait
    done: simpy.Event  # set when it starts

    def __init__(
        self,
        wanted: dict[int, float],
        hours: float,
        stop_h: float = inf,
        priority: int = 1,
        *,
        start_by_h: float = inf,
        asked_h: float | None = None,
    ) -> None:
        self.wanted, self.hours, self.stop_h = wanted, hours, stop_h
        self.asked_h = hours if asked_h is None else asked_h
        self.deadline_h = min(stop_h, start_by_h)
        self.demand = Demand(priority, {store: volume / hours for store, volume in wanted.items()})
        self.left_h = hours
        self.started = False
        self.start_h = self.slow_from_h = nan
        self.lacks: list[Lack] = []
        self.lost_h: dict[str, float] = {}  # by cause, while it was slowed

    @property
    def hours_done(self) -> float:
        """Hours at full pace that what is drawn stands for."""
        return self.hours - self.left_h

    def lost(self, until_h: float) -> list[tuple[str, float]]:
        """Hours lost while it was slowed, by cause, in the order in which they came up."""
        return list(self.lost_h.items())

    def waits(self, since_h: float, until_h: float) -> Sequence[tuple[float, str]]:
        """The wait before the draw started, or up to now, as ends and causes in order of time."""
        return causes(self.lacks, since_h, until_h)
