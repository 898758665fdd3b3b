"""p-values of paired differences and their adjustment for being many, against scipy and a worked example."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from analysis.relaxing.multiple_tests import SURE, holm, paired_p_value
from tests.sim.strategies import sampled

P_VALUES = st.lists(st.floats(0, 1), min_size=1, max_size=12)


def test_paired_p_value_of_the_textbooks_five_pairs() -> None:
    """Law, Simulation Modeling and Analysis (from memory): mean difference 4.978; scipy for the p-value."""
    one = np.array([126.97, 124.31, 126.68, 122.66, 127.23])
    other = np.array([118.21, 120.22, 122.45, 122.68, 119.40])
    assert (one - other).mean() == pytest.approx(4.978)
    assert paired_p_value(one - other) == pytest.approx(stats.ttest_rel(one, other).pvalue, rel=1e-12)


@pytest.mark.parametrize(
    ("differences", "p_value"), [([0.0, 0.0, 0.0], 1.0), ([2.0, 2.0, 2.0], 0.0), ([5.0], 1.0), ([1.0, -1.0], 1.0)]
)
def test_p_values_at_the_edges(differences: list[float], p_value: float) -> None:
    """Nothing changed; the same change every time; a single replication; gains and losses that cancel."""
    assert paired_p_value(differences) == p_value


def test_holm_on_the_worked_example() -> None:
    """Four hypotheses with p 0.01, 0.04, 0.03, 0.005: the first and the fourth stand at 5 % (from memory)."""
    adjusted = holm([0.01, 0.04, 0.03, 0.005])
    assert adjusted == pytest.approx([0.03, 0.06, 0.06, 0.02])
    assert [value <= SURE for value in adjusted] == [True, False, False, True]


@sampled(100)
@given(P_VALUES)
def test_holm_lies_between_none_and_bonferroni_and_keeps_the_order(p_values: list[float]) -> None:
    """Never below the p-value itself, never above Bonferroni's, and ranked as before."""
    adjusted = holm(p_values)
    for p_value, value in zip(p_values, adjusted, strict=True):
        assert p_value <= value <= min(1.0, len(p_values) * p_value)
    order = np.argsort(p_values, kind="stable")
    assert all(np.diff(np.array(adjusted)[order]) >= 0)


def test_holm_seldom_calls_any_of_many_nothings_something() -> None:
    """With ten true nothings, any is called real in about 5 % of the runs, not in 40 % as unadjusted."""
    rng = np.random.default_rng(8)
    runs = 400
    wrong = sum(min(holm([paired_p_value(rng.normal(size=20)) for _ in range(10)])) <= SURE for _ in range(runs))
    assert wrong <= stats.binom.ppf(0.999, runs, SURE)
