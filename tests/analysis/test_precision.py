"""Playing until precise enough: what is understood, and how often the interval at the stop holds the truth."""

from __future__ import annotations

import math

import numpy as np
import pytest
from repeats import least_hits
from scipy import stats

from analysis.asked import NotUnderstoodError
from analysis.forecasting.precision import (
    CLAIMED,
    FIRST_LOOK,
    Target,
    looks,
    precision,
    replications_needed,
    target_of,
)
from analysis.pad_measures import LAST_WELL
from analysis.statistics import mean_interval, quantile_interval

MODEL = stats.gamma(9.0, scale=8.0)  # days of a pad in hours, skewed as such dates are
MOST = 3000


@pytest.mark.parametrize(
    ("text", "statistic", "milestone", "within_h"),
    [
        ("P90 +-0.5 day", "P90", "last well on production", 12.0),
        ("p10 ±6h", "P10", "last well on production", 6.0),
        ("P50 of first production +- 1 day", "P50", "first production", 24.0),
        ("mean +/- 90 min of the fracturing end", "mean", "fracturing end", 1.5),
        ("  P05 +-1 day of First_Flowback ", "P5", "first flowback", 24.0),
    ],
)
def test_what_is_understood(text: str, statistic: str, milestone: str, within_h: float) -> None:
    target = target_of("--until", text)
    assert (target.statistic, target.milestone.name, target.within_h) == (statistic, milestone, within_h)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "not understood; expected for example 'P90 +-0.5 day'"),
        ("soon", "not understood"),
        ("P90", "not understood"),
        ("P100 +-1 day", "not understood"),
        ("P0 +-1 day", "no date has a chance of 0 %"),
        ("P90 +-1", "a number without a unit; expected a time"),
        ("P90 +-", "not a quantity; expected a time"),
        ("P90 +-0 day", "must be more than zero"),
        ("P90 +--1 day", "negative"),
        ("P90 +-5 bbl", "'bbl' is a volume; expected a time"),
        ("P90 +-nan day", "not a quantity"),
        ("P90 of lunch +-1 day", "no such milestone; known: first production"),
        ("P90 +-1 day of first prodution", "did you mean 'first production'"),
        ("P90 of stages per day +-1 day", "no such milestone"),
        ("P90 of first production +-1 day of first flowback", "not understood"),
    ],
)
def test_nonsense_is_named(text: str, said: str) -> None:
    with pytest.raises(NotUnderstoodError, match=r"^--until: ") as refusal:
        target_of("--until", text)
    assert said in str(refusal.value)


def test_looks_end_at_the_ceiling() -> None:
    assert looks(260) == [100, 150, 200, 250, 260]
    assert looks(40) == [40]


def test_stops_at_the_first_look_that_is_precise_enough() -> None:
    sample = MODEL.rvs(MOST, random_state=np.random.default_rng(31))
    target = Target(LAST_WELL, 0.5, 3.0)
    n = replications_needed(sample, target, MOST)
    assert n is not None
    assert n > FIRST_LOOK
    assert precision(sample[:n], target).within_h <= 3.0 < precision(sample[: n - 50], target).within_h
    assert replications_needed(sample[: n - 1], target, MOST) is None
    assert replications_needed(sample, Target(LAST_WELL, 0.5, 1e-3), 200) == 200


def test_hidden_by_the_horizon_is_never_precise() -> None:
    """Where a tenth is unfinished the P95 lies beyond the horizon, and the mean does not exist."""
    sample = np.append(np.linspace(1, 2, 180), np.full(20, math.inf))
    assert precision(sample, Target(LAST_WELL, 0.95, 1.0)).within_h == math.inf
    assert precision(sample, Target(LAST_WELL, None, 1.0)).within_h == math.inf
    assert precision(sample, Target(LAST_WELL, 0.5, 1.0)).within_h < math.inf


@pytest.mark.parametrize("chance", [0.1, 0.5, 0.9, None])
def test_interval_at_the_stop_holds_what_it_claims(chance: float | None) -> None:
    """1000 repeats of a stop near 300 replications: the interval holds the truth at least as often as it claims.

    A plain 95 % interval at the same stops holds it less often, which is what the terminal says of all the others.
    """
    truth = MODEL.mean() if chance is None else float(MODEL.ppf(chance))
    spread = MODEL.std() if chance is None else math.sqrt(chance * (1 - chance)) / float(MODEL.pdf(truth))
    target = Target(LAST_WELL, chance, 2.2 * spread / math.sqrt(300))
    generator = np.random.default_rng(32)
    held = stops = plainly = 0
    for _ in range(1000):
        sample = MODEL.rvs(1000, random_state=generator)
        n = replications_needed(sample, target, 1000) or 1000
        found = precision(sample[:n], target)
        held += found.low_h <= truth <= found.high_h
        stops += FIRST_LOOK < n < 1000
        plain = mean_interval(sample[:n]) if chance is None else quantile_interval(sample[:n], chance)
        plainly += plain.low <= truth <= plain.high
    assert held >= least_hits(CLAIMED)
    assert least_hits(0.94) <= plainly < held
    assert stops > 900  # the experiment is about stops between the first look and the ceiling
