"""Many questions asked of one run: which answers still stand when some would look good by chance alone."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from analysis.statistics import Values

SURE = 0.05  # chance, for all questions together, that any difference is called real and is none


def paired_p_value(differences: Values) -> float:
    """Two-sided p-value of Student's paired test that the mean difference is zero.

    Differences that are all the same say so without a test: 1 where they are zero, else 0. One alone says nothing.
    Source: Student 1908, Biometrika 6, 1-25 (from memory).
    """
    from scipy.special import stdtr

    sample = np.asarray(differences, dtype=np.float64)
    mean, n = float(sample.mean()), len(sample)
    if n < 2 or mean == 0:
        return 1.0
    error = float(sample.std(ddof=1)) / math.sqrt(n)
    return 0.0 if error == 0 else float(2 * stdtr(n - 1, -abs(mean) / error))


def holm(p_values: Sequence[float]) -> list[float]:
    """The p-values adjusted for all being asked together, in their order.

    Whatever is at most `SURE` after adjustment is real, with at most that chance that any one of them is not. The
    smallest is multiplied by their number, the next by one less, and so on; none falls below one before it. Holds
    however the questions depend on each other, as these do under common luck.
    Source: Holm 1979, A simple sequentially rejective multiple test procedure, Scandinavian Journal of Statistics 6,
    65-70 (from memory).
    """
    adjusted = [0.0] * len(p_values)
    highest = 0.0
    for rank, number in enumerate(sorted(range(len(p_values)), key=lambda k: p_values[k])):
        highest = max(highest, min(1.0, (len(p_values) - rank) * p_values[number]))
        adjusted[number] = highest
    return adjusted
