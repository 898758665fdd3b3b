"""What a well will produce, as stated: its rise to the peak, plateau and decline, with gas and water."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

from pydantic import Field

from sim.physics.decline import Decline, nominal_decline
from sim.physics.production import Curve
from sim.scenario.durations import Factor
from sim.scenario.part import Number, Part, default, unstated
from sim.scenario.quantities import (
    GasPerBarrel,
    Hours,
    PositiveBarrelsPerHour,
    PositiveHours,
    Share,
    ShareBelowAll,
)

if TYPE_CHECKING:
    from sim.scenario.document import Steps

HOURS_A_DAY = 24.0
DAYS_A_MONTH = 30.4  # as in US EIA decline curves (published)
EIA = "about 10 % a year, US EIA 2020, published"
Shortcoming = tuple["Steps", str]


class ChokeStep(Part):
    """One choke of the rise to the peak: how long, and what share of the peak it lets through."""

    lasts: PositiveHours
    share: Share


class Production(Part):
    """Oil rate of a well once on production: a rise, a plateau, an Arps decline; gas and water in proportion."""

    peak: PositiveBarrelsPerHour = Field(description="highest oil rate, such as 1100 bbl/day")
    days_to_peak: Hours = default("0 day", "assumption", "time of an even rise from nothing to the peak")
    choke_steps: Annotated[tuple[ChokeStep, ...], Field(min_length=1, max_length=50)] | None = unstated(
        "an even rise over days_to_peak", "assumption", "chokes on the way to the peak, in order"
    )
    plateau: Hours = default("0 day", "assumption", "time at the peak before the decline")
    decline: ShareBelowAll = default("12 %", "assumption", "share of the rate lost in the first month")
    b: Annotated[Number, Field(ge=0, le=3)] = default(1.0, "assumption", "Arps exponent: 0 exponential, 1 harmonic")
    terminal_decline: ShareBelowAll = default(
        "0.8 %", EIA, "share lost in a month, once the decline has fallen to that; exponential from then on"
    )
    gas_oil_ratio: GasPerBarrel | None = unstated("unknown", "assumption", "gas that comes with the oil")
    water_oil_ratio: Annotated[Number, Field(ge=0, le=1000)] | None = unstated(
        "unknown", "assumption", "water that comes with the oil, bbl per bbl; or state water_cut"
    )
    water_cut: ShareBelowAll | None = Field(default=None, description="water as a share of all liquid")
    factor: Factor = default(1.0, "no luck", "the luck of a well, which multiplies its rate all its life")

    @property
    def curve(self) -> Curve:
        """The whole curve, before the luck of the well."""
        steps = tuple((step.lasts / HOURS_A_DAY, step.share) for step in self.choke_steps or ())
        first, last = (
            float(nominal_decline(each, b)) for each, b in ((self.decline, self.b), (self.terminal_decline, 0))
        )
        peak, least = self.peak * HOURS_A_DAY, last / DAYS_A_MONTH
        decline = Decline(peak, first / DAYS_A_MONTH, self.b, least)
        return Curve(decline, self.days_to_peak / HOURS_A_DAY, steps, self.plateau / HOURS_A_DAY)

    @property
    def water_per_oil(self) -> float | None:
        """Barrels of water with each barrel of oil; None where unknown."""
        if self.water_cut is not None:
            return self.water_cut / (1 - self.water_cut)
        return self.water_oil_ratio


def shortcomings(production: Production) -> Iterator[Shortcoming]:
    """What contradicts itself, or would flow without end: steps to the field, and what is wrong with it."""
    if production.decline == 0:
        yield ("decline",), "never declines, so it would produce without end; expected more than 0 %, such as 12 %"
    elif production.terminal_decline == 0 and production.b >= 1:
        message = f"with b {production.b:g} the volume never comes to an end; expected more than 0 %, such as 0.8 %"
        yield ("terminal_decline",), message
    if production.choke_steps is not None and production.days_to_peak > 0:
        yield ("choke_steps",), "stand beside days_to_peak; expected one of the two"
    if production.water_cut is not None and production.water_oil_ratio is not None:
        yield ("water_cut",), "stands beside water_oil_ratio; expected one of the two"
