"""How a crew gets faster as it repeats its work: Wright's curve, a pure formula."""

from __future__ import annotations

from math import log2

from sim.physics.possible import Numbers, above_zero, not_negative


def exponent(doubling_ratio: float) -> float:
    """Power of the number of units; `doubling_ratio` is the time left when that number has doubled, such as 0.95."""
    if not 0 < doubling_ratio <= 1:
        raise ValueError(f"doubling_ratio is {doubling_ratio}; expected more than 0 and at most 1, which is no learning")
    return log2(doubling_ratio)


def learning_multiplier(unit_number: Numbers, doubling_ratio: float, done_before: float = 0.0) -> Numbers:
    """Time of the crew's n-th unit here over that of its first unit here.

    Without experience it is T_n / T_1 = n^log2(doubling_ratio) (T.P. Wright, J. Aeronautical Sciences 3, 1936, 122-128;
    title and year published, formula from memory). A crew that has done m units before goes on from its unit m + 1:
    ((m + n) / (m + 1))^log2(doubling_ratio). The first unit here always counts 1, because a planner states the time of
    the crew that arrives, experience included; experience only leaves it less to learn. Order of magnitude: 0.95 for a
    drilling rig (M. Redlinger, Colorado School of Mines Working Paper 2015-04, published).
    """
    above_zero(unit_number=unit_number)
    not_negative(done_before=done_before)
    multiplier: Numbers = ((done_before + unit_number) / (done_before + 1)) ** exponent(doubling_ratio)
    return multiplier
