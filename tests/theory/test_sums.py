"""A well alone is a sum of its stages: gamma times add up to a gamma total."""

from __future__ import annotations

import numpy as np
from scipy import stats

from sim.pad import simulate
from tests.pads import minutes, pad, well
from tests.theory.pumping import makespan_min
from tests.theory.tolerance import assert_mean, assert_quantiles, assert_variance


def test_total_of_gamma_stages_is_gamma() -> None:
    """Twenty stages, wireline Gamma(5, 30 min) and pumping Gamma(4, 30 min): in all Gamma(180, 30 min) (C11).

    Expected numbers from scipy.stats.gamma. A gamma of shape k has a cv of k^-1/2.
    """
    wireline = {"gamma": {"mean": minutes(150), "cv": 5**-0.5}}
    pump = {"gamma": {"mean": minutes(120), "cv": 4**-0.5}}
    scenario = pad([well("w1", 20, wireline, pump, toe=False)], {"wells_in_rotation": 1, "swap": {"time": "0 h"}})
    totals_min = np.array([makespan_min(simulate(scenario, number, seed=4)) for number in range(4000)])

    assert_mean(totals_min, 5400)
    assert_variance(totals_min, 402.492236**2, excess_kurtosis=6 / 180, power=0.05)
    assert_quantiles(totals_min, [0.1, 0.5, 0.9], [4891.034915, 5390.003299, 5921.811091])
    assert_quantiles(totals_min / 1440, [0.1, 0.5, 0.9], [3.396552, 3.743058, 4.112369])
    assert stats.kstest(totals_min, stats.gamma(180, scale=30).cdf).pvalue > 1e-4
