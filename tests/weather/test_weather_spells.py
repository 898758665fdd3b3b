"""Spells: fitted to Seattle's days, and drawn, against the exact laws of two-state chains."""

from __future__ import annotations

from collections import Counter
from datetime import datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import stats

from sim.chance.spells import TwoState, drawn_spells, fit_spells, runs, transitions
from sim.chance.streams import Streams
from sim.chance.weather import stopped_rows
from sim.chance.windows import Window
from sim.scenario.weather_limits import limits
from sim.scenario.weather_spells import Spells
from tests.theory.tolerance import RISK, assert_mean, assert_quantiles
from tests.weather.stations import seattle

MARCH = datetime(2027, 3, 1, 6)
fixed = settings(derandomize=True, deadline=None, max_examples=200)
flags = st.lists(st.booleans(), min_size=1, max_size=60)


def days(condition: str) -> NDArray[np.bool_]:
    """Days of Seattle on which a condition holds."""
    return stopped_rows(seattle(), limits(condition))


def spells_of(chain: TwoState) -> Spells:
    """The chain of days as spells of hours, the same all year."""
    return Spells(
        other_months={"good": f"{24 * chain.mean_good!r} h", "bad": f"{24 * chain.mean_bad!r} h"}  # type: ignore[arg-type] # as a user states them
    )


def drawn(spells: Spells, horizon_h: float, replications: int, start: datetime = MARCH) -> list[list[Window]]:
    """Bad weather of many replications."""
    return [
        drawn_spells(spells, start, horizon_h, Streams(7, replication).at("weather", "spells"))
        for replication in range(replications)
    ]


def test_wet_days_of_seattle() -> None:
    """623 wet days; how often dry and wet follow each other, and the chain that gives (vega-datasets, NOAA)."""
    wet = days("rain > 0 mm")
    assert wet.sum() == 623
    assert transitions(wet).tolist() == [[633, 204], [204, 419]]
    chain = fit_spells(wet)
    found = (chain.p01, chain.p11, chain.share_bad, chain.mean_bad)
    assert found == pytest.approx((0.24372760, 0.67255217, 0.42671233, 3.05392157), abs=5e-9)


def test_windy_days_of_seattle() -> None:
    """192 days of 5 m/s or more in 124 spells, the longest of nine days (vega-datasets, NOAA)."""
    windy = days("wind >= 5 m/s")
    assert windy.sum() == 192
    assert transitions(windy).tolist() == [[1144, 124], [124, 68]]
    chain = fit_spells(windy)
    assert (chain.p01, chain.p11) == pytest.approx((0.097792, 0.354167), abs=5e-7)
    lengths = np.diff(runs(windy))
    assert len(lengths) == 124
    assert lengths.max() == 9
    assert lengths.mean() == pytest.approx(1.5484, abs=5e-5)
    assert chain.mean_bad == pytest.approx(lengths.mean())  # no spell is cut off by the ends of the series


@fixed
@given(flags)
def test_counting_of_transitions(series: list[bool]) -> None:
    """As counting pairs one by one."""
    pairs = Counter(pairwise(series))
    assert transitions(series).tolist() == [[pairs[a, b] for b in (False, True)] for a in (False, True)]


@fixed
@given(flags)
def test_runs_are_the_bad_rows(series: list[bool]) -> None:
    """Every bad row is in one run, and between two runs there is a good one."""
    found = runs(series).tolist()
    assert {row for a, b in found for row in range(a, b)} == {row for row, bad in enumerate(series) if bad}
    assert all(end < begin for (_, end), (begin, _) in pairwise(found))


@pytest.mark.parametrize(
    ("series", "said"),
    [
        ([0, 0, 0], "no spells to be told: the weather never turns from good to bad in 3 rows"),
        ([1, 1, 0, 0], "no spells to be told: the weather never turns from good to bad in 4 rows"),
        ([0, 0, 1, 1], "no spells to be told: the weather never turns from bad to good in 4 rows"),
        ([], "no spells to be told: the weather never turns from good to bad in 0 rows"),
    ],
)
def test_series_without_spells_fit_nothing(series: list[int], said: str) -> None:
    """A chain that never turns has no mean spell."""
    with pytest.raises(ValueError, match=f"^{said}$"):
        fit_spells(series)


