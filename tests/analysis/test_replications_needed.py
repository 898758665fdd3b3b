"""How many replications a bound needs, against Wilks and the binomial."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from analysis.statistics import wilks


@pytest.mark.parametrize(
    ("coverage", "confidence", "order", "n"),
    [
        (0.95, 0.95, 1, 59),
        (0.95, 0.95, 2, 93),
        (0.95, 0.95, 3, 124),
        (0.90, 0.95, 1, 29),
        (0.90, 0.90, 1, 22),
        (0.95, 0.99, 1, 90),
        (0.99, 0.95, 1, 299),
    ],
)
def test_wilks_sample_sizes(coverage: float, confidence: float, order: int, n: int) -> None:
    """Wilks 1941, Ann. Math. Stat. 12, 91-96 gives 59; the other sizes are from scipy.stats.binom."""
    assert wilks(coverage, confidence, order) == n


def test_wilks_size_is_the_smallest() -> None:
    """58 replications hold 95 % with 1 - 0.95^58 = .94895313 confidence, 59 with .95150547."""
    assert [wilks(0.95, confidence) for confidence in (0.9489531, 0.9489532)] == [58, 59]
    assert [wilks(0.95, confidence) for confidence in (0.9515054, 0.9515055)] == [59, 60]


@given(coverage=st.floats(0.5, 0.99), confidence=st.floats(0.05, 0.99), order=st.integers(1, 4))
def test_wilks_agrees_with_the_binomial_on_both_sides(coverage: float, confidence: float, order: int) -> None:
    """At n enough values lie above the bound often enough, at n - 1 they do not (scipy.stats.binom)."""
    n = wilks(coverage, confidence, order)
    assert n >= order
    assert stats.binom.sf(order - 1, n, 1 - coverage) >= confidence - 1e-9
    assert n == order or stats.binom.sf(order - 1, n - 1, 1 - coverage) < confidence + 1e-9
