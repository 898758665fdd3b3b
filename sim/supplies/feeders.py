"""What flows together at one place of a network, and who of several delivers how much of what is taken there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf
from typing import Protocol

from sim.supplies.upstream import Flow


class Offer(Protocol):
    """What could be delivered to a place, and the largest share of the whole that it may be."""

    @property
    def able(self) -> float: ...  # noqa: D102

    @property
    def blend(self) -> float: ...  # noqa: D102


class Node(Protocol):
    """A source, a pond or a line: whatever can deliver to one place further on.

    `able` is what it could deliver now, `blend` the largest share of the whole that it may be. `weight` is what it
    counts for where several share a way: what it could deliver, of a pond its outlet even while it is empty. (Were
    that what flows in, an empty pond that gets less than its share would have to switch to and fro.)
    """

    able: float
    blend: float
    name: str
    priority: int

    @property
    def weight(self) -> float: ...  # noqa: D102

    def look(self, at_h: float, open_: bool) -> None: ...  # noqa: D102

    def settle(self, at_h: float, given: float) -> None: ...  # noqa: D102

    def until_h(self, at_h: float) -> float: ...  # noqa: D102

    def run(self, hours: float) -> None: ...  # noqa: D102

    def limit(self) -> str: ...  # noqa: D102

    def rows(self) -> Iterator[Flow]: ...  # noqa: D102

    def copy(self) -> Node: ...  # noqa: D102


def most(nodes: Sequence[Offer]) -> float:
    """All that they could deliver together, with none above its share of the whole.

    The largest total that is the sum of what each may then deliver; found by taking out, one after the other, those
    that their share holds back.
    """
    total, whole = 0.0, True
    for node in nodes:
        total += node.able
        whole = whole and node.blend >= 1
    if whole:
        return total
    while True:
        held = [node for node in nodes if node.blend * total < node.able]
        free = sum(node.able for node in nodes if node not in held)
        rest = 1 - sum(node.blend for node in held)
        found = free / rest if rest > 0 else 0.0
        if found >= total or not held:
            return total
        total = found


def split(nodes: Sequence[Node], total: float) -> list[float]:
    """What each delivers of a total that they are able to deliver: by priority, then in proportion to their weights."""
    if len(nodes) == 1:
        return [total]
    caps = [min(node.able, node.blend * total) for node in nodes]
    given, left = [0.0] * len(nodes), total
    for priority in sorted({node.priority for node in nodes}):
        those = [k for k, node in enumerate(nodes) if node.priority == priority]
        if sum(caps[k] for k in those) <= left:
            for k in those:
                given[k] = caps[k]
        else:
            _in_proportion(nodes, those, caps, left, given)
        left = max(0.0, left - sum(given[k] for k in those))
    return given


def _in_proportion(
    nodes: Sequence[Node], those: list[int], caps: list[float], total: float, given: list[float]
) -> None:
    """Share a total that is less than the caps together; who cannot fill its share leaves the rest to the others."""
    left = total
    while those:
        weight = sum(nodes[k].weight for k in those)
        share = left / weight if weight > 0 else inf
        capped = [k for k in those if share * nodes[k].weight >= caps[k]]
        if not capped:
            for k in those:
                given[k] = share * nodes[k].weight
            return
        for k in capped:
            given[k] = caps[k]
            left = max(0.0, left - caps[k])
        those = [k for k in those if k not in capped]
