"""Pictures of sweeps, drivers and sizing: they build, also at their edges, and say what they must."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import numpy as np
import pytest
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.promise_costs import Dot, promise_costs
from analysis.figures.sweep_lines import Line, Mark, sweep_lines
from analysis.figures.sweep_map import Side, contour_days, sweep_map
from analysis.figures.tornado import Bar, tornado

START = datetime(2027, 3, 1, 6)
X = np.linspace(20.0, 80.0, 7)
HOURS = 24 * (60.0 + 900.0 / X)


def line(shift_days: float) -> Line:
    hours = HOURS + 24 * shift_days
    return Line(hours, hours - 12, hours + 12)


def lines(**more: Any) -> Axes:
    named = {"P10": line(-3), "P50": line(0), "P90": line(4)}
    return sweep_lines(X, named, START, x_name="water.transfer.limit (kbbl/day)", title="A pad", **more)


def words(ax: Axes) -> str:
    texts = [text.get_text() for text in [*ax.texts, *ax.get_yticklabels(), *ax.get_xticklabels()]]
    return "\n".join([ax.get_title(loc="left"), ax.get_xlabel(), ax.get_ylabel(), *texts])


def test_lines_name_quantiles_knee_and_plan() -> None:
    said = words(lines(mark=Mark(55.0, 50.0, 60.0, "knee of P90"), planned=40.0, notes=["a note"]))
    for word in ("P10  ", "P50  ", "P90  ", "knee of P90", "as planned", "a note", "P90: 90 % chance done by"):
        assert word in said


def test_what_is_beyond_the_horizon_is_left_out_of_lines() -> None:
    """Also all of it."""
    hours = np.where(X < 45, np.inf, HOURS)
    ax = sweep_lines(X, {"P90": Line(hours, hours, hours)}, START, x_name="x", title="t")
    drawn = np.asarray(ax.lines[0].get_ydata(), dtype=float)
    assert np.isnan(drawn[:3]).all()
    assert np.isfinite(drawn[3:]).all()
    nothing = np.full(7, np.inf)
    theme.settle(sweep_lines(X, {"P90": Line(nothing, nothing, nothing)}, START, x_name="x", title="t"))


@pytest.mark.parametrize("kind", ["slope", "level", "holes", "nothing"])
def test_map_draws_any_surface(kind: str) -> None:
    """A slope with dated contours; a level one without; crosses where the horizon came first."""
    hours = HOURS[:, None] - 24 * np.arange(4)[None, :]
    hours = {"slope": hours, "level": 0 * hours + 99.0, "holes": np.where(hours > 2300, np.inf, hours)}.get(
        kind, 0 * hours + np.inf
    )
    across, upwards = Side("rate", X, None, 40.0), Side("storage", np.arange(4.0), ("a", "b", "c", "d"), 2.0)
    ax = sweep_map(across, upwards, hours, START, title="A pad", what="P90")
    theme.settle(ax)
    assert "as planned" in words(ax)
    assert ("May" in words(ax)) == (kind in {"slope", "holes"})


@pytest.mark.parametrize("span", [1.0, 6.0, 30.0, 200.0])
def test_contours_are_few_and_at_whole_steps(span: float) -> None:
    levels = contour_days(np.array([[40.3, 40.3 + span]]))
    assert 1 <= len(levels) <= 13
    assert np.allclose(levels * 2, np.round(levels * 2))


def bars() -> list[Bar]:
    return [
        Bar("water.sources.\nRiver.rate", 2200, 1900, "20 kbbl/day", "40 kbbl/day", "70 % [60, 80]"),
        Bar("trouble_factor", 1990, 2030, "0.6", "1.8", "5 % [1, 9]"),
        Bar("one-sided", 2010, 2050, "1", "2", "held"),
    ]


def test_tornado_names_inputs_values_shares_and_luck() -> None:
    luck = Bar("luck", 1950, 2060, "21 May", "26 May", "20 % [15, 25]")
    said = words(tornado(bars(), 2000.0, START, title="A pad", remarks_name="share", luck=luck, notes=["a note"]))
    for word in ("River.rate", "20 kbbl/day", "70 % [60, 80]", "luck", "21 May", "share", "a note", "held"):
        assert word in said


def test_tornado_halves_meet_at_the_middle() -> None:
    """The low half of the first bar spans from the middle to the date at the low value."""
    ax = tornado(bars()[:1], 2000.0, START, title="t")
    spans = sorted(tuple(path.vertices[:, 0][[0, 2]]) for each in ax.collections for path in each.get_paths())
    ends = [float(theme.positions(START, hour)) for hour in (1900, 2000, 2200)]
    assert sorted({round(x, 6) for span in spans for x in span}) == pytest.approx(ends, abs=1e-5)


def test_promise_costs_name_the_chosen_and_every_verdict() -> None:
    dots = [
        Dot(0, 0.1, 0.05, 0.2, "breaks it", "a"),
        Dot(10, 0.89, 0.85, 0.92, "undecided", "b"),
        Dot(20, 0.96, 0.93, 0.98, "keeps it", "storage 60 kbbl", True),
        Dot(30, 0.96, 0.9, 0.98, "dearer", "d"),
    ]
    ax = promise_costs(dots, 0.9, title="A pad", currency="USD", notes=["a note"])
    assert "storage 60 kbbl" in words(ax)
    assert "promised: 90 %" in words(ax)
    legend = ax.get_legend()
    assert legend is not None
    assert [text.get_text() for text in legend.get_texts()] == ["keeps it", "undecided", "breaks it", "dearer"]


def test_nothing_to_draw_is_refused() -> None:
    with pytest.raises(ValueError, match="expected at least one"):
        tornado([], 0.0, START, title="t")
    with pytest.raises(ValueError, match="expected at least one"):
        promise_costs([], 0.9, title="t", currency="")
