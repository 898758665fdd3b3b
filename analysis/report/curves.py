"""Chance done by a date, to be zoomed and hovered over, with the confidence that the replications allow."""

from __future__ import annotations

from math import inf
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.figures import theme
from analysis.figures.chance_curve import Band
from analysis.forecasting.pictures import chance_curves
from analysis.forecasting.summary import Summary
from analysis.report.interactive import date_figure, hover, milliseconds
from analysis.statistics import ranks
from analysis.wording import date_text
from sim.scenario.scenario import Scenario

Hours = NDArray[np.float64]

CHANCES = np.arange(0.01, 0.995, 0.01)
HEIGHT_PX = 420
MARGIN = 0.04  # of the span shown, at both ends


def band_of(hours: Hours) -> Band:
    """Where the curve may lie, chance by chance: the order statistics that bound each quantile with 95 % confidence.

    It ends where there are too few replications for a bound.
    """
    ordered = np.sort(hours)
    bounds = [(chance, ranks(len(ordered), round(float(chance), 4))) for chance in CHANCES]
    known = [(chance, each.low, each.high) for chance, each in bounds if each.low and each.high]
    early = np.array([ordered[low - 1] for _, low, _ in known])
    late = np.array([ordered[high - 1] for _, _, high in known])
    return Band(np.array([chance for chance, *_ in known]), early, late)


def bands(summary: Summary) -> dict[str, Band]:
    """That of every curve."""
    return {name: band_of(hours) for name, hours in chance_curves(summary).items()}


def curve_keys(summary: Summary) -> list[tuple[str, str]]:
    """Colour and name of every curve."""
    return list(zip(theme.SERIES_COLOURS, chance_curves(summary), strict=False))


def chance_figure(summary: Summary) -> Any:
    """A rising line for each milestone in its band, with its P10, P50 and P90; dashed is what averages promise."""
    from bokeh.models import FixedTicker, Range1d

    scenario, curves = summary.forecast.scenario, chance_curves(summary)
    shown, (first_h, last_h) = date_figure(HEIGHT_PX), _span(summary)
    begin, end = (float(each) for each in milliseconds(scenario.start, [first_h, last_h]))
    shown.x_range, shown.y_range = Range1d(start=begin, end=end), Range1d(start=0, end=104)
    shown.yaxis[0].ticker = FixedTicker(ticks=[0, 10, 25, 50, 75, 90, 100])
    shown.yaxis[0].axis_label = "chance done by (%)"
    for colour, (name, hours) in zip(theme.SERIES_COLOURS, curves.items(), strict=False):
        _band(shown, scenario, band_of(hours), (first_h, min(last_h, scenario.horizon)), colour)
        _curve(shown, scenario, np.sort(hours), colour)
        _promise(shown, scenario, summary.milestone(name).averages_h, colour)
        _marks(shown, summary, name, colour)
    return shown


def _span(summary: Summary) -> tuple[float, float]:
    """First and last hour shown: all that is known, and the horizon if anything is unfinished."""
    scenario, curves = summary.forecast.scenario, chance_curves(summary)
    promised = [summary.milestone(name).averages_h for name in curves]
    known = np.concatenate([*curves.values(), np.array(promised)])
    finite = known[np.isfinite(known)]
    ends = finite if len(finite) == len(known) else np.append(finite, scenario.horizon)
    room_h = max(MARGIN * float(np.ptp(ends)), 12.0)
    return float(ends.min()) - room_h, float(ends.max()) + room_h


def _band(shown: Any, scenario: Scenario, band: Band, span_h: tuple[float, float], colour: str) -> None:
    if not len(band.chance):
        return
    early, late = (milliseconds(scenario.start, np.clip(side, *span_h)) for side in (band.early_h, band.late_h))
    shown.harea(y=100.0 * band.chance, x1=early, x2=late, fill_color=colour, fill_alpha=0.16)


def _curve(shown: Any, scenario: Scenario, ordered: Hours, colour: str) -> None:
    finite = ordered[np.isfinite(ordered)]
    if not len(finite):
        return
    to_the_end = [scenario.horizon] if len(finite) < len(ordered) else []
    x = milliseconds(scenario.start, [*np.repeat(finite, 2), *to_the_end])
    y = np.repeat(100.0 * np.arange(len(finite) + 1) / len(ordered), 2)[1 : len(x) + 1]
    shown.line(x=x, y=y, line_color=colour, line_width=2.2)


def _promise(shown: Any, scenario: Scenario, hour: float, colour: str) -> None:
    if hour < inf:
        x = float(milliseconds(scenario.start, hour))
        shown.line(x=[x, x], y=[0, 104], line_color=colour, line_width=1.2, line_dash="dashed")


def _marks(shown: Any, summary: Summary, name: str, colour: str) -> None:
    from bokeh.models import ColumnDataSource

    scenario = summary.forecast.scenario
    found = [each for each in summary.milestone(name).quantiles if each.value < inf]
    source = ColumnDataSource({
        "x": milliseconds(scenario.start, [each.value for each in found]),
        "y": [100.0 * each.p for each in found],
        "what": [f"{name}, P{100 * each.p:.0f}" for each in found],
        "date": [date_text(scenario, each.value) for each in found],
        "low": ["?" if each.low_rank is None else date_text(scenario, each.low) for each in found],
        "high": ["?" if each.high_rank is None else date_text(scenario, each.high) for each in found],
    })  # fmt: skip
    marks = shown.scatter(x="x", y="y", size=10, color=colour, line_color="white", source=source)
    hover(shown, [marks], {"": "@what", "date": "@date", "95 % confidence": "@low to @high"}, {})
