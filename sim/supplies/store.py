"""One store on the pad at one moment: its level, what flows in and out, and whether it is full or run dry."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from sim.supplies.start_rules import StartRule
from sim.supplies.upstream import Steady, Upstream

STORAGE = "storage"  # the part that is the limit where there is no room
ROUNDING = 1e-9  # of the capacity, or hours: what floating point may leave over


def reached(level: float, net: float, hours: float, edges: Sequence[float]) -> float:
    """A level after so many hours; exactly at an edge that it comes to within rounding."""
    end = level + net * hours
    near = ROUNDING * max(edges[-1], abs(net))
    for edge in edges:
        if abs(end - edge) <= near and (edge - level) * net > 0:
            return edge
    return end


class Store:
    """A level between 0 and `capacity`, fed by `upstream`; nothing is drawn from below `minimum`.

    `kept` is room that is promised to loads that have not begun to be unloaded.
    """

    __slots__ = ("capacity", "inflow", "kept", "level", "minimum", "name", "outflow", "rounding", "rule", "upstream")

    def __init__(
        self, name: str, capacity: float, level: float, rule: StartRule, upstream: Upstream, minimum: float = 0.0
    ) -> None:
        self.name, self.capacity, self.level, self.minimum = name, capacity, level, minimum
        self.rule, self.upstream = rule, upstream
        self.rounding = ROUNDING * capacity
        self.inflow = self.outflow = self.kept = 0.0

    def copy(self) -> Store:
        """The same state again, to be played forward."""
        other = Store(self.name, self.capacity, self.level, self.rule, self.upstream.copy(), self.minimum)
        other.inflow, other.outflow, other.kept = self.inflow, self.outflow, self.kept
        return other

    @property
    def is_full(self) -> bool:
        """Whether it takes only what leaves it."""
        return self.level >= self.capacity

    @property
    def is_dry(self) -> bool:
        """Whether draws get only what flows in."""
        return not self.rule.never_runs_dry and self.level <= self.minimum

    @property
    def to_be_drawn(self) -> float:
        """The rate at which it can be drawn from once it has run dry: below its minimum, not at all."""
        return self.upstream.able if self.level >= self.minimum - self.rounding else 0.0

    def room(self, at_h: float) -> float:
        """What it could still take, beyond what is on its way into it."""
        coming = self.upstream.still_to_come(at_h) if isinstance(self.upstream, Steady) else 0.0
        return self.capacity - self.level - coming - self.kept

    @property
    def room_opens(self) -> float:
        """How fast room opens as flows are now: what goes out beyond what flows in steadily."""
        coming = self.upstream.on_its_way if isinstance(self.upstream, Steady) else 0.0
        return self.outflow + coming - self.inflow

    def may_come(self, at_h: float) -> float:
        """The most that may still flow in before anybody comes or goes: what is being unloaded, or no limit."""
        upstream = self.upstream
        if not isinstance(upstream, Steady) or (upstream.rate > 0 and upstream.laid):
            return inf
        return upstream.still_to_come(at_h) + self.rounding

    def missing(self, volume: float, rate: float, promised: float) -> float:
        """What its rule finds missing for a draw of `volume` at `rate` to start."""
        return self.rule.missing(volume, rate, self.level - self.minimum, promised, self.upstream.able)

    def settle(self, at_h: float, outflow: float) -> None:
        """Settle the flows from now on."""
        self.outflow = outflow
        self.inflow = self.upstream.settle(at_h, outflow if self.is_full else inf)

    def until_h(self, at_h: float) -> float:
        """When its flows change by themselves: it fills up, it runs dry, or its upstream changes."""
        net, edge_h = self.inflow - self.outflow, inf
        if net > 0 and self.level < self.capacity:
            ahead = self.minimum if self.level < self.minimum and not self.rule.never_runs_dry else self.capacity
            edge_h = at_h + (ahead - self.level) / net
        elif net < 0 and not self.rule.never_runs_dry and self.level > self.minimum:
            edge_h = at_h + (self.level - self.minimum) / -net
        return min(edge_h, self.upstream.until_h)

    def flow(self, hours: float, to_h: float) -> None:
        """Let the settled flows go on for so long."""
        self.level = reached(self.level, self.inflow - self.outflow, hours, (self.minimum, self.capacity))
        self.upstream.flow(hours, to_h)

    def limit(self, trucks_wait: bool = False) -> str:
        """The part that would end a shortage sooner if it were a little more: the storage, where it has no room."""
        no_room = trucks_wait or (self.is_full and self.inflow < self.upstream.able)
        return STORAGE if no_room else self.upstream.limit()

    @property
    def turned_away(self) -> float:
        """What a steady upstream delivers and finds no room for; a network keeps it back, and logs it itself."""
        return self.upstream.able - self.inflow if isinstance(self.upstream, Steady) else 0.0
