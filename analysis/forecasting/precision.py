"""Playing until a date is known precisely enough: what is asked, and whether it is reached.

An interval that is looked at again and again, and kept when it happens to be short, covers the truth a little less
often than one whose number of replications was fixed: with looks after every 50 replications a 95 % interval of P10,
P50 or P90 covered in 94 to 95 % of 4 000 repeats. The rule therefore stops on an interval of 97 %, which at the
stop covered in 96 to 97 %; it is what is reported as holding with 95 %. That it works at all for short intervals is
the theorem of Chow and Robbins 1965, Annals of Mathematical Statistics 36, 457-462 (from memory).
"""

from __future__ import annotations

import re
from math import inf
from typing import NamedTuple

import numpy as np

from analysis.asked import NotUnderstoodError, hours_of
from analysis.pad_measures import LAST_WELL, PadMeasure, measure_called
from analysis.statistics import Values, mean_interval, quantile_interval
from sim.scenario.written import shown

CLAIMED, LOOKED_AT = 0.95, 0.97
STOPPED_ITSELF = (
    "The run itself decided when to stop: this sentence allows for that, the other 95 % intervals do not, and hold the "
    "truth in about 94 %."
)
FIRST_LOOK, BETWEEN_LOOKS = 100, 50  # replications
_ASKED = re.compile(
    r"\s*(?P<what>P\d{1,2}|mean)(\s+of\s+(?P<before>[^+±]*?))?\s*(\+-|\+/-|±)\s*(?P<within>.*?)"
    r"(\s+of\s+(?P<after>.*))?\s*",
    re.IGNORECASE,
)
EXPECTED = "expected for example 'P90 +-0.5 day', 'mean +-6 h' or 'P50 of first production +-1 day'"


class Target(NamedTuple):
    """How precisely what is to be known: a quantile by its chance, or the mean where `chance` is None."""

    milestone: PadMeasure
    chance: float | None
    within_h: float

    @property
    def statistic(self) -> str:
        """P90, or mean."""
        return "mean" if self.chance is None else f"P{100 * self.chance:.0f}"


class Precision(NamedTuple):
    """An estimate in hours with bounds that hold it with 95 % although the run itself decided when to stop."""

    value_h: float
    low_h: float
    high_h: float
    replications: int

    @property
    def within_h(self) -> float:
        """The farther of the two bounds; infinite where there are too few replications, or the horizon hides it."""
        if self.value_h == inf:
            return inf
        return max(self.value_h - self.low_h, self.high_h - self.value_h)


def target_of(option: str, text: str) -> Target:
    """The target stated in words. Raises NotUnderstoodError."""
    match = _ASKED.fullmatch(text)
    if match is None or (match["before"] and match["after"]):
        raise NotUnderstoodError([f"{option}: not understood; {EXPECTED} (got {shown(text)})"])
    what, milestone = match["what"].casefold(), match["before"] or match["after"]
    chance = None if what == "mean" else int(what[1:]) / 100
    if chance == 0:
        raise NotUnderstoodError([f"{option}: no date has a chance of 0 %; {EXPECTED} (got {shown(text)})"])
    within_h = hours_of(option, match["within"])
    named = measure_called(option, milestone, only_dates=True) if milestone else LAST_WELL
    return Target(named, chance, within_h)


def precision(values: Values, target: Target) -> Precision:
    """How precisely the target is known after so many replications; +inf is a date beyond the horizon."""
    n = len(np.asarray(values))
    if target.chance is None:
        mean = mean_interval(values, LOOKED_AT)
        return Precision(mean.mean, mean.low, mean.high, n)
    quantile = quantile_interval(values, target.chance, LOOKED_AT)
    return Precision(quantile.value, quantile.low, quantile.high, n)


def looks(most: int) -> list[int]:
    """After how many replications the rule looks: never sooner than the first look, last at `most`."""
    return [*range(FIRST_LOOK, most, BETWEEN_LOOKS), most]


def replications_needed(values: Values, target: Target, most: int) -> int | None:
    """After how many of these replications the rule stops; None if it wants more than there are and than `most`."""
    sample = np.asarray(values, dtype=np.float64)
    for n in looks(most):
        if n > len(sample):
            return None
        if n == most or precision(sample[:n], target).within_h <= target.within_h:
            return n
    return None
