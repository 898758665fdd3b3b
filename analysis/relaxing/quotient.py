"""The quotient of two means of the same replications, such as dollars for each day gained, with its interval.

Fieller 1954, Journal of the Royal Statistical Society B 16, 175-185 (from memory): the quotient q is held to be true
unless the paired t test of x - q y against zero rejects it. The bounds are the roots of a quadratic; where y is not
surely different from zero that set is no interval, and none is given.
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray


class Quotient(NamedTuple):
    """Mean of x over mean of y, with the bounds of its interval."""

    value: float
    low: float
    high: float
    confidence: float


def quotient(x: NDArray[np.float64], y: NDArray[np.float64], confidence: float = 0.95) -> Quotient | None:
    """The quotient of the means of two columns of the same replications; None where its interval has no bounds."""
    from scipy.stats import t

    n = len(x)
    if n < 2:
        return None
    critical = float(t.ppf((1 + confidence) / 2, n - 1)) ** 2
    covariance = np.cov(x, y) / n
    x_mean, y_mean = float(x.mean()), float(y.mean())
    a = y_mean**2 - critical * float(covariance[1, 1])
    b = x_mean * y_mean - critical * float(covariance[0, 1])
    c = x_mean**2 - critical * float(covariance[0, 0])
    if a <= 0:
        return None
    spread = sqrt(max(0.0, b * b - a * c))
    return Quotient(x_mean / y_mean, (b - spread) / a, (b + spread) / a, confidence)
