"""Project networks from textbooks, as activities with three times and what must be done before them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import networkx as nx

from analysis.goals import Goal
from sim.log import NO_ROW, Interval, Log


class Activity(NamedTuple):
    """Optimistic, most likely and pessimistic time, and the activities before it."""

    low: float
    mode: float
    high: float
    before: str = ""

    @property
    def mean(self) -> float:
        return (self.low + 4 * self.mode + self.high) / 6

    @property
    def variance(self) -> float:
        return ((self.high - self.low) / 6) ** 2


Network = Mapping[str, Activity]

PORTA_VAC: Network = {
    "A": Activity(4, 5, 12),
    "B": Activity(1, 1.5, 5),
    "C": Activity(2, 3, 4, "A"),
    "D": Activity(3, 4, 11, "A"),
    "E": Activity(2, 3, 4, "A"),
    "F": Activity(1.5, 2, 2.5, "C"),
    "G": Activity(1.5, 3, 4.5, "D"),
    "H": Activity(2.5, 3.5, 7.5, "BE"),
    "I": Activity(1.5, 2, 2.5, "H"),
    "J": Activity(1, 2, 3, "FGI"),
}
"""Anderson, Sweeney and Williams, An Introduction to Management Science: the Porta-Vac project. Activities stand in
an order in which each follows those before it."""

TEN_ACTIVITIES: Network = {
    "A": Activity(5, 6, 7),
    "B": Activity(1, 3, 5),
    "C": Activity(1, 4, 7),
    "D": Activity(1, 2, 3, "A"),
    "E": Activity(1, 2, 9, "B"),
    "F": Activity(1, 5, 9, "C"),
    "G": Activity(2, 2, 8, "C"),
    "H": Activity(4, 4, 10, "EF"),
    "I": Activity(2, 5, 8, "D"),
    "J": Activity(2, 2, 8, "HG"),
}
"""A class exercise in wide use (Scribd document 396883604)."""

END = Goal("end", "J")


def log_of(network: Network, times: Mapping[str, float]) -> Log:
    """The network as a log: each activity is released by whichever of those before it ended last."""
    log, rows = Log(0, 0, float("inf"), {"": 0}), {}
    for name, activity in network.items():
        after = max(
            (rows[other] for other in activity.before), key=lambda row: log.intervals[row].end_h, default=NO_ROW
        )
        start_h = 0.0 if after == NO_ROW else log.intervals[after].end_h
        rows[name] = log.append(Interval(start_h, start_h + times[name], "", name, "", 0, "work", "", after))
    return log


def graph_of(network: Network, times: Mapping[str, float]) -> nx.DiGraph:
    """The network with each activity's time on the edges into it, from a start at time zero to its last activity."""
    graph = nx.DiGraph()
    for name, activity in network.items():
        for other in activity.before or ("start",):
            graph.add_edge(other, name, time=times[name])
    return graph.subgraph(nx.ancestors(graph, "J") | {"J"})


def slacks(network: Network, times: Mapping[str, float]) -> dict[str, float]:
    """How much later each activity could end without moving the last, by the longest way through it."""
    graph = graph_of(network, times)
    to_go = {"J": 0.0}
    ends = {"start": 0.0}
    for name in nx.topological_sort(graph):
        if name != "start":
            ends[name] = max(ends[other] for other in graph.predecessors(name)) + times[name]
    for name in reversed(list(nx.topological_sort(graph))):
        if name != "J":
            to_go[name] = max(to_go[other] + times[other] for other in graph.successors(name))
    return {name: ends["J"] - ends[name] - to_go[name] for name in graph if name != "start"}
