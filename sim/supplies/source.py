"""Where water comes from: sources with their hours, outages and daily permits, and water that comes back from wells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from sim.chance.windows import Window
from sim.supplies.store import ROUNDING
from sim.supplies.upstream import Flow

DAY_H = 24.0


class Source:
    """Delivers up to `rate` while one of its `windows` is open, and up to `daily_limit` from midnight to midnight.

    `able` is what it could deliver now, `flow` what it does. Lower priorities are drawn from first.
    """

    __slots__ = (
        "_day_ends_h",
        "_i",
        "_used",
        "able",
        "blend",
        "daily_limit",
        "flow",
        "name",
        "priority",
        "rate",
        "windows",
    )

    def __init__(
        self,
        name: str,
        rate: float,
        windows: Sequence[Window] = ((0.0, inf),),
        daily_limit: float = inf,
        first_midnight_h: float = DAY_H,
        priority: int = 1,
    ) -> None:
        self.name, self.rate, self.windows, self.daily_limit = name, rate, windows, daily_limit
        self.priority, self.blend = priority, 1.0
        self._i, self._used, self._day_ends_h = 0, 0.0, first_midnight_h
        self.able = self.flow = 0.0

    @property
    def weight(self) -> float:
        """What it counts for where several share a way."""
        return self.able

    def look(self, at_h: float, open_: bool) -> None:
        """Work out what it could deliver now; nothing while there is no way on."""
        while self._i < len(self.windows) and self.windows[self._i][1] <= at_h:
            self._i += 1
        while self._day_ends_h <= at_h:
            self._day_ends_h += DAY_H
            self._used = 0.0
        runs = self._i < len(self.windows) and self.windows[self._i][0] <= at_h
        self.able = self.rate if open_ and runs and self._used < self.daily_limit else 0.0

    def settle(self, at_h: float, given: float) -> None:
        """Deliver so much from now on."""
        self.flow = given

    def until_h(self, at_h: float) -> float:
        """When it opens, closes, or has used up its permit for the day."""
        opens_h, closes_h = self.windows[self._i] if self._i < len(self.windows) else (inf, inf)
        edge_h = opens_h if opens_h > at_h else closes_h
        if self.daily_limit < inf:
            edge_h = min(edge_h, self._day_ends_h)
            if self.flow > 0:
                edge_h = min(edge_h, at_h + (self.daily_limit - self._used) / self.flow)
        return edge_h

    def run(self, hours: float) -> None:
        """Let it deliver for so long."""
        if self.daily_limit == inf:
            return
        self._used += self.flow * hours
        if self.daily_limit - self._used <= ROUNDING * max(self.daily_limit, self.flow):
            self._used = self.daily_limit

    def limit(self) -> str:
        """What a wait is put down to that more from here would end."""
        return "source"

    def rows(self) -> Iterator[Flow]:
        """What it could deliver, what it does, and what finds no room."""
        yield self.name, 0.0, self.able, self.flow, max(0.0, self.able - self.flow)

    def copy(self) -> Source:
        """The same state again."""
        other = Source(self.name, self.rate, self.windows, self.daily_limit, self._day_ends_h, self.priority)
        other._i, other._used = self._i, self._used
        other.able, other.flow = self.able, self.flow
        return other


Step = tuple[float, float, float]  # from hour, until hour, rate


class Returned:
    """Water that flows back from wells, in steps of constant rate that are told as each well begins to flow."""

    __slots__ = ("_steps", "able", "blend", "flow", "name", "priority")

    def __init__(self, name: str, steps: Sequence[Step] = (), priority: int = 1) -> None:
        self.name, self.priority, self.blend = name, priority, 1.0
        self._steps = list(steps)
        self.able = self.flow = 0.0

    def add(self, steps: Sequence[Step]) -> None:
        """Let another well flow back."""
        self._steps += steps

    @property
    def weight(self) -> float:
        """What it counts for where several share a way."""
        return self.able

    def look(self, at_h: float, open_: bool) -> None:
        """Work out what flows back now."""
        self._steps = [step for step in self._steps if step[1] > at_h]
        self.able = sum(rate for from_h, _, rate in self._steps if from_h <= at_h) if open_ else 0.0

    def settle(self, at_h: float, given: float) -> None:
        """Deliver so much from now on; what finds no room is hauled away."""
        self.flow = given

    def until_h(self, at_h: float) -> float:
        """When the next step begins or ends."""
        return min((until_h if from_h <= at_h else from_h for from_h, until_h, _ in self._steps), default=inf)

    def run(self, hours: float) -> None:
        """Nothing but time passes."""

    def limit(self) -> str:
        """What a wait is put down to that more from here would end."""
        return "source"

    def rows(self) -> Iterator[Flow]:
        """What flows back, what is kept of it, and what finds no room."""
        yield self.name, 0.0, self.able, self.flow, max(0.0, self.able - self.flow)

    def copy(self) -> Returned:
        """The same state again."""
        other = Returned(self.name, self._steps, self.priority)
        other.able, other.flow = self.able, self.flow
        return other
