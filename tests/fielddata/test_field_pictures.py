"""Pictures of calibration and looking back say what the numbers say."""

from __future__ import annotations

from datetime import datetime
from math import inf
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from analysis.field.milestones import Milestone
from analysis.figures import theme
from analysis.figures.fits import Fitted, fits
from analysis.figures.reached import INSIDE, OUTSIDE, reached
from analysis.figures.reliability import CHANCES, reliability

START = datetime(2027, 3, 1)
POINTS = [
    Milestone("Heron 1", "prepared_h", 30.0, 20.0, 28.0, 40.0, 0.6, 0.6, 1.0),
    Milestone("Heron 2", "prepared_h", 90.0, 20.0, 28.0, 40.0, 0.995, 1.0, 1.0),
    Milestone("Heron 3", "prepared_h", inf, 20.0, 28.0, 40.0, 0.995, inf, 1.0),
    Milestone("Heron 4", "prepared_h", inf, 70.0, 98.0, 140.0, 0.3, inf, 0.3),
]


def test_each_milestone_has_a_row_and_what_lies_outside_another_mark() -> None:
    ax = reached(POINTS, {"prepared_h": "Prepared"}, START, 92.0, "t")
    assert [label.get_text() for label in ax.get_yticklabels()] == [f"Heron {k}, prepared" for k in (1, 2, 3, 4)]
    marks = [line for line in ax.lines if line.get_marker() in {"o", "D", ">"} and len(line.get_xdata()) == 1]
    found = [(line.get_marker(), line.get_color()) for line in marks]
    assert found == [("o", INSIDE), ("D", OUTSIDE), (">", OUTSIDE), (">", INSIDE)]
    places = [float(line.get_xdata()[0]) for line in marks]
    assert places == pytest.approx(theme.positions(START, [30.0, 90.0, 92.0, 92.0]))
    keys = [text.get_text() for text in ax.get_legend().get_texts()]
    assert keys[-1] == "not reached when the log ends"
    bare = reached(POINTS[:2], {"prepared_h": "Prepared"}, START, 92.0, "t").get_legend()
    assert len(bare.get_texts()) == len(keys) - 1
    assert ax.get_ylim()[0] > ax.get_ylim()[1]


def test_the_curve_of_reliability_is_the_share_that_was_reached() -> None:
    """Of places 5, 20, 60 and 95 %: one of four by P10, two by P50, three by P90; none is past its P96 or later."""
    places = np.array([0.05, 0.2, 0.6, 0.95])
    met = [(chance, int((places <= chance).sum()), 4 if chance < 0.955 else 0) for chance in CHANCES]
    ax = reliability(met, "t")
    assert [text.get_text() for text in ax.texts][:3] == ["P10: 25 % of 4", "P50: 50 % of 4", "P90: 75 % of 4"]
    curve = next(line for line in ax.lines if len(line.get_xdata()) == 95)
    assert np.interp([10, 50, 90], curve.get_xdata(), curve.get_ydata()) == pytest.approx([25, 50, 75])


def test_nothing_due_leaves_the_diagram_bare() -> None:
    ax = reliability([(chance, 0, 0) for chance in CHANCES], "t")
    assert not [text.get_text() for text in ax.texts if text.get_text().startswith("P10")]


def test_points_of_a_right_fit_lie_in_its_band_and_equal_pictures_are_equal_bytes(tmp_path: Path) -> None:
    law = stats.lognorm(0.3, scale=2)
    values = np.asarray(law.ppf((np.arange(50) + 0.5) / 50))
    fitted = Fitted("pump stage", "hours", values, law.pdf, law.cdf, None, "50 jobs")
    first, second = (theme.save(fits([fitted], "t"), tmp_path / name) for name in ("a", "b"))
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]
    points = fits([fitted], "t").axes[1].lines[1]
    assert points.get_xdata() == pytest.approx(points.get_ydata())
