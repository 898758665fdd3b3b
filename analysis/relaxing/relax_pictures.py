"""The picture of what would buy a week."""

from __future__ import annotations

from pathlib import Path

from analysis.figures import theme
from analysis.figures.gains import Gain, gains
from analysis.relaxing.savings import Savings

MOST = 25  # bars that a page holds


def draw_savings(savings: Savings, folder: Path) -> None:
    """Draw the days gained by limit into `folder`; none where no limit makes any difference."""
    shown = [saving for saving in savings.savings if not saving.never_binds][:MOST]
    if not shown:
        return
    folder.mkdir(parents=True, exist_ok=True)
    bars = [Gain(each.limit, each.days.mean, each.days.low, each.days.high, each.is_sure) for each in shown]
    idle = sum(saving.never_binds for saving in savings.savings)
    footnote = (
        f"Mean of {savings.played} replications under the same luck; lines: 95 % confidence. Pale: could be chance "
        "(Holm)." + (f" {idle} more limits make no difference." if idle else "")
    )
    title = f"{savings.scenario.title}: days gained to {savings.goal.name}"
    theme.save(theme.settle(gains(bars, title, footnote)), folder / "what_would_buy_a_week")
