"""Which inputs move an output, and how much of its variance each makes, when every play also meets luck.

Inputs are numbers u from 0 to 1, the chance of not exceeding the value, so that one design serves all distributions.
`play(u, luck)` gives the output of each row of `u` (a column for each input) under the luck of that number: equal
numbers are equal luck, different numbers are independent.

Screening is that of Morris 1991, Technometrics 33, 161-174, with the mean of absolute effects of Campolongo,
Cariboni and Saltelli 2007, Environmental Modelling & Software 22, 1509-1518; variance shares are those of Sobol' by the
estimators of Saltelli et al. 2010, Computer Physics Communications 181, 259-270; all by SALib (references as in its
documentation).

Luck as one more factor. Let Y = f(X, Z) with inputs X and luck Z, independent of each other. Then

    Var Y = Var E[Y | X] + E Var[Y | X].

The second term is what is left when every input is known: no better data can remove it. It is also the total effect
of the factor Z, for E Var[Y | everything but Z] = E Var[Y | X]. So Z needs no inner loop of replications: in the design
of Saltelli rows A and B have independent luck, and the row that differs from A in its luck alone gives

    E (f(X, Z) - f(X, Z'))² / 2 = E Var[Y | X],

which is the mean square within inputs of a nested analysis of variance with two replications at each input.
`luck_share` takes it from there, with the usual estimator of the variance between inputs, so that the share stays
within 0 and 1. All rows that differ from A in an input share A's luck, so that luck does not blur what the input does.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Numbers = NDArray[np.int64]
Play = Callable[[Array, Numbers], Array]

LEVELS = 4  # of the screening; an effect is that from the 12.5 % to the 87.5 % quantile
RESAMPLES = 300
CONFIDENCE = 0.95


class Effects(NamedTuple):
    """Of each input: mean absolute effect with half its 95 % interval, and the spread of single effects."""

    size: Array
    half_width: Array
    spread: Array


class Shares(NamedTuple):
    """Shares of the variance, each with half its 95 % interval.

    `first` is what an input makes alone and `total` what it makes with all it interacts with, luck included. `luck`
    is the share that no better data could remove, interactions included, with its 95 % interval; `variance` is that of
    the output.
    """

    first: Array
    first_half_width: Array
    total: Array
    total_half_width: Array
    luck: tuple[float, float, float]
    variance: float


def screening_rows(inputs: int, trajectories: int) -> int:
    """How many plays a screening takes."""
    return trajectories * (inputs + 1)


def shares_rows(inputs: int, base: int) -> int:
    """How many plays variance shares take."""
    return base * (inputs + 3)


def screening(inputs: int, trajectories: int, seed: int, play: Play) -> Effects:
    """Effects of single steps along random trajectories; all of a trajectory meets the same luck.

    An effect is counted over the step from one input's 12.5 % to its 87.5 % quantile.
    """
    from SALib.analyze import morris as analysis
    from SALib.sample import morris

    problem = _problem(inputs)
    grid = morris.sample(problem, trajectories, num_levels=LEVELS, seed=seed)
    middles = (grid * (LEVELS - 1) + 0.5) / LEVELS  # of the levels: an end of a distribution may lie at infinity
    outputs = play(middles, np.repeat(np.arange(trajectories), inputs + 1))
    found = analysis.analyze(
        problem, grid, outputs, num_levels=LEVELS, num_resamples=RESAMPLES, conf_level=CONFIDENCE, seed=seed
    )
    return Effects(*(np.asarray(found[key], dtype=float) for key in ("mu_star", "mu_star_conf", "sigma")))


def variance_shares(inputs: int, base: int, seed: int, play: Play) -> Shares:
    """Shares of the variance from `base` (a power of two) pairs of points and what lies between them."""
    from SALib.analyze import sobol as analysis
    from SALib.sample import sobol

    problem = _problem(inputs + 1)  # luck is the last
    design = sobol.sample(problem, base, calc_second_order=False, seed=seed)
    outputs = play(design[:, :inputs], _luck_of(design, base))
    if np.ptp(outputs) == 0.0:
        nothing = np.zeros(inputs)
        return Shares(nothing, nothing, nothing, nothing, (0.0, 0.0, 0.0), 0.0)
    found = analysis.analyze(
        problem, outputs, calc_second_order=False, num_resamples=RESAMPLES, conf_level=CONFIDENCE, seed=seed + 1
    )
    first, first_half, total, total_half = (np.asarray(found[k])[:inputs] for k in ("S1", "S1_conf", "ST", "ST_conf"))
    blocks = outputs.reshape(base, -1)  # rows of a block: A, A with each factor of B in turn, luck last, then B
    luck = luck_share(blocks[:, [0, inputs + 1]], np.random.default_rng(seed))
    return Shares(first, first_half, total, total_half, luck, float(np.var(outputs)))


def luck_share(pairs: Array, generator: np.random.Generator) -> tuple[float, float, float]:
    """Share of luck in the variance, from two plays at each input (a row each), and its 95 % bootstrap interval.

    One-way analysis of variance: the variance within is the mean square within, that between is half of what the mean
    square between exceeds it by, and never less than nothing.
    """
    n = len(pairs)
    drawn = pairs[generator.integers(0, n, size=(RESAMPLES, n))]
    low, high = np.quantile(_within(drawn), [(1 - CONFIDENCE) / 2, (1 + CONFIDENCE) / 2])
    return float(_within(pairs[None])[0]), float(low), float(high)


def _within(pairs: Array) -> Array:
    """Share of the variance within pairs, for each of several samples of them."""
    within = ((pairs[..., 0] - pairs[..., 1]) ** 2).mean(axis=1) / 2
    between = np.maximum(2 * pairs.mean(axis=2).var(axis=1, ddof=1) - within, 0.0) / 2
    share: Array = within / np.where(within + between > 0, within + between, 1.0)
    return share


def _luck_of(design: Array, base: int) -> Numbers:
    """Numbers of luck: in each block of rows one for the rows with A's last factor, and one for those with B's."""
    last = design[:, -1].reshape(base, -1)
    of_b = last != last[:, :1]
    numbers: Numbers = (2 * np.arange(base)[:, None] + of_b).ravel()
    return numbers


def _problem(factors: int) -> dict[str, Any]:
    return {"num_vars": factors, "names": [f"x{k}" for k in range(factors)], "bounds": [[0.0, 1.0]] * factors}
