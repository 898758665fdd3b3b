"""Numbers of the pad that plans are compared and forecasts sized by, under names as a planner would type them."""

from __future__ import annotations

from collections.abc import Mapping
from math import inf
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from analysis.asked import NotUnderstoodError, hours_of
from analysis.observed import Observed, dates, rates
from sim.scenario.problems import did_you_mean
from sim.scenario.written import shown

if TYPE_CHECKING:
    import pandas as pd

Kind = Literal["date", "days", "rate"]


class PadMeasure(NamedTuple):
    """One number of each replication. A date is in hours, `days` a span in hours, a rate in what its name says."""

    name: str
    kind: Kind
    column: str

    @property
    def larger_is_better(self) -> bool:
        """Of dates and spans the smaller is."""
        return self.kind == "rate"

    @property
    def words(self) -> tuple[str, str]:
        """What the better of two is called, and the worse."""
        return {"date": ("earlier", "later"), "days": ("shorter", "longer"), "rate": ("higher", "lower")}[self.kind]


LAST_WELL = PadMeasure("last well on production", "date", "all_on_production_h")
MEASURES = (
    PadMeasure("first production", "date", "first_production_h"),
    LAST_WELL,
    PadMeasure("fracturing start", "date", "fracturing_start_h"),
    PadMeasure("fracturing end", "date", "fracturing_end_h"),
    PadMeasure("first flowback", "date", "first_flowback_h"),
    PadMeasure("days of fracturing", "days", "fracturing_end_h"),
    PadMeasure("stages per day", "rate", "stages_per_day"),
    PadMeasure("pumping hours per day", "rate", "pumping_h_per_day"),
)
_ALSO_CALLED = {
    "every well on production": "last well on production",
    "all wells on production": "last well on production",
    "last production": "last well on production",
    "fracturing starts": "fracturing start",
    "fracturing ends": "fracturing end",
    "flowback start": "first flowback",
    "fracturing days": "days of fracturing",
    "stages a day": "stages per day",
    "pumping hours a day": "pumping hours per day",
}


def measure_called(option: str, name: str, *, only_dates: bool = False) -> PadMeasure:
    """The measure of that name. Raises NotUnderstoodError that lists them all."""
    known = {each.name: each for each in MEASURES if each.kind == "date" or not only_dates}
    if _spelt(name) in known:
        return known[_spelt(name)]
    what = "milestone" if only_dates else "measure"
    hint, options = did_you_mean(name, known), ", ".join(known)
    raise NotUnderstoodError([f"{option}: no such {what}{hint}; known: {options} (got {shown(name)})"])


def amount_of(option: str, text: str, measure: PadMeasure) -> float:
    """A difference of the measure in its own unit: hours, or for '0.2 stages per day' the number.

    Raises NotUnderstoodError, also where the unit is missing.
    """
    if measure.kind != "rate":
        return hours_of(option, text)
    number, _, unit = text.strip().partition(" ")
    try:
        amount = float(number)
    except ValueError:
        amount = 0.0
    if not 0 < amount < inf or _spelt(unit) != measure.name:
        raise NotUnderstoodError([f"{option}: expected for example '0.2 {measure.name}' (got {shown(text)})"])
    return amount


def _spelt(name: str) -> str:
    """The one name of what may be called by several; other words as they are."""
    spelt = " ".join(name.casefold().replace("_", " ").replace("-", " ").split()).removeprefix("the ")
    return _ALSO_CALLED.get(spelt, spelt)


def seen(
    pads: pd.DataFrame | Mapping[str, np.ndarray], measure: PadMeasure, horizon_h: float, later_h: float = 0.0
) -> Observed:
    """What the table of pads says of a measure; `later_h` is by how much this plan's start is after the common one."""
    end_h = np.asarray(pads["fracturing_end_h"], dtype=np.float64)
    if measure.kind == "rate":
        return rates(np.asarray(pads[measure.column]), np.isfinite(end_h))
    if measure.kind == "date":
        return dates(np.asarray(pads[measure.column]), horizon_h, later_h)
    start_h = np.minimum(np.asarray(pads["fracturing_start_h"], dtype=np.float64), horizon_h)
    end = dates(end_h, horizon_h)
    return Observed(end.low - start_h, end.high - start_h)
