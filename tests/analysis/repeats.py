"""Repeating a cheap experiment to see how often an interval holds the truth, and what chance leaves room for."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy import stats

RISK = 1e-4  # of a false alarm for a good interval; the seeds are fixed
REPEATS = 1000


def least_hits(coverage: float, repeats: int = REPEATS) -> int:
    """Fewer hits than these are chance once in ten thousand, where the interval holds as often as it says."""
    return int(stats.binom.ppf(RISK, repeats, coverage))


def most_hits(coverage: float, repeats: int = REPEATS) -> int:
    """More hits than these likewise."""
    return int(stats.binom.isf(RISK, repeats, coverage))


def hits(seed: int, holds: Callable[[np.random.Generator], bool], repeats: int = REPEATS) -> int:
    """In how many repeats the truth was held."""
    generator = np.random.default_rng(seed)
    return sum(bool(holds(generator)) for _ in range(repeats))
