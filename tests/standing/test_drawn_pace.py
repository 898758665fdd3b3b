"""The pace of a log, drawn once for each replication: as uncertain as what is known, and no more."""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
import pytest
from scipy import stats

from analysis.field.calibration import Calibration, calibrated
from analysis.field.quantities import SPEED, TIME, Quantity
from analysis.field.rates import TroubleRate
from analysis.field.updating import update_chance
from analysis.updating.drawn_pace import drawn, plans_at_pace
from sim.chance.sampling import mean
from sim.scenario import read
from sim.scenario.shapes import Lognormal
from tests.fielddata.logs import SIX_WELLS, six_wells
from tests.theory.tolerance import STANDARD_ERRORS

DRAWN = 1500
NONE = np.array([])
TIMES = Quantity("nipple up", "nipple up", TIME, ("well_defaults.preparation.nipple_up",), Lognormal(2.0, 0.2),
                 np.array([8.0, 9.5, 7.0, 8.8, 10.1, 7.7]), NONE)  # fmt: skip
SPEEDS = Quantity("trip in", "trip in", SPEED, ("units.milling_rigs.run_in",), 4800.0, np.array([5000.0, 5200.0]), NONE)
RATE = TroubleRate("screen-out", 4, 200, 0.0, 0.015, update_chance(0.015, 5.0, 4, 200))


def calibration() -> Calibration:
    figures = tuple(calibrated(each, 5.0) for each in (TIMES, SPEEDS))
    return Calibration(figures, (), (RATE,), (), (), (), 5.0)


def test_medians_follow_student_and_chances_the_beta() -> None:
    """The textbook marginals of the two updates (Gelman et al., Bayesian Data Analysis, sections 2.4 and 3.3, from
    memory): each drawn sample against its distribution function, by Kolmogorov and Smirnov."""
    whole = calibration()
    draws = [drawn(whole, 3, number) for number in range(DRAWN)]
    for k, figure in enumerate(whole.figures):
        known = figure.posterior.moments
        law = stats.t(known.n, known.mean, sqrt(known.variance / known.n))
        shapes = [each.figures[k].shape for each in draws]
        logs = [shape.mu if isinstance(shape, Lognormal) else log(float(shape)) for shape in shapes]  # type: ignore[arg-type]
        assert stats.kstest(logs, law.cdf).pvalue > 1e-3
        assert figure.posterior.median_low == pytest.approx(exp(law.ppf(0.025)))
    assert RATE.rate.known_by is not None
    chances = [each.rates[0].rate.value for each in draws]
    assert stats.kstest(chances, stats.beta(*RATE.rate.known_by).cdf).pvalue > 1e-3


def test_what_nobody_has_seen_yet_is_as_uncertain_as_the_plan() -> None:
    """Worth five observations: Student's distribution with five degrees; nothing is drawn where the plan is sure."""
    unseen = Quantity(**{**vars(TIMES), "done": NONE, "name": "rig down"})
    fixed = Quantity("move", "move between groups", TIME, ("strategy.between_groups",), 6.0, NONE, NONE)
    none = Quantity("swap", "swap", TIME, ("strategy.swap.time",), 0.0, NONE, NONE)
    whole = Calibration((), (unseen, fixed, none), (RATE,), (), (), (), 5.0)
    draws = [drawn(whole, 3, number).figures for number in range(DRAWN)]
    assert {tuple(each.quantity.name for each in figures) for figures in draws} == {("rig down", "move")}
    mus = [figures[0].shape.mu for figures in draws]  # type: ignore[union-attr]
    assert stats.kstest(mus, stats.t(5, 2.0, 0.2 / sqrt(5)).cdf).pvalue > 1e-3
    assert all(isinstance(figures[1].shape, float) for figures in draws)
    assert drawn(Calibration((), (unseen,), (RATE,), (), (), (), 0.0), 3, 1).figures == ()


def test_the_spread_of_single_jobs_is_held() -> None:
    """What is drawn moves all jobs alike; how they differ among each other is known."""
    whole = calibration()
    spread = whole.figures[0].shape.sigma  # type: ignore[union-attr]
    assert all(drawn(whole, 3, k).figures[0].shape.sigma == pytest.approx(spread) for k in range(20))  # type: ignore[union-attr]


def test_more_observations_leave_less_open() -> None:
    """Ten times as many: the drawn medians lie closer by the root of it, as far as the plan's own weight lets them."""
    many = Quantity(**{**vars(TIMES), "done": np.tile(TIMES.done, 10)})
    spreads = []
    for quantity in (TIMES, many):
        whole = Calibration((calibrated(quantity, 5.0),), (), (), (), (), (), 5.0)
        spreads.append(np.std([log(mean(drawn(whole, 1, k).figures[0].shape)) for k in range(DRAWN)]))
    expected = [_deviation(calibrated(quantity, 5.0).posterior.moments) for quantity in (TIMES, many)]
    assert spreads == pytest.approx(expected, rel=STANDARD_ERRORS / sqrt(2 * DRAWN) * 2)


def _deviation(known: object) -> float:
    n, _, variance = known  # type: ignore[misc]
    return sqrt(variance / n * n / (n - 2))


def test_plans_are_those_of_the_plan_but_for_the_figures() -> None:
    """One plan for each replication, the same for the same seed; none where the log tells of nothing."""
    scenario, document = six_wells(), read(SIX_WELLS)
    plans = plans_at_pace(calibration(), document, scenario, 3, seed=5)
    assert plans == plans_at_pace(calibration(), document, scenario, 3, seed=5)
    medians = {plan.wells[0].preparation.nipple_up.mu for plan in plans}  # type: ignore[union-attr]
    assert len(medians) == 3
    assert {plan.strategy for plan in plans} == {scenario.strategy}
    assert plans_at_pace(Calibration((), (), (), (), (), (), 5.0), document, scenario, 3, seed=5) == ()
