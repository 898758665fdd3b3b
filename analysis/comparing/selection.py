"""Choosing the best of several plans with a stated confidence, dropping each as soon as it is surely not the best.

The procedure is that of Kim and Nelson 2001, ACM Transactions on Modeling and Computer Simulation 11, 251-273 (from
memory): fully sequential, with an indifference zone, and made for plans under common luck, for it looks at the variance
of their differences. Whenever the best plan leads by the indifference or more it is chosen with at least the stated
confidence, exactly so for normal values; of plans closer together than that, any may be chosen.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FIRST = 20  # replications of every plan before the first is dropped; few more make the constant hardly smaller


@dataclass(frozen=True)
class Selection:
    """What was decided after the replications so far.

    `dropped_after` has, for each plan dropped, the replication after which it was; `left` are those still in.
    `chosen` is the one that is left, or, once the rule says that all left are alike within the indifference, the one
    with the best mean; None while undecided. `level` counts plans with exactly the mean of the one chosen.
    """

    chosen: int | None
    left: tuple[int, ...]
    dropped_after: dict[int, int]
    decided_after: int | None
    level: int = 1


def selection_constant(plans: int, first: int, confidence: float) -> float:
    """The constant h squared: 2 eta (n0 - 1) with eta = ((2 alpha / (k - 1)) ** (-2 / (n0 - 1)) - 1) / 2."""
    eta = 0.5 * ((2 * (1 - confidence) / (plans - 1)) ** (-2 / (first - 1)) - 1)
    return float(2 * eta * (first - 1))


def select(
    values: ArrayLike,
    indifference: float,
    confidence: float = 0.95,
    first: int = FIRST,
    *,
    larger_is_better: bool = False,
) -> Selection:
    """Decide on `values`, a row for each replication and a column for each plan; NaN after a plan was dropped.

    Raises ValueError for fewer than two plans, fewer than `first` rows, an infinite value of a plan that is still in,
    or a confidence that choosing by lot would give.
    """
    sample = np.asarray(values, dtype=np.float64) * (-1.0 if larger_is_better else 1.0)
    _check(sample, indifference, confidence, first)
    h2 = selection_constant(sample.shape[1], first, confidence)
    variances = _variances_of_differences(sample[:first])
    longest = h2 * variances / indifference**2
    sums = sample.cumsum(axis=0)
    left, dropped_after, after = list(range(sample.shape[1])), dict[int, int](), first
    while len(left) > 1:
        fallen_after = _first_fall(sums[after - 1 :, left], longest[np.ix_(left, left)], indifference, after)
        if fallen_after is None:
            break
        after, fallen = fallen_after
        dropped_after |= {left[place]: after for place in fallen}
        left = [plan for place, plan in enumerate(left) if place not in fallen]
    if len(left) > 1:
        return _if_alike(left, dropped_after, sums, longest)
    return Selection(left[0], tuple(left), dropped_after, after)


def _check(sample: NDArray[np.float64], indifference: float, confidence: float, first: int) -> None:
    n, k = sample.shape
    if k < 2 or not 2 <= first <= n:
        raise ValueError(f"{n} replications of {k} plans: expected two plans or more, and {first} replications")
    if not indifference > 0:
        raise ValueError(f"indifference is {indifference}: expected more than zero")
    if not 1 / k < confidence < 1:
        raise ValueError(f"confidence is {confidence}: expected between 1/{k}, which a lot would give, and 1")
    if not np.isfinite(sample[:first]).all():
        raise ValueError("values include infinite ones or NaN: means do not exist, expected finished replications")


def _variances_of_differences(first: NDArray[np.float64]) -> NDArray[np.float64]:
    """Sample variance of every pair's difference over the first replications."""
    differences = first[:, :, None] - first[:, None, :]
    return np.asarray(differences.var(axis=0, ddof=1))


def _first_fall(
    sums: NDArray[np.float64], longest: NDArray[np.float64], indifference: float, after: int
) -> tuple[int, list[int]] | None:
    """When the first plans fall and which; row 0 of `sums` is after `after` replications.

    A plan falls when the sum of its differences to another leaves the narrowing triangle of the procedure.
    """
    replications = after + np.arange(len(sums))
    room = indifference / 2 * np.maximum(longest[None] - replications[:, None, None], 0.0)
    falls = np.any(sums[:, :, None] - sums[:, None, :] > room, axis=2)
    rows = np.any(falls, axis=1)
    if not rows.any():
        return None
    row = int(rows.argmax())
    return int(replications[row]), np.flatnonzero(falls[row]).tolist()


def _if_alike(
    left: list[int], dropped_after: dict[int, int], sums: NDArray[np.float64], longest: NDArray[np.float64]
) -> Selection:
    """The end for plans that are exactly level, which only equal plans stay for ever."""
    last = int(longest[np.ix_(left, left)].max()) + 1
    if len(sums) < last:
        return Selection(None, tuple(left), dropped_after, None)
    return Selection(left[0], tuple(left), dropped_after, max(last, *dropped_after.values(), 0), len(left))


def rinott_constant(plans: int, first: int, confidence: float, nodes: int = 96) -> float:
    """The constant h of the two-stage procedure for independent runs, by quadrature over two chi-squared variables.

    Source: Rinott 1978, Communications in Statistics A 7, 799-811 (from memory). It says what the same confidence
    would cost without common luck and without dropping anything.
    """
    from scipy.optimize import brentq
    from scipy.special import chdtri, ndtr

    points, weights = np.polynomial.legendre.leggauss(nodes)
    chi2, weights = chdtri(first - 1, (1 - points) / 2), weights / 2
    apart = np.sqrt((first - 1) * (1 / chi2[:, None] + 1 / chi2[None, :]))

    def short_by(h: float) -> float:
        return float(weights @ (ndtr(h / apart) @ weights) ** (plans - 1)) - confidence

    return float(brentq(short_by, 0.0, 100.0))


def two_stage_sizes(variances: ArrayLike, h: float, indifference: float, first: int) -> NDArray[np.int64]:
    """Replications that a two-stage procedure asks of each plan: max(n0 + 1, h^2 S^2 / d^2 rounded up)."""
    asked = np.ceil(h**2 * np.asarray(variances, dtype=np.float64) / indifference**2)
    return np.maximum(asked, first + 1).astype(np.int64)
