"""The plan's figures as the field has them: fitted, and laid over what the plan says as far as there is evidence."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log

import numpy as np

from analysis.field.attempts import attempts_of
from analysis.field.families import Fit, choose, fit_all, goodness_of_fit
from analysis.field.learning import Curve, curves_of, learnt_by
from analysis.field.log_moments import LogMoments, log_moments, shape_with
from analysis.field.pace import Pace, paces_of
from analysis.field.quantities import MANY, SPEED, Quantity, quantities_of
from analysis.field.rates import TroubleRate, Unplanned, losses_of, rates_of, unplanned
from analysis.field.reading import FieldLog
from analysis.field.stage_factors import factors_of, stage_jobs
from analysis.field.updating import Posterior, update_logs
from sim.scenario.document import Document
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Shape

PRIOR_WEIGHT = 5.0
"""Observations that the plan is worth where nothing is said: its figures are assumptions or common practice, which a
handful of jobs on this very pad should outweigh, but one or two should not. For a trouble it is so many strikes, which
leaves its rate uncertain by 45 % (one over the square root of five)."""


@dataclass(frozen=True)
class Calibrated:
    """One figure of the plan, what the field says of it, and what both say together."""

    quantity: Quantity
    fits: tuple[Fit, ...]
    p_value: float | None
    prior: LogMoments | None
    seen: LogMoments
    posterior: Posterior
    shape: float | Shape

    @property
    def chosen(self) -> Fit | None:
        """The family that it follows."""
        return choose(list(self.fits), len(self.quantity.done))

    @property
    def ratio(self) -> float:
        """Median after the update over the median of the plan; 1 where the plan states none."""
        return 1.0 if self.prior is None else exp(self.posterior.moments.mean - self.prior.mean)

    @property
    def differs(self) -> bool:
        """Whether the plan's median lies outside the interval of the median after the update."""
        if self.prior is None:
            return False
        return not self.posterior.median_low <= exp(self.prior.mean) <= self.posterior.median_high


@dataclass(frozen=True)
class Calibration:
    """Everything that a log says of the figures of a plan."""

    figures: tuple[Calibrated, ...]
    unseen: tuple[Quantity, ...]
    rates: tuple[TroubleRate, ...]
    unplanned: tuple[Unplanned, ...]
    curves: tuple[Curve, ...]
    paces: tuple[Pace, ...]
    prior_weight: float


def calibrate(
    log_: FieldLog, scenario: Scenario, document: Document, prior_weight: float = PRIOR_WEIGHT
) -> Calibration:
    """Calibrate every figure of the scenario that the log tells of; `document` is the scenario as written."""
    jobs = attempts_of(log_, scenario)
    stages = stage_jobs(jobs, scenario)
    curves = curves_of(stages, scenario)
    quantities = [
        *quantities_of(jobs, scenario, document),
        *factors_of(stages, scenario, document, learnt_by(curves)),
        *losses_of(log_, scenario),
    ]
    return Calibration(
        tuple(calibrated(each, prior_weight) for each in quantities if len(each.done)),
        tuple(each for each in quantities if not len(each.done)),
        tuple(rates_of(log_, jobs, scenario, prior_weight)),
        tuple(unplanned(log_, scenario)),
        tuple(curves),
        tuple(paces_of(log_)),
        prior_weight,
    )


def calibrated(quantity: Quantity, prior_weight: float) -> Calibrated:
    """Fit, choose, update.

    The update is that of normal logarithms. Of a family other than the lognormal it takes the mean and the variance
    of the logarithm at the fit, and gives back the member of the family that has them after the update: exact for the
    lognormal, and for any family where the plan is worth nothing.
    """
    prior = _prior(quantity, prior_weight)
    fits = [] if quantity.kind in {SPEED, MANY} else fit_all(quantity.done, quantity.unfinished)
    chosen = choose(fits, len(quantity.done))
    seen = _seen(quantity, chosen, prior)
    weighty = LogMoments(0.0, seen.mean, 0.0) if prior is None or prior.n == 0 else prior
    posterior = update_logs(weighty, seen)
    p_value = goodness_of_fit(chosen, quantity.done, quantity.unfinished) if chosen else None
    shape = _shape(quantity, chosen, posterior, alone=weighty.n == 0)
    return Calibrated(quantity, tuple(fits), p_value, prior, seen, posterior, shape)


def _shape(quantity: Quantity, chosen: Fit | None, posterior: Posterior, *, alone: bool) -> float | Shape:
    """What the plan is to say; a speed is one number. `alone`: the plan is worth nothing."""
    if quantity.kind == SPEED:
        return exp(posterior.moments.mean)
    if chosen is not None and alone:
        return chosen.shape
    return shape_with(chosen.family if chosen else "lognormal", posterior.moments)


def _prior(quantity: Quantity, weight: float) -> LogMoments | None:
    """What the plan says; nothing where it takes the job to need no time."""
    if isinstance(quantity.prior, (int, float)) and quantity.prior <= 0:
        return None
    return log_moments(quantity.prior, weight)


def _seen(quantity: Quantity, chosen: Fit | None, prior: LogMoments | None) -> LogMoments:
    """Mean and variance of the logarithm in the field: at the fit, or else of the observations."""
    n = len(quantity.done)
    if chosen is not None:
        return log_moments(chosen.shape, n)
    logs = np.log(quantity.done)
    if quantity.kind == MANY:
        return _of_one_of_many(quantity, logs, prior)
    return LogMoments(n, float(logs.mean()), float(logs.var()))


def _of_one_of_many(quantity: Quantity, logs: np.ndarray, prior: LogMoments | None) -> LogMoments:
    """Of single ones, from means of many: these vary less by their number, and their logarithm is not that of one."""
    n = len(logs)
    if n >= 3 or prior is None:
        variance = log(1 + (exp(float(logs.var(ddof=1))) - 1) * quantity.each_of) if n > 1 else 0.0
    else:
        variance = prior.variance
    return LogMoments(n, float(logs.mean()) - variance / 2, variance)


def drawable(figures: Iterable[Calibrated]) -> list[Calibrated]:
    """Figures with enough observations to be drawn, the best known first."""
    drawn = [each for each in figures if each.chosen is not None and len(each.quantity.done) >= 8]
    return sorted(drawn, key=lambda each: -len(each.quantity.done))
