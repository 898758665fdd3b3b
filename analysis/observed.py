"""What was seen of a number in every replication, where the horizon may have cut some of them short.

A date that the horizon cut off is not missing: it lies somewhere beyond the horizon. So every replication gives two
bounds between which its true value lies, equal where it was seen whole, and nothing is ever dropped.
"""

from __future__ import annotations

from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Numbers = NDArray[np.float64]

SAME = 1e-6  # hours, or of a rate: two replications that differ by less are the same but for floating point


class Observed(NamedTuple):
    """Bounds of the true value in each replication; both alike where it is known."""

    low: Numbers
    high: Numbers

    @property
    def known(self) -> NDArray[np.bool_]:
        """Where the value was seen whole."""
        return np.equal(self.low, self.high)

    @property
    def unfinished(self) -> int:
        """Replications in which it was not."""
        return int((~self.known).sum())

    @property
    def complete(self) -> bool:
        """Whether every replication was seen whole, so that means exist."""
        return bool(self.known.all())


def dates(hours: ArrayLike, horizon_h: float | None = None, later_h: float = 0.0) -> Observed:
    """Dates in hours, +inf where the horizon, at `horizon_h`, came first; `later_h` moves them to another start.

    Raises ValueError for NaN, -inf, no values, or +inf without a horizon.
    """
    sample = _checked(hours)
    beyond = np.isinf(sample)
    if beyond.any() and horizon_h is None:
        raise ValueError("values include +inf: expected `horizon_h`, at which they were cut off")
    low = np.where(beyond, horizon_h or 0.0, sample)
    return Observed(low + later_h, sample + later_h)


def rates(values: ArrayLike, finished: ArrayLike) -> Observed:
    """Rates over a span of work; where the span was not finished the rate is only known not to be negative."""
    sample, whole = _checked(values), np.asarray(finished, dtype=bool)
    if whole.shape != sample.shape:
        raise ValueError(f"finished has shape {whole.shape}: expected {sample.shape}, as values")
    return Observed(np.where(whole, sample, 0.0), np.where(whole, sample, inf))


def _checked(values: ArrayLike) -> Numbers:
    sample = np.asarray(values, dtype=np.float64)
    if sample.ndim != 1 or not sample.size:
        raise ValueError(f"values have shape {sample.shape}: expected a list of at least one number")
    if np.isnan(sample).any() or np.isneginf(sample).any():
        raise ValueError("values include NaN or -inf: expected numbers, or +inf for what the horizon cut off")
    return sample
