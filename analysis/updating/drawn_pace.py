"""The plan at the pace that a log shows, once for each replication: what the log leaves open is drawn anew for each.

A median is known only as well as its observations allow, and being wrong about it makes all jobs alike too short or
too long. So each replication takes one value of every figure for all of its jobs, drawn from what is known of that
figure after the update: medians from Student's distribution, the spread of single jobs being held; chances from the
beta, rates from the gamma distribution. Durations of which the log tells nothing yet are no better known than the plan
is: they are drawn in the same way, as known from the observations that the plan is worth.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import exp, inf, sqrt
from typing import Any

from numpy.random import Generator

from analysis.field.calibration import Calibrated, Calibration
from analysis.field.log_moments import log_moments, shape_with
from analysis.field.patch_text import entries
from analysis.field.quantities import SPEED, Quantity
from analysis.field.rates import TroubleRate
from analysis.field.updating import Posterior
from sim.chance.streams import own_generator
from sim.scenario import Document, Place, Scenario, changed, validate
from sim.scenario.document import Node

MOST_CHANCE = 0.95


def plans_at_pace(
    calibration: Calibration, document: Document, scenario: Scenario, n: int, seed: int
) -> tuple[Scenario, ...]:
    """A plan for each replication; none where the log tells of no figure of the plan."""
    if not calibration.figures and not calibration.rates:
        return ()
    bare = _without_weather(document)
    return tuple(_plan(drawn(calibration, seed, number), bare, scenario) for number in range(n))


def drawn(calibration: Calibration, seed: int, replication: int) -> Calibration:
    """The calibration with one value of each figure in the place of what is known of it."""

    def of(name: str) -> Generator:
        return own_generator(seed, replication, name, "what the log leaves open")

    unseen = [_as_planned(each, calibration.prior_weight) for each in calibration.unseen]
    figures = [*calibration.figures, *(each for each in unseen if each is not None)]
    return replace(
        calibration,
        figures=tuple(_figure(each, of) for each in figures),
        rates=tuple(_rate(each, of) for each in calibration.rates),
    )


def _without_weather(document: Document) -> Document:
    """All plans share one weather: a table of years would otherwise be read and kept for each."""
    nodes = {key: node for key, node in document.root.value.items() if key != "weather"}
    return replace(document, root=Node(nodes, document.root.place))


def _plan(calibration: Calibration, document: Document, scenario: Scenario) -> Scenario:
    values = {entry.path: entry.value for entry in entries(calibration, "", scenario)}
    plan = validate(changed(document, values.items(), Place("the pace of the log", 0)))
    return plan.model_copy(update={"weather": scenario.weather})


def _as_planned(quantity: Quantity, weight: float) -> Calibrated | None:
    """A figure of which the log tells nothing, as if observed as often as the plan is worth."""
    if weight <= 0 or (isinstance(quantity.prior, (int, float)) and quantity.prior <= 0):
        return None
    known = log_moments(quantity.prior, weight)
    posterior = Posterior(known, 0.0, inf)
    return Calibrated(quantity, (), None, known, known._replace(n=0.0), posterior, quantity.prior)


def _figure(figure: Calibrated, of: Callable[[str], Generator]) -> Calibrated:
    known = figure.posterior.moments
    if known.n <= 0:
        return figure
    off = sqrt(known.variance / known.n) * float(of(figure.quantity.name).standard_t(known.n))
    shape: Any = figure.shape
    if figure.quantity.kind == SPEED:
        shape = exp(known.mean + off)
    elif isinstance(shape, (int, float)):
        shape = shape * exp(off)
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
