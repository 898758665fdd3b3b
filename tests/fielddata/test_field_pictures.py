"""Pictures of calibration and looking back say what the numbers say."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from analysis.field.lookback import Reached
from analysis.figures import theme
from analysis.figures.fits import Fitted, fits
from analysis.figures.reached import INSIDE, OUTSIDE, reached
from analysis.figures.reliability import reliability

START = datetime(2027, 3, 1)
POINTS = [
    Reached("Heron 1", "prepared_h", 30.0, 20.0, 28.0, 40.0, 0.6),
    Reached("Heron 2", "prepared_h", 90.0, 20.0, 28.0, 40.0, 0.995),
]


def test_each_milestone_has_a_row_and_what_lies_outside_another_mark() -> None:
    ax = reached(POINTS, {"prepared_h": "Prepared"}, START, "t")
    assert [label.get_text() for label in ax.get_yticklabels()] == ["Heron 1, prepared", "Heron 2, prepared"]
    marks = [line for line in ax.lines if line.get_marker() in {"o", "D"} and len(line.get_xdata()) == 1]
    assert [(line.get_marker(), line.get_color()) for line in marks] == [("o", INSIDE), ("D", OUTSIDE)]
    assert [float(line.get_xdata()[0]) for line in marks] == pytest.approx(theme.positions(START, [30.0, 90.0]))
    assert ax.get_ylim()[0] > ax.get_ylim()[1]


def test_the_curve_of_reliability_is_the_share_that_was_reached() -> None:
    """Of places 5, 20, 60 and 95 %: one of four by P10, two by P50, three by P90."""
    ax = reliability([0.05, 0.2, 0.6, 0.95], "t")
    assert [text.get_text() for text in ax.texts][:3] == ["P10: 25 %", "P50: 50 %", "P90: 75 %"]
    curve = next(line for line in ax.lines if len(line.get_xdata()) == 101)
    assert np.interp([10, 50, 90], curve.get_xdata(), curve.get_ydata()) == pytest.approx([25, 50, 75])


def test_points_of_a_right_fit_lie_in_its_band_and_equal_pictures_are_equal_bytes(tmp_path: Path) -> None:
    law = stats.lognorm(0.3, scale=2)
    values = np.asarray(law.ppf((np.arange(50) + 0.5) / 50))
    fitted = Fitted("pump stage", "hours", values, law.pdf, law.cdf, None, "50 jobs")
    first, second = (theme.save(fits([fitted], "t"), tmp_path / name) for name in ("a", "b"))
    assert [path.read_bytes() for path in first] == [path.read_bytes() for path in second]
    points = fits([fitted], "t").axes[1].lines[1]
    assert points.get_xdata() == pytest.approx(points.get_ydata())
