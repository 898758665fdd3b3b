"""The chance of being done by a date: the curve and its marks say what the statistics say."""

import numpy as np
import pytest
from drawn import words
from synthetic_pad import START, dates

from analysis.figures import theme
from analysis.figures.chance_curve import Band, chance_curve, percentile_h
from analysis.statistics import quantile


@pytest.mark.parametrize("count", [1, 7, 70, 1000])
def test_percentiles_are_those_of_the_report(count: int) -> None:
    """A marked date is the quantile that the statistics of the run give."""
    values = np.sort(dates(count)["first production"])
    for percent in (10, 50, 90):
        assert percentile_h(values, percent) == quantile(values, percent / 100.0)


def test_marks_name_their_dates() -> None:
    """P10, P50 and P90 of each curve stand beside it with the date, and the convention below."""
    values = dates(1000)
    said = words(chance_curve(values, START, horizon_h=6000.0))
    for hours_of in values.values():
        for percent in (10, 50, 90):
            assert f"P{percent}  {theme.day_text(START, percentile_h(np.sort(hours_of), percent))}" in said
    assert "P90: 90 % chance done by" in said


def test_curve_rises_to_the_share_that_is_done() -> None:
    """With 30 of 100 replications unfinished the curve ends at 70 %, at the horizon, and a note says so."""
    values = np.append(np.arange(70) * 10.0 + 500.0, np.full(30, np.inf))
    ax = chance_curve({"first production": values}, START, horizon_h=1500.0)
    curve = max(ax.lines, key=lambda line: len(line.get_xdata()))
    assert curve.get_ydata()[-1] == pytest.approx(70.0)
    assert curve.get_xdata()[-1] == pytest.approx(theme.positions(START, 1500.0))
    assert "first production: 30 of 100 replications unfinished" in words(ax)
    assert "P90 beyond it" in words(ax)


def test_plan_of_averages_says_how_likely_it_is() -> None:
    """The mark of the plan names its date and the share of replications done by then."""
    values = np.arange(1.0, 101.0) * 10.0
    ax = chance_curve(
        {"first production": values}, START, plan_of_averages={"first production": 125.0}, horizon_h=2000.0
    )
    assert f"{theme.day_text(START, 125.0)}: 12 % chance" in words(ax)


def test_a_plan_beyond_the_horizon_is_said() -> None:
    """A plan of averages that does not finish has no mark, but a note; bounds at infinity end at the frame."""
    values = np.arange(1.0, 101.0) * 10.0
    limits = Band(np.array([0.05, 0.5, 0.95]), np.array([-np.inf, 400.0, 900.0]), np.array([100.0, 600.0, np.inf]))
    plan, bands = {"first production": np.inf}, {"first production": limits}
    ax = chance_curve({"first production": values}, START, plan_of_averages=plan, horizon_h=2000.0, bands=bands)
    assert "first production: not reached by the horizon, 23 May, in the plan of averages" in words(ax)
    (shade,) = ax.collections
    assert np.isfinite(shade.get_paths()[0].vertices).all()


def test_what_cannot_be_drawn_is_refused() -> None:
    """NaN among the hours, no hours, and a plan for an unknown milestone are errors that name it."""
    with pytest.raises(ValueError, match="first production"):
        chance_curve({"first production": np.array([1.0, np.nan])}, START, horizon_h=10.0)
    with pytest.raises(ValueError, match="first production"):
        chance_curve({"first production": np.array([])}, START, horizon_h=10.0)
    with pytest.raises(ValueError, match="last well"):
        chance_curve({"a": np.array([1.0])}, START, plan_of_averages={"last well": 3.0}, horizon_h=10.0)
