"""Pictures of money: bars are as long as the sums, and words say how sure they are."""

from __future__ import annotations

import numpy as np
from drawn import words

from analysis.figures.cash_flow import Spread, cash_flow
from analysis.figures.cost_bars import Cost, cost_bars


def test_cost_bars_say_mean_interval_and_spread() -> None:
    """Lengths are means in millions; words only what varies."""
    costs = [Cost("day rates", 3e6, 2.9e6, 3.1e6, 2e6, 4e6), Cost("plugs", 1e6, 1e6, 1e6, 1e6, 1e6)]
    axes = cost_bars({"what for": costs, "unit": []}, "Costs", "Note.")
    assert [bar.get_width() for bar in axes.patches] == [3.0, 1.0]
    said = words(axes)
    assert "3.00 ± 0.10 (2.00 to 4.00)" in said
    assert "1.00" in said


def test_cash_flow_draws_what_is_paid_downwards() -> None:
    """Paid below the line, earned above it, each at its P50."""
    flat = np.array([2e6, 0.0])
    paid, earned = Spread(flat, flat, flat), Spread(flat[::-1], flat[::-1], flat[::-1])
    axes = cash_flow(["2027-12", "2028-01"], paid, earned, Spread(-flat, -flat, -flat), "Cash", "Note.")
    heights = [bar.get_height() for bar in axes.patches]
    assert heights == [-2.0, 0.0, 0.0, 2.0]
    below = axes.get_figure().axes[1]
    assert [label.get_text() for label in below.get_xticklabels()] == ["Dec\n2027", "Jan\n2028"]
