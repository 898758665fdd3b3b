"""Wright's curve: its numbers, and what experience changes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.physics.learning import exponent, learning_multiplier

fixed = settings(derandomize=True, deadline=None)
ratios = st.floats(0.5, 1)
done = st.integers(0, 500)


@pytest.mark.parametrize(("ratio", "expected"), [(0.95, [1, 0.95, 0.9025, 0.8574]), (0.80, [1, 0.80, 0.64, 0.512])])
def test_each_doubling_saves_the_same_share(ratio: float, expected: list[float]) -> None:
    """Units 1, 2, 4 and 8 (T.P. Wright, J. Aeronautical Sciences 3, 1936, formula from memory; values derived)."""
    assert learning_multiplier(np.array([1, 2, 4, 8]), ratio) == pytest.approx(expected, rel=0, abs=5e-5)


def test_exponent_as_printed() -> None:
    """log2(0.95) = -0.0740 (derived)."""
    assert exponent(0.95) == pytest.approx(-0.0740, rel=0, abs=5e-5)


def test_first_eight_wells_of_a_rig() -> None:
    """5 % a doubling are 14 % from the first to the eighth well (M. Redlinger, CSM WP 2015-04; 14 % derived)."""
    assert 1 - learning_multiplier(8, 0.95) == pytest.approx(0.14, rel=0, abs=0.005)


@fixed
@given(st.integers(1, 500), ratios, done)
def test_an_experienced_crew_goes_on_where_it_was(unit: int, ratio: float, before: int) -> None:
    """Its n-th unit here is its unit m + n; counted against its first here, which is its unit m + 1."""
    expected = learning_multiplier(before + unit, ratio) / learning_multiplier(before + 1, ratio)
    assert learning_multiplier(unit, ratio, before) == pytest.approx(expected, rel=1e-12)


@fixed
@given(ratios, done, st.integers(1, 500))
def test_the_first_unit_here_counts_one_and_none_counts_more(ratio: float, before: int, more: int) -> None:
    """The stated time is that of the crew as it arrives; no unit is slower; experience has less to learn."""
    units = np.arange(1, 100)
    fresh, seasoned = (np.asarray(learning_multiplier(units, ratio, m)) for m in (before, before + more))
    assert fresh[0] == seasoned[0] == 1
    assert np.all(np.diff(fresh) <= 0)
    assert np.all(seasoned >= fresh * (1 - 1e-12))


def test_no_learning() -> None:
    """A ratio of 1 changes nothing."""
    assert np.all(np.asarray(learning_multiplier(np.arange(1, 50), 1.0, 7)) == 1)


@pytest.mark.parametrize("ratio", [0.0, -0.5, 1.01, 95.0, float("nan")])
def test_what_is_no_ratio_is_refused(ratio: float) -> None:
    """95 for 95 % is refused, and so is a crew that gets slower."""
    with pytest.raises(ValueError, match=r"^doubling_ratio is .* expected more than 0 and at most 1"):
        learning_multiplier(2, ratio)


def test_impossible_counts_are_refused() -> None:
    """Units are counted from one; nobody has done fewer than none."""
    with pytest.raises(ValueError, match="unit_number is 0"):
        learning_multiplier(0, 0.95)
    with pytest.raises(ValueError, match="done_before is -1"):
        learning_multiplier(1, 0.95, -1)
