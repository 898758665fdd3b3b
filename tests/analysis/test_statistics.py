"""What all statistics have in common: nested in confidence, senseless questions refused, cheap to import."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.statistics import mean_interval, quantile, quantile_interval, ranks, share_interval, wilks

finite_h = st.lists(st.floats(0, 1e5), min_size=2, max_size=80)
shares = st.floats(0.01, 0.99)


@given(values=finite_h, tight=shares, wide=shares)
def test_more_confidence_is_a_wider_interval(values: list[float], tight: float, wide: float) -> None:
    """Mean and quantile intervals are nested in confidence, and the mean lies in its own."""
    tight, wide = sorted((tight, wide))
    inner, outer = quantile_interval(values, 0.5, tight), quantile_interval(values, 0.5, wide)
    assert outer.low <= inner.low <= inner.high <= outer.high
    narrow, broad = mean_interval(values, tight), mean_interval(values, wide)
    assert broad.low <= narrow.low <= narrow.mean <= narrow.high <= broad.high


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: quantile([], 0.5), r"shape \(0,\): expected a list of at least one number"),
        (lambda: quantile([[1.0]], 0.5), r"shape \(1, 1\)"),
        (lambda: quantile([1.0, math.nan], 0.5), "values include NaN"),
        (lambda: quantile([1.0], 90), "p is 90: expected a number between 0 and 1"),
        (lambda: quantile_interval([1.0], 0.5, 95), "confidence is 95"),
        (lambda: mean_interval([1.0, math.nan]), "values include NaN"),
        (lambda: mean_interval([1.0, -math.inf]), "values include -inf"),
        (lambda: ranks(0, 0.5), "n is 0: expected a whole number of at least 1"),
        (lambda: wilks(0.95, 0.95, 0), "order is 0"),
        (lambda: wilks(1.0, 0.95), "coverage is 1.0"),
        (lambda: share_interval(11, 10), "successes is 11: expected a count from 0 to n = 10"),
    ],
)
def test_senseless_questions_are_refused(call: object, message: str) -> None:
    """Each refusal names the value and what was expected."""
    assert callable(call)
    with pytest.raises(ValueError, match=message):
        call()


def test_importing_the_module_is_cheap() -> None:
    """Neither scipy nor pandas is loaded before the first interval is asked for."""
    command = "import sys, analysis.statistics; print({'scipy', 'pandas', 'pyarrow'} & set(sys.modules))"
    shown = subprocess.run([sys.executable, "-c", command], capture_output=True, text=True, check=True)
    assert shown.stdout.strip() == "set()"
