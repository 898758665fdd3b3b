"""A network of sources, ponds and lines that ends in the pad's storage: a tree in which each has one way on.

Every node passes on as much as it can, up to its limit, while what is downstream is not full. A full pond takes only
what leaves it. What a source could deliver but finds no room for is turned away. An empty pond passes on what flows
in. So flows are constant between breakpoints and levels linear; nothing here steps through time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from sim.supplies.feeders import Node, most, split
from sim.supplies.source import Returned, Source, Step
from sim.supplies.store import reached
from sim.supplies.upstream import Flow

TRANSFER = "transfer"


class Line:
    """A line with a limit; where several ways meet it holds nothing."""

    __slots__ = ("_gathered", "able", "blend", "feeders", "most", "name", "priority", "weight")

    def __init__(self, name: str, feeders: Sequence[Node], limit: float = inf, priority: int = 1) -> None:
        self.name, self.feeders, self.most, self.priority = name, feeders, limit, priority
        self.blend = 1.0
        self.able = self.weight = self._gathered = 0.0

    def look(self, at_h: float, open_: bool) -> None:
        """Work out what it could pass on now; nothing while it is not laid."""
        for node in self.feeders:
            node.look(at_h, open_)
        self._gathered = most(self.feeders)
        self.able = min(self._gathered, self.most) if open_ else 0.0
        self.weight = min(sum(node.weight for node in self.feeders), self.most)

    def settle(self, at_h: float, given: float) -> None:
        """Pass on so much from now on."""
        for node, part in zip(self.feeders, split(self.feeders, given), strict=True):
            node.settle(at_h, part)

    def until_h(self, at_h: float) -> float:
        """When any flow behind it changes."""
        return min(node.until_h(at_h) for node in self.feeders)

    def run(self, hours: float) -> None:
        """Let everything behind it flow for so long."""
        for node in self.feeders:
            node.run(hours)

    def limit(self) -> str:
        """The line where it could pass on less than is there; else the nearest that holds back."""
        return self.name if self._gathered > self.most else first_limit(self.feeders, self._gathered)

    def rows(self) -> Iterator[Flow]:
        """Rows of all behind it."""
        for node in self.feeders:
            yield from node.rows()

    def copy(self) -> Line:
        """The same state again."""
        other = Line(self.name, [node.copy() for node in self.feeders], self.most, self.priority)
        other.able, other.weight, other._gathered = self.able, self.weight, self._gathered
        return other


class Pond:
    """Holds water between its feeders and its outlet, and loses `losses` while it holds any.

    Nothing is passed on from below its `minimum`.
    """

    __slots__ = (
        "_inflow", "_lost", "_offered", "_out", "able", "blend", "capacity", "feeders", "level", "losses", "minimum",
        "name", "outlet", "priority",
    )  # fmt: skip

    def __init__(
        self, name: str, feeders: Sequence[Node], capacity: float, level: float, outlet: float, *,
        losses: float = 0.0, minimum: float = 0.0, blend: float = 1.0, priority: int = 1,
    ) -> None:  # fmt: skip
        self.name, self.feeders, self.capacity, self.level, self.outlet = name, feeders, capacity, level, outlet
        self.losses, self.minimum, self.blend, self.priority = losses, minimum, blend, priority
        self.able = self._offered = self._inflow = self._out = self._lost = 0.0

    @property
    def weight(self) -> float:
        """What it counts for where several share a way: its outlet."""
        return self.outlet

    def look(self, at_h: float, open_: bool) -> None:
        """Work out what it could pass on. Sources reach it from hour zero; all other ways must be laid first."""
        for node in self.feeders:
            node.look(at_h, open_ or isinstance(node, (Source, Returned)))
        self._offered = most(self.feeders)
        self.able = min(self.outlet, self._to_pass_on()) if open_ else 0.0

    def _to_pass_on(self) -> float:
        if self.level > self.minimum:
            return inf
        if self.level < self.minimum:
            return 0.0
        return max(0.0, self._offered - self._loses)  # as much as keeps it where it is

    @property
    def _loses(self) -> float:
        return self.losses if self.level > 0 else 0.0

    def settle(self, at_h: float, given: float) -> None:
        """Pass on so much from now on, and take in what there is room for."""
        room = inf if self.level < self.capacity else given + self._loses
        self._out, self._inflow = given, min(self._offered, room)
        self._lost = self.losses if self.level > 0 else min(self.losses, max(0.0, self._inflow - given))
        for node, part in zip(self.feeders, split(self.feeders, self._inflow), strict=True):
            node.settle(at_h, part)

    @property
    def _net(self) -> float:
        return self._inflow - self._out - self._lost

    def until_h(self, at_h: float) -> float:
        """When it is full, at its minimum or empty, or a flow behind it changes."""
        behind_h = min((node.until_h(at_h) for node in self.feeders), default=inf)
        edges = (0.0, self.minimum, self.capacity)
        if self._net > 0:
            gap = min((edge - self.level for edge in edges if edge > self.level), default=inf)
        elif self._net < 0:
            gap = min((self.level - edge for edge in edges if edge < self.level), default=inf)
        else:
            return behind_h
        return min(behind_h, at_h + gap / abs(self._net))

    def run(self, hours: float) -> None:
        """Let everything flow for so long."""
        self.level = reached(self.level, self._net, hours, (0.0, self.minimum, self.capacity))
        for node in self.feeders:
            node.run(hours)

    def limit(self) -> str:
        """The pond, where its outlet holds back; where it is empty, whatever keeps it so."""
        if self.level > self.minimum or not self.feeders or self._offered - self._loses > self.outlet:
            return self.name
        return first_limit(self.feeders, self._offered)

    def rows(self) -> Iterator[Flow]:
        """Its level and flows; what it loses stands where storage turns away."""
        yield self.name, self.level, self._inflow, self._out, self._lost
        for node in self.feeders:
            yield from node.rows()

    def copy(self) -> Pond:
        """The same state again."""
        other = Pond(
            self.name, [node.copy() for node in self.feeders], self.capacity, self.level, self.outlet,
            losses=self.losses, minimum=self.minimum, blend=self.blend, priority=self.priority,
        )  # fmt: skip
        other.able, other._offered = self.able, self._offered
        other._inflow, other._out, other._lost = self._inflow, self._out, self._lost
        return other


def first_limit(nodes: Sequence[Node], total: float) -> str:
    """What holds back the first of several that is not held back by its share of the whole."""
    free = [node for node in nodes if node.blend * total >= node.able]
    return free[0].limit() if free else "blend limit"


class Network:
    """The network as the pad's storage sees it: the upstream at the end of the transfer line.

    Nothing passes through lines before they are laid; ponds take in what their sources deliver from hour zero.
    """

    __slots__ = ("_looked", "_settled", "able", "laid", "root", "until_h")

    def __init__(self, root: Line, *, laid: bool = True) -> None:
        self.root, self.laid = root, laid
        self.able, self.until_h = 0.0, inf
        self._looked: tuple[float, bool] | None = None  # when, and whether laid by then: once a moment is enough
        self._settled: float | None = None  # what is taken since then

    def look(self, at_h: float) -> None:
        """See `Upstream`."""
        if self._looked != (at_h, self.laid):
            self._looked, self._settled = (at_h, self.laid), None
            self.root.look(at_h, self.laid)
            self.able = self.root.able

    def settle(self, at_h: float, accepted: float) -> float:
        """See `Upstream`."""
        taken = min(self.able, accepted)
        if taken != self._settled:
            self._settled = taken
            self.root.settle(at_h, taken)
            self.until_h = self.root.until_h(at_h)
        return taken

    def flow(self, hours: float, to_h: float) -> None:
        """See `Upstream`."""
        self.root.run(hours)
        if not hours:  # a level was so close to its edge that reaching it took no time
            self._looked = None

    def limit(self) -> str:
        """See `Upstream`."""
        return self.root.limit() if self.laid else TRANSFER

    def rows(self) -> Iterator[Flow]:
        """See `Upstream`."""
        return self.root.rows()

    def copy(self) -> Network:
        """See `Upstream`."""
        other = Network(self.root.copy(), laid=self.laid)
        other.able, other.until_h = self.able, self.until_h
        other._looked, other._settled = self._looked, self._settled
        return other

    def give_back(self, steps: Sequence[Step]) -> None:
        """Let water flow back from a well."""
        for node in nodes_of(self.root):
            if isinstance(node, Returned):
                node.add(steps)
                self._looked = None


def nodes_of(node: Node) -> Iterator[Node]:
    """A node and all behind it."""
    yield node
    for feeder in getattr(node, "feeders", ()):
        yield from nodes_of(feeder)
