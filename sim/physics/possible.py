"""What a physical quantity can be; whatever nature does not allow is refused by name."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Numbers: TypeAlias = float | NDArray[np.float64]
"""One number, or an array with an entry for each stage, plug or date."""


def above_zero(**values: Numbers) -> None:
    """Raises ValueError with the name of the first value that is not more than zero everywhere."""
    for name, value in values.items():
        if not _least(value) > 0:
            raise ValueError(f"{name} is {value}; expected more than zero")


def not_negative(**values: Numbers) -> None:
    """Raises ValueError with the name of the first value that is anywhere negative, or not a number."""
    for name, value in values.items():
        if not _least(value) >= 0:
            raise ValueError(f"{name} is {value}; expected zero or more")


def below_one(**values: Numbers) -> None:
    """Raises ValueError with the name of the first value that is anywhere outside 0 <= value < 1."""
    for name, value in values.items():
        if not (_least(value) >= 0 and _least(1 - value) > 0):
            raise ValueError(f"{name} is {value}; expected a fraction from 0 to below 1")


def _least(value: Numbers) -> float:
    """Not a number where any is none; an empty array has nothing to refuse."""
    return float(value.min(initial=np.inf)) if isinstance(value, np.ndarray) else value
