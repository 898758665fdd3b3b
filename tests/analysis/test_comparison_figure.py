"""The picture of a comparison: every plan named, told apart without colour, and nothing silently left out."""

from __future__ import annotations

import math
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb

from analysis.figures import theme
from analysis.figures.comparison import MOST_PLANS, Difference, Scale, comparison

START = datetime(2027, 3, 1, 6)
DATES = Scale(START, 24.0, "date")
HORIZON_H = 1500.0


def sample(later_h: float, n: int = 60) -> np.ndarray:
    return np.random.default_rng(5).gamma(9.0, 20.0, n) + 800.0 + later_h


def drawn(plans: dict[str, np.ndarray], scale: Scale = DATES, horizon: float | None = None) -> list[Axes]:
    base = next(iter(plans.values()))
    lows = {name: np.where(np.isinf(each), HORIZON_H, each) for name, each in plans.items()}
    low_base = np.where(np.isinf(base), HORIZON_H, base)
    differences = {
        name: Difference(lows[name] - base, each - low_base, f"about {name}")
        for name, each in plans.items()
        if each is not base
    }
    return comparison(plans, differences, scale, title="Curlew Flat: last well", notes=("P90: so.",), horizon=horizon)


def words(axes: list[Axes]) -> list[str]:
    theme.settle(axes[0])
    return [text.get_text() for ax in axes for text in (*ax.texts, *ax.get_yticklabels(), ax.title, ax._left_title)]


def test_every_plan_is_named_above_and_below() -> None:
    said = words(drawn({"base plan": sample(0), "sequential": sample(300), "simultaneous": sample(-90)}))
    for name in ("base plan", "sequential", "simultaneous"):
        assert name in said
    assert {"about sequential", "about simultaneous"} <= set(said)
    assert "Curlew Flat: last well" in said
    assert any(text.startswith("Under the same luck, set off from the P50 of base plan, ") for text in said)


def test_curves_differ_without_colour() -> None:
    """No two curves share dashes and thickness, so a grey print can be read; all are dark enough for paper."""
    above, _ = drawn({f"plan {k}": sample(40.0 * k) for k in range(MOST_PLANS)})
    curves = [line for line in above.lines if len(line.get_xdata()) > 10]
    looks = {(line.get_linewidth(), str(line._unscaled_dash_pattern)) for line in curves}
    assert len(curves) == len(looks) == MOST_PLANS
    for line in curves:
        red, green, blue = to_rgb(line.get_color())
        assert 0.2126 * red + 0.7152 * green + 0.0722 * blue < 0.5


def test_curves_rise_by_one_replication_at_a_time_to_all() -> None:
    above, _ = drawn({"base plan": sample(0), "later": sample(50)})
    curve = next(line for line in above.lines if len(line.get_xdata()) > 10)
    x, y = curve.get_data()
    hours = np.sort(sample(0))
    assert y[-1] == pytest.approx(100.0)
    assert np.allclose(x[::2], theme.positions(START, hours))
    assert np.allclose(y[1::2], 100 * np.arange(1, 61) / 60)


def test_plans_that_are_level_share_a_curve_and_its_name() -> None:
    axes = drawn({"base plan": sample(0), "bigger storage": sample(0).copy(), "later": sample(50)})
    assert "base plan = bigger storage" in words(axes)
    assert sum(len(line.get_xdata()) > 10 for line in axes[0].lines) == 2


def test_unfinished_curves_stop_below_all() -> None:
    late = sample(400)
    late[late > HORIZON_H - 100] = math.inf
    assert np.isinf(late).any()
    above, below = drawn({"base plan": sample(0), "late": late}, horizon=HORIZON_H)
    highest = min(line.get_ydata()[-1] for line in above.lines if len(line.get_xdata()) > 10)
    assert highest == pytest.approx(100 * np.isfinite(late).mean())
    assert below.get_xlim() == above.get_xlim()


def test_base_plan_beyond_the_horizon_is_said() -> None:
    axes = drawn({"base plan": np.full(20, math.inf), "late": sample(0, 20)}, horizon=HORIZON_H)
    assert any("beyond its horizon" in text for text in words(axes))


@pytest.mark.slow
def test_plans_left_out_are_counted() -> None:
    said = words(drawn({f"plan {k}": sample(30.0 * k) for k in range(MOST_PLANS + 3)}))
    assert any(f"Plans not shown: 3 of {MOST_PLANS + 3}." in text for text in said)


def test_rates_have_an_axis_of_numbers(tmp_path: Path) -> None:
    above, below = drawn({"base plan": sample(0) / 100, "other": sample(90) / 100}, Scale(None, 1.0, "stages per day"))
    assert below.get_xlabel() == "stages per day"
    paths = [theme.save(theme.settle(above), tmp_path / name)[0] for name in ("a", "b")]
    assert paths[0].read_bytes() == paths[1].read_bytes()
