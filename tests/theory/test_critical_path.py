"""The chain of a log is the critical path of its network: textbooks, and longest paths of a graph library."""

from __future__ import annotations

from collections import Counter

import networkx as nx
import numpy as np
import pytest

from analysis.chains.chain import Chain, chain_to
from analysis.statistics import mean_interval
from tests.theory.networks import END, PORTA_VAC, TEN_ACTIVITIES, Network, graph_of, log_of, slacks

DRAWS = 1500
BOOKS = [(PORTA_VAC, "AEHIJ", 17.0, 2.722222), (TEN_ACTIVITIES, "CFHJ", 17.0, 4.777778)]


def expected_times(network: Network) -> dict[str, float]:
    return {name: activity.mean for name, activity in network.items()}


def drawn_times(network: Network, rng: np.random.Generator) -> dict[str, float]:
    """Beta-PERT times of each activity (Malcolm et al. 1959)."""
    times = {}
    for name, (low, mode, high, _) in network.items():
        a, b = 1 + 4 * (mode - low) / (high - low), 1 + 4 * (high - mode) / (high - low)
        times[name] = low + (high - low) * float(rng.beta(a, b))
    return times


def path(chain: Chain) -> str:
    return "".join(piece.reason for piece in chain.pieces)


@pytest.mark.parametrize(("network", "critical", "days", "variance"), BOOKS, ids=["Porta-Vac", "ten activities"])
def test_chain_at_expected_times_is_the_books_critical_path(
    network: Network, critical: str, days: float, variance: float
) -> None:
    """Activities, length and variance as printed: A-E-H-I-J and C-F-H-J, 17 both."""
    chain = chain_to(END, log_of(network, expected_times(network)))
    assert path(chain) == critical
    assert chain.end.reached_h == pytest.approx(days, abs=1e-9)
    assert sum(piece.hours for piece in chain.pieces) == pytest.approx(days, abs=1e-9)
    assert sum(network[piece.reason].variance for piece in chain.pieces) == pytest.approx(variance, abs=1e-6)


def test_chain_holds_what_has_no_slack() -> None:
    """Slacks as printed for Porta-Vac: B 7, C 4, D 1, F 4, G 1, none on the chain."""
    times = expected_times(PORTA_VAC)
    found = slacks(PORTA_VAC, times)
    assert found == pytest.approx({"A": 0, "B": 7, "C": 4, "D": 1, "E": 0, "F": 4, "G": 1, "H": 0, "I": 0, "J": 0})
    assert {name for name, slack in found.items() if slack < 1e-9} == set(path(chain_to(END, log_of(PORTA_VAC, times))))


@pytest.mark.parametrize("network", [PORTA_VAC, TEN_ACTIVITIES], ids=["Porta-Vac", "ten activities"])
def test_criticality_index_is_that_of_longest_paths(network: Network) -> None:
    """How often each activity is on the chain is how often it is on the longest path that networkx finds."""
    rng = np.random.default_rng(4)
    ours: Counter[str] = Counter()
    theirs: Counter[str] = Counter()
    for _ in range(DRAWS // 5):
        times = drawn_times(network, rng)
        chain, graph = chain_to(END, log_of(network, times)), graph_of(network, times)
        ours.update(path(chain))
        theirs.update(nx.dag_longest_path(graph, weight="time")[1:])
        assert chain.end.reached_h == pytest.approx(nx.dag_longest_path_length(graph, weight="time"), abs=1e-9)
    assert ours == theirs
    assert len(set(ours.values())) > 1  # or nothing would have been told apart


def test_simulated_project_takes_longer_than_its_expected_path() -> None:
    """The optimism of PERT: the mean of the maximum is 17.317 days (own Monte Carlo of 400 000 draws), not 17."""
    rng = np.random.default_rng(5)
    days = [chain_to(END, log_of(PORTA_VAC, drawn_times(PORTA_VAC, rng))).end.reached_h for _ in range(DRAWS)]
    estimate = mean_interval(days, confidence=0.999)
    assert 17 < estimate.low < 17.317 < estimate.high
