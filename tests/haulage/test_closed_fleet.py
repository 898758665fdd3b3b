"""Trucks at the unload spots against the theory of a finite source: N trucks, c spots, exponential times.

With on average T to unload and U to be away, and X = T / (T + U), Peck & Hazelwood, Finite Queuing Tables (1958, rows
as reprinted in textbooks), give D, the chance that a truck has to wait, and F, the share of the trucks not waiting.
"""

from __future__ import annotations

from math import comb, factorial

import numpy as np
import pytest

from tests.haulage.yard import haul, trucks
from tests.theory.tolerance import assert_mean

REPLICATIONS = 30
WARM_UP = 10.0


def finite_source(n: int, c: int, away: float, unload: float) -> np.ndarray:
    """Chances that 0 to n trucks are at the spots, by the birth-death equations."""
    r = unload / away
    weights = [
        comb(n, k) * r**k * (1.0 if k <= c else factorial(k) / (factorial(c) * c ** (k - c))) for k in range(n + 1)
    ]
    return np.array(weights) / sum(weights)


@pytest.mark.parametrize(
    ("x", "c", "d", "f"),
    [
        (0.012, 1, 0.048, 0.999),
        (0.025, 1, 0.100, 0.997),
        (0.05, 1, 0.198, 0.989),
        (0.06, 2, 0.020, 0.999),
        (0.06, 1, 0.237, 0.983),
        (0.07, 2, 0.027, 0.999),
        (0.07, 1, 0.275, 0.977),
        (0.08, 2, 0.035, 0.998),
        (0.08, 1, 0.313, 0.969),
        (0.09, 2, 0.044, 0.998),
        (0.09, 1, 0.350, 0.960),
        (0.10, 2, 0.054, 0.997),
        (0.10, 1, 0.386, 0.950),
    ],
)
def test_the_equations_give_the_printed_table(x: float, c: int, d: float, f: float) -> None:
    """N = 5, all thirteen rows seen (Q7); the yardstick of what follows."""
    seen_by_comer = finite_source(4, c, 1 - x, x)  # arrival theorem: who comes sees the others alone
    chances, k = finite_source(5, c, 1 - x, x), np.arange(6)
    waiting = float(np.maximum(k - c, 0) @ chances)
    assert float(seen_by_comer[c:].sum()) == pytest.approx(d, abs=5.1e-4)
    assert 1 - waiting / 5 == pytest.approx(f, abs=5.1e-4)


def replicated(hours: float, n: int, c: int, away: float, unload: float, **away_by: object) -> np.ndarray:
    """Numbers waiting and away, chance to wait, share of the spots taken, loads an hour; a column a replication."""
    stated = trucks(
        count=n,
        unload_spots=c,
        unload={"exponential": f"{unload} min"},
        **(away_by or {"load": {"exponential": f"{away} min"}}),
    )
    found = []
    for number in range(REPLICATIONS):
        spots, silo = haul(stated, hours, replication=number)
        shares, k = spots.shares(WARM_UP, hours), np.arange(n + 1)
        there = np.pad(shares, (0, n + 1 - len(shares)))
        waiting = float(np.maximum(k - c, 0) @ there)
        busy = float(np.minimum(k, c) @ there) / c
        found.append((waiting, n - float(k @ there), spots.waited / spots.came, busy, len(silo.loads) / hours))
    return np.array(found).T


def test_five_trucks_and_one_spot() -> None:
    """Away 70, unloading 10 minutes (Stevenson, Operations Management, 14th ed., ch. 18, example 10; Q6)."""
    waiting, away, waited, busy, _ = replicated(400, 5, 1, 70, 10)
    assert_mean(waiting, 0.397756, power=0.04)
    assert_mean(away, 4.026964)
    assert_mean(waited, 0.472655)
    assert_mean(1 - waiting / 5, 0.920449)
    assert_mean(busy, 4.026964 / 7)


@pytest.mark.parametrize(
    ("x", "c", "d", "f"), [(0.05, 1, 0.198, 0.989), (0.10, 1, 0.386, 0.950), (0.10, 2, 0.054, 0.997)]
)
def test_rows_of_the_printed_table(x: float, c: int, d: float, f: float) -> None:
    """D and F of simulated trucks against the equations that give the printed digits (Q7)."""
    waiting, _, waited, _, _ = replicated(400, 5, c, 100 * (1 - x), 100 * x)
    exact = finite_source(5, c, 1 - x, x)
    assert_mean(waited, float(finite_source(4, c, 1 - x, x)[c:].sum()), power=0.1)
    assert_mean(1 - waiting / 5, 1 - float(np.maximum(np.arange(6) - c, 0) @ exact) / 5)
    assert finite_source(4, c, 1 - x, x)[c:].sum() == pytest.approx(d, abs=5.1e-4)
    assert (1 - waiting / 5).mean() == pytest.approx(f, abs=0.003)


@pytest.mark.parametrize(
    "away_by",
    [
        pytest.param({"load": {"exponential": "20 min"}}, id="at the loading point"),
        pytest.param({"drive": {"exponential": "10 min"}}, id="on the road, out and back"),
        pytest.param({"load": "4 min", "drive": {"exponential": "8 min"}}, id="both"),
    ],
)
def test_ten_trucks_and_two_spots(away_by: dict[str, object]) -> None:
    """Away 20, unloading 5 minutes (Banks et al., Discrete-Event System Simulation, from memory; Q9).

    How the time away is spread makes no difference (Baskett, Chandy, Muntz & Palacios 1975, from memory).
    """
    waiting, away, _, busy, loads_per_h = replicated(60, 10, 2, 20, 5, **away_by)
    assert_mean(waiting, 1.457338, power=0.05)
    assert_mean(away, 6.834130)
    assert_mean(busy, 0.854266)
    assert_mean(loads_per_h, 6.834130 / (20 / 60))
