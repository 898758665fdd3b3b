"""A stock with a flow in and draws out, exact in time.

The level is piecewise linear and brought up to date only when something happens: somebody asks, a draw ends. Filling
up needs no event, for what is turned away follows from the flows. Events are planned, one at a time, only for what
cannot be known in advance: when a waiting draw may start, and, under a rule that lets the stock run dry, when it does
and when its draws then end.
"""

from __future__ import annotations

from math import inf, isnan
from typing import Any

import simpy

from sim.log import Level, Log, make_row
from sim.supplies.plain_draw import PlainDraw
from sim.supplies.start_rules import StartRule
from sim.supplies.waits import Lack, note

ROUNDING = 1e-9  # of the capacity, or hours: what floating point may leave over


class Stock:
    """Level between 0 and `capacity`, a constant inflow until told otherwise, and any number of draws.

    `part` is what the inflow is limited by; a wait is put down to it.

    Draws that may not start yet wait in order of asking, but a large one does not hold up a small one that may. When
    the stock is empty the inflow is shared in proportion to the rates wanted.
    """

    def __init__(
        self,
        env: simpy.Environment,
        log: Log,
        name: str,
        capacity: float,
        level: float,
        rule: StartRule,
        part: str = "source",
    ) -> None:
        self._too_little, self._too_small = f"{name}: {part}", f"{name}: storage"
        self._env, self._log, self.name, self.capacity = env, log, name, capacity
        self._missing_by_rule, self._never_runs_dry = rule
        self.level, self.inflow = level, 0.0
        self._rounding = ROUNDING * capacity
        self._at_h: float = env.now
        self._active: list[PlainDraw] = []
        self._waiting: list[PlainDraw] = []
        self._share = 1.0  # of the rates wanted that really flows
        self._outflow = 0.0
        self._planned: set[float] = set()
        self._next_h = inf
        self._settle()

    def draw(
        self,
        volume: float,
        rate: float,
        stop_h: float = inf,
        *,
        start_by_h: float = inf,
        asked: float | None = None,
        begun: bool = False,
    ) -> PlainDraw:
        """Ask for `volume` at `rate`, as soon as the rule of the stock allows, or at once where it has `begun`.

        What is `asked` of the rule may be more than is drawn in the end.
        """
        self._flow_until(self._env.now)
        draw = PlainDraw(volume, rate, stop_h, start_by_h, asked)
        if begun or self._missing(draw) <= self._rounding:
            self._start(draw)
        else:
            draw.granted = self._env.event()
            self._waiting.append(draw)
        self._settle()
        return draw

    def set_inflow(self, inflow: float) -> None:
        """Change what flows in from now on."""
        self._flow_until(self._env.now)
        self.inflow = inflow
        self._settle()

    def catch_up(self) -> None:
        """Bring what has been drawn so far up to now, for whoever asks in between."""
        self._flow_until(self._env.now)

    def hours_to_reach(self, level: float) -> float:
        """How long the stock takes to fill to `level` if nothing is drawn and the inflow stays."""
        missing = max(0.0, level - self.level)
        return missing / self.inflow if self.inflow > 0 else inf if missing else 0.0

    def _flow_until(self, time_h: float) -> None:
        """Bring level and draws up to a time; flows have been constant since the last."""
        elapsed = time_h - self._at_h
        if elapsed <= 0:
            return
        net = self.inflow - self._outflow
        if self._waiting:
            self._note_lacks(net, time_h)
        level = self.level + net * elapsed
        if level >= self.capacity:
            self._fill_up(net, time_h)
            level = self.capacity
        self.level = level if level > self._rounding else 0.0
        for draw in self._active:
            draw.drawn += draw.rate * self._share * elapsed
        self._at_h = time_h

    def _note_lacks(self, net: float, until_h: float) -> None:
        """Put the wait down to what would end it sooner: more inflow, or where the stock is full, more storage."""
        full_h = min(self._at_h + (self.capacity - self.level) / net, until_h) if net > 0 else until_h
        for draw in self._waiting:
            lacks = draw.lacks = draw.lacks or []
            if full_h > self._at_h:
                note(lacks, Lack(self._at_h, full_h, self._too_little))
            if full_h < until_h:
                note(lacks, Lack(full_h, until_h, self._too_small))

    def _fill_up(self, net: float, now_h: float) -> None:
        """Note the moment at which the stock became full, unless it was full before."""
        if self.level < self.capacity:
            full_h = min(self._at_h + (self.capacity - self.level) / net, now_h)
            self._log.levels.append(Level(full_h, self.name, self.capacity, self.inflow, self._outflow, net))

    def _missing(self, draw: PlainDraw) -> float:
        promised = 0.0
        for other in self._active:
            promised += other.volume - other.drawn
        return self._missing_by_rule(draw.asked, draw.rate, self.level, promised, self.inflow)

    def _start(self, draw: PlainDraw) -> None:
        """Let a draw begin. Where the stock never runs dry its end is certain, else the stock will announce it."""
        draw.started, draw.start_h, draw.deadline_h = True, self._at_h, draw.stop_h
        draw.end_h = min(self._at_h + draw.volume / draw.rate, draw.deadline_h)
        if self._never_runs_dry:
            draw.done = self._env.timeout(draw.end_h - self._at_h, draw)
            draw.done.callbacks.append(self._on_certain_end)
        else:
            draw.done = self._env.event()
        self._active.append(draw)

    def _end(self, draw: PlainDraw) -> None:
        if draw.end_h < draw.deadline_h:
            draw.drawn = draw.volume
        self._active.remove(draw)

    def _slowed(self, wanted: float) -> float:
        """What really flows out where so much is wanted: from an empty stock, what flows in."""
        share = self.inflow / wanted if self.level == 0 and wanted > self.inflow else 1.0
        if share != self._share or share < 1:
            self._change_pace(share)
        self._share = share
        return wanted * share

    def _change_pace(self, share: float) -> None:
        """An empty stock slows its draws down; one that is filling up again does not."""
        for draw in self._active:
            if share < 1 and isnan(draw.slow_from_h):
                draw.slow_from_h = self._at_h
                draw.short_of = self._too_little
            pace = draw.rate * share
            finish_h = self._at_h + draw.left / pace if pace > 0 else inf
            draw.end_h = min(finish_h, draw.deadline_h)

    def _settle(self) -> None:
        """Start what may start, note the flows from now on, plan the next event that somebody waits for."""
        if self._waiting:
            self._grant()
        wanted, inflow, level = 0.0, self.inflow, self.level
        for draw in self._active:
            wanted += draw.rate
        self._outflow = outflow = wanted if self._never_runs_dry else self._slowed(wanted)
        turned_away = inflow - outflow if level >= self.capacity and inflow > outflow else 0.0
        self._log.levels.append(make_row(Level, (self._at_h, self.name, level, inflow, outflow, turned_away)))
        if self._waiting or not self._never_runs_dry:
            self._plan()

    def _grant(self) -> None:
        for draw in list(self._waiting):
            if self._missing(draw) <= self._rounding:
                self._start(draw)
            elif draw.deadline_h > self._at_h:
                continue  # even a hair before: whoever asks is still on shift, and would ask again for ever
            self._waiting.remove(draw)
            draw.granted.succeed()

    def _plan(self) -> None:
        self._next_h = self._next_boundary()
        if self._next_h < inf and self._next_h not in self._planned:
            self._planned.add(self._next_h)
            event = self._env.timeout(self._next_h - self._at_h, value=self._next_h)
            event.callbacks.append(self._on_boundary)

    def _next_boundary(self) -> float:
        found = min((min(self._may_start_h(draw), draw.deadline_h) for draw in self._waiting), default=inf)
        if self._never_runs_dry:
            return found
        end_h = min((draw.end_h for draw in self._active), default=inf)
        net = self.inflow - self._outflow
        empty_h = self._at_h + self.level / -net if net < 0 and self.level > 0 else inf
        return min(found, end_h, empty_h if empty_h < end_h - ROUNDING else inf)

    def _may_start_h(self, draw: PlainDraw) -> float:
        """When the shortage of a waiting draw will be gone if nothing else happens; never too late.

        The shortage falls at the pace of the inflow until the stock is full, then at the pace of the outflow.
        """
        missing, net = self._missing(draw), self.inflow - self._outflow
        if net <= 0:
            return self._at_h + missing / self.inflow if self.inflow > 0 else inf
        until_full_h = (self.capacity - self.level) / net
        late = missing - self.inflow * until_full_h
        if late <= self._rounding:
            return self._at_h + min(missing / self.inflow, until_full_h)
        return self._at_h + until_full_h + late / self._outflow if self._outflow > 0 else inf

    def _on_certain_end(self, done: simpy.Event) -> None:
        self._flow_until(self._env.now)
        draw: Any = done.value
        self._end(draw)
        self._settle()

    def _on_boundary(self, event: simpy.Event) -> None:
        planned_h = float(event.value or 0.0)
        self._planned.discard(planned_h)
        if planned_h != self._next_h:
            return  # something changed since, and what is next has an event of its own
        self._flow_until(self._env.now)
        if not self._never_runs_dry:
            for draw in [draw for draw in self._active if draw.end_h <= self._at_h + ROUNDING]:
                self._end(draw)
                draw.done.succeed()
        self._settle()
