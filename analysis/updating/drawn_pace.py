"""The plan at the pace that a log shows, once for each replication: what the log leaves open is drawn anew for each.

A median is known only as well as its observations allow, and being wrong about it makes all jobs alike too short or
too long. So each replication takes one value of every figure for all of its jobs, drawn from what is known of that
figure after the update: medians from Student's distribution, the spread of single jobs being held; chances from the
beta, rates from the gamma distribution. Figures of which the log tells nothing stay as planned.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import exp, sqrt
from typing import Any

from numpy.random import Generator

from analysis.field.calibration import Calibrated, Calibration
from analysis.field.log_moments import shape_with
from analysis.field.patch_text import entries
from analysis.field.quantities import SPEED
from analysis.field.rates import TroubleRate
from sim.chance.streams import own_generator
from sim.scenario import Document, Place, Scenario, changed, validate

MOST_CHANCE = 0.95


def plans_at_pace(
    calibration: Calibration, document: Document, scenario: Scenario, n: int, seed: int
) -> tuple[Scenario, ...]:
    """A plan for each replication; none where the log tells of no figure of the plan."""
    if not calibration.figures and not calibration.rates:
        return ()
    return tuple(_plan(drawn(calibration, seed, number), document, scenario) for number in range(n))


def drawn(calibration: Calibration, seed: int, replication: int) -> Calibration:
    """The calibration with one value of each figure in the place of what is known of it."""

    def of(name: str) -> Generator:
        return own_generator(seed, replication, name, "what the log leaves open")

    return replace(
        calibration,
        figures=tuple(_figure(each, of) for each in calibration.figures),
        rates=tuple(_rate(each, of) for each in calibration.rates),
    )


def _plan(calibration: Calibration, document: Document, scenario: Scenario) -> Scenario:
    values = {entry.path: entry.value for entry in entries(calibration, "", scenario)}
    return validate(changed(document, values.items(), Place("the pace of the log", 0)))


def _figure(figure: Calibrated, of: Callable[[str], Generator]) -> Calibrated:
    known = figure.posterior.moments
    if known.n <= 0:
        return figure
    off = sqrt(known.variance / known.n) * float(of(figure.quantity.name).standard_t(known.n))
    shape: Any = figure.shape
    if figure.quantity.kind == SPEED:
        shape = exp(known.mean + off)
    else:
        family = figure.chosen.family if figure.chosen is not None else "lognormal"
        shape = shape_with(family, known._replace(mean=known.mean + off))
    return replace(figure, shape=shape)


def _rate(rate: TroubleRate, of: Callable[[str], Generator]) -> TroubleRate:
    if rate.rate.known_by is None:
        return rate
    a, b = rate.rate.known_by
    luck = of(rate.name)
    value = min(float(luck.beta(a, b)), MOST_CHANCE) if rate.by_chance else b / float(luck.gamma(a))
    return rate._replace(rate=rate.rate._replace(value=value))
