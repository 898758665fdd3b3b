"""How often an interval that keeps its word may be seen to hold."""

from __future__ import annotations

from scipy import stats


def accepted_hits(repeats: int, coverage: float) -> tuple[int, int]:
    """The counts that a binomial with this coverage leaves on either side once in 20 000."""
    low, high = stats.binom.ppf([5e-5, 1 - 5e-5], repeats, coverage)
    return int(low), int(high)
