"""What is refused as impossible, and by what words."""

from __future__ import annotations

import numpy as np
import pytest

from sim.physics.possible import above_zero, below_one, not_negative

NAN = float("nan")


@pytest.mark.parametrize("value", [0.0, -1.0, NAN, np.array([1.0, 0.0]), np.array([1.0, NAN])])
def test_above_zero_refuses_zero_and_less_anywhere(value: float) -> None:
    """Zero, negative numbers and no number at all are refused, by the name of the quantity."""
    with pytest.raises(ValueError, match=r"^inside_diameter_in is .*; expected more than zero$"):
        above_zero(fine=1.0, inside_diameter_in=value)


@pytest.mark.parametrize("value", [-1e-9, NAN, np.array([0.0, -1.0])])
def test_not_negative_refuses_less_than_zero(value: float) -> None:
    """Less than zero anywhere is refused."""
    with pytest.raises(ValueError, match=r"^rate_bpm is .*; expected zero or more$"):
        not_negative(rate_bpm=value)


@pytest.mark.parametrize("value", [-0.1, 1.0, 70.0, NAN, np.array([0.5, 1.0])])
def test_below_one_refuses_percentages(value: float) -> None:
    """A fraction is a fraction: 70 for 70 % is refused."""
    with pytest.raises(ValueError, match=r"^friction_reduction is .*; expected a fraction from 0 to below 1$"):
        below_one(friction_reduction=value)


def test_possible_values_pass() -> None:
    """Numbers and arrays within bounds pass, ends included where they belong; so does an array without entries."""
    above_zero(a=1e-300, b=np.array([1.0, np.inf]), c=np.array([]))
    not_negative(a=0.0, b=np.array([0.0, 5.0]), c=np.arange(3))
    below_one(a=0.0, b=np.array([0.0, 1 - 1e-16]))