def test_drawn_spells_last_as_long_as_fitted_ones() -> None:
    """Mean bad spell 1 / (1 - p11) days, and the exponential law: exact for alternating exponential spells."""
    chain = fit_spells(days("rain > 0 mm"))
    replications = drawn(spells_of(chain), 12_000.0, 600)
    assert min(len(windows) for windows in replications) > 20  # so the first twenty are cut by no horizon
    lengths = [b - a for windows in replications for a, b in windows[:20]]
    mean_h = 24 / (1 - chain.p11)
    assert_mean(lengths, mean_h)
    assert_quantiles(lengths, (0.1, 0.5, 0.9), tuple(-mean_h * np.log(1 - level) for level in (0.1, 0.5, 0.9)))
    gaps = [begin - end for windows in replications for (_, end), (begin, _) in pairwise(windows[:20])]
    assert_mean(gaps, 24 / chain.p01)


def test_drawn_spells_take_the_share_of_time_that_the_chain_does() -> None:
    """Share p01 / (p01 + 1 - p11), from hour zero on: the weather is found as it is in the long run."""
    chain = fit_spells(days("rain > 0 mm"))
    share = chain.p01 / (chain.p01 + 1 - chain.p11)
    replications = drawn(spells_of(chain), 8760.0, 600)
    assert_mean([sum(b - a for a, b in windows) / 8760 for windows in replications], share)
    bad_at_zero = sum(bool(windows) and windows[0][0] == 0 for windows in replications)
    low, high = stats.binom.interval(1 - RISK, 600, share)
    assert low <= bad_at_zero <= high


def bad_hours(windows: list[Window], begins_h: float, ends_h: float) -> float:
    return sum(max(0.0, min(b, ends_h) - max(a, begins_h)) for a, b in windows)


@pytest.mark.parametrize(
    ("january", "february"),
    [((30.0, 24.0), (30.0, 96.0)), ((2000.0, 6.0), (24.0, 24.0)), ((12.0, 600.0), (110.0, 9.0))],
)
def test_each_month_has_the_weather_of_its_own(january: tuple[float, float], february: tuple[float, float]) -> None:
    """However long the spells of the month before, bad weather nears its new share as in any two-state Markov chain.

    Its chance t hours into a month is s + (s0 - s) exp(-t / tau), with s = bad / (good + bad), s0 the chance at the
    beginning and 1 / tau = 1 / good + 1 / bad: the law of the chain, from its forward equation. March has none.
    """
    months = {"january": january, "february": february}
    stated = {month: {"good": f"{good} h", "bad": f"{bad} h"} for month, (good, bad) in months.items()}
    spells = Spells.model_validate(stated | {"other_months": {"good": "30 h", "bad": "0 h"}})
    replications = drawn(spells, 2400.0, 4000, datetime(2027, 1, 1))
    at_first = january[1] / sum(january)
    (good, bad), hours, begins_h = february, 28 * 24.0, 31 * 24.0
    share, rate = bad / (good + bad), 1 / good + 1 / bad
    expected_h = share * hours + (at_first - share) * (1 - np.exp(-rate * hours)) / rate
    assert_mean([bad_hours(windows, 0, begins_h) for windows in replications], at_first * begins_h, power=0.2)
    assert_mean([bad_hours(windows, begins_h, begins_h + hours) for windows in replications], expected_h)
    assert not any(bad_hours(windows, begins_h + hours, 2400.0) for windows in replications)


def test_spells_are_sorted_apart_and_inside() -> None:
    """Windows of positive length between hour zero and the horizon; the last may be cut by it."""
    replications = drawn(spells_of(TwoState(0.3, 0.9)), 500.0, 200)
    for windows in replications:
        edges = [edge for window in windows for edge in window]
        assert edges == sorted(set(edges))
        assert all(0 <= edge <= 500 for edge in edges)
    assert any(windows and windows[-1][1] == 500 for windows in replications)
