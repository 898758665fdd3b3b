"""Random times as a planner would state them: durations of every shape, dates, windows of the day."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

Stated = dict[str, Any]

START = datetime(2027, 3, 1, 6)
WINDOWS = ("around the clock", "day shift", "18:00 - 06:00", "07:30 - 19:00", "23:00 - 03:00", "06:00 - 10:00")
SHORTEST_SHIFT_MIN = 240
SHAPES = (
    "fixed",
    "triangular",
    "pert",
    "uniform",
    "empirical",
    "by percentiles",
    "lognormal",
    "gamma",
    "weibull",
    "exponential",
)


def maybe(draw: DrawFn, stated: Stated, key: str, value: SearchStrategy[Any], one_in: int = 2) -> None:
    """State `key` in one of so many pads, and leave it to its default in the others."""
    if draw(st.integers(1, one_in)) == one_in:
        stated[key] = draw(value)


@st.composite
def durations(draw: DrawFn, low_min: int, high_min: int, certain: bool = False) -> Any:
    """A duration of about so many minutes, fixed or of any shape; shapes with bounds stay within the two."""
    shape = "fixed" if certain else draw(st.sampled_from(SHAPES))
    if shape == "fixed":
        return f"{draw(st.integers(low_min, high_min))} min"
    low = draw(st.integers(low_min, high_min - 2))
    return _shaped(shape, low, draw(st.integers(low + 2, high_min)))


def _shaped(shape: str, low: int, high: int) -> Stated:
    middle = (low + high) // 2
    a, b, c = (f"{value} min" for value in (low, middle, high))
    return {
        "triangular": {"triangular": [a, b, c]},
        "pert": {"pert": [a, b, c]},
        "uniform": {"uniform": [a, c]},
        "empirical": {"empirical": [c, a, b, b]},
        "by percentiles": {"lognormal": {"P10": f"{low + 1} min", "P90": f"{high + 1} min"}},
        "lognormal": {"lognormal": {"mean": b, "cv": 0.4}},
        "gamma": {"gamma": {"mean": b, "cv": 0.7}},
        "weibull": {"weibull": {"mean": b, "shape": 1.5}},
        "exponential": {"exponential": b},
    }[shape]


@st.composite
def stage_durations(draw: DrawFn, low_min: int, high_min: int, certain: bool) -> Any:
    """A duration of every stage: stated, or from the design."""
    manner = draw(st.sampled_from(("stated", "from design", "with factor")))
    if manner == "from design":
        return manner
    if manner == "stated":
        return draw(durations(low_min, high_min, certain))
    factors = (1.2, 0.9) if certain else (1.2, {"pert": [0.9, 1.0, 1.5]}, {"uniform": [0.8, 1.3]})
    return {"from_design": {"factor": draw(st.sampled_from(factors)), "plus": draw(durations(0, 30, certain))}}


def moments(first_h: int, last_h: int) -> SearchStrategy[str]:
    """Dates and times, in hours after the start of every pad."""
    return st.integers(first_h, last_h).map(lambda hours: f"{START + timedelta(hours=hours):%Y-%m-%d %H:%M}")
