"""The pumps of a fleet: some run, some stand by, some are being repaired. Brought up to date only when asked.

Pumps fail while they run and only then; spares stand by cold. No event per pump: what happens during a stage is played
inside one call. Lifetimes are exponential, so what counts is only how many pump-hours pass before the next failure,
whichever pump it is and however many run.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable
from math import inf


class PumpBank:
    """`pumps` pumps of one fleet, `crews` to repair them.

    `next_failure_h()` draws the pump-hours from one failure of the fleet to the next, `repair_h()` the hours of a
    repair.
    """

    def __init__(
        self, pumps: int, crews: int, next_failure_h: Callable[[], float], repair_h: Callable[[], float]
    ) -> None:
        self._next_failure_h, self._repair_h, self._crews = next_failure_h, repair_h, crews
        self.up = pumps
        self._broken = 0  # waiting for a repair crew
        self._repairs: list[float] = []  # when the repairs under way end
        self._left_h = next_failure_h()  # pump-hours until the next failure
        self._at_h = 0.0

    def pump(self, start_h: float, hours: float, needed: int) -> float:
        """Hours that a stage takes which takes `hours` with `needed` pumps running, if it begins at `start_h`.

        With fewer pumps the rate is in proportion to those that run.
        """
        self._rest_until(start_h)
        work_h = hours * needed  # in pump-hours
        while work_h > 0:
            running = min(self.up, needed)
            repaired_h = self._repairs[0] if self._repairs else inf
            step_h = min(work_h, self._left_h) / running if running else inf
            if self._at_h + step_h > repaired_h:
                step_h = repaired_h - self._at_h
                work_h -= running * step_h
            else:
                work_h = 0.0 if work_h <= self._left_h else work_h - self._left_h
            self._run(step_h, running)
        return self._at_h - start_h

    def _run(self, step_h: float, running: int) -> None:
        """Let some pumps run for a while, at most until the next of them fails or a repair ends."""
        self._at_h += step_h
        self._left_h -= running * step_h
        if self._left_h <= 1e-9:
            self._left_h = self._next_failure_h()
            self.up -= 1
            self._broken += 1
        if self._broken or self._repairs:
            self._repair()

    def _rest_until(self, time_h: float) -> None:
        """Nothing runs, repairs go on."""
        while self._repairs and self._repairs[0] <= time_h:
            self._at_h = self._repairs[0]
            self._repair()
        self._at_h = time_h

    def _repair(self) -> None:
        """Take back what is repaired by now, and put free crews to work."""
        while self._repairs and self._repairs[0] <= self._at_h:
            heapq.heappop(self._repairs)
            self.up += 1
        while self._broken and len(self._repairs) < self._crews:
            self._broken -= 1
            heapq.heappush(self._repairs, self._at_h + self._repair_h())
