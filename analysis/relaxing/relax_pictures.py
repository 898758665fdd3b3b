"""The picture of what would buy a week."""

from __future__ import annotations

from pathlib import Path

from analysis.figures import theme
from analysis.figures.gains import Gain, gains
from analysis.relaxing.savings import Saving, Savings
from analysis.statistics import MeanEstimate

MOST = 25  # bars that a page holds
MONEY = (
    "kUSD a day: change of the cost of the work at the stated prices, for each day gained;"
    " the change itself is not priced."
)


def draw_savings(savings: Savings, folder: Path) -> None:
    """Draw the days gained by limit into `folder`; none where no limit makes any difference that has a mean."""
    binding = [saving for saving in savings.savings if not saving.never_binds]
    bars = [_gain(saving, saving.days) for saving in binding if saving.days is not None][:MOST]
    if not bars:
        return
    folder.mkdir(parents=True, exist_ok=True)
    idle = sum(saving.never_binds for saving in savings.savings)
    footnote = (
        f"Mean of {savings.played} replications under the same luck; lines: 95 % confidence. Pale: could be chance "
        "(Holm)." + (f" {idle} more limits make no difference." if idle else "")
    )
    cut = sum(saving.days is None for saving in binding)
    if cut:
        footnote += f"\n{cut} more without a mean, for the horizon cuts work short."
    if savings.priced:
        footnote += f"\n{MONEY}"
    title = f"{savings.scenario.title}: days gained to {savings.goal.name}"
    theme.save(theme.settle(gains(bars, title, footnote)), folder / "what_would_buy_a_week")


def _gain(saving: Saving, days: MeanEstimate) -> Gain:
    return Gain(saving.limit, days.mean, days.low, days.high, saving.is_sure, _a_day(saving, days))


def _a_day(saving: Saving, days: MeanEstimate) -> str:
    """Thousands of dollars that the work costs more or less for each day gained."""
    if saving.a_day is None or round(days.mean, 1) == 0:
        return ""
    return f"{saving.a_day.value / 1000:+,.0f} kUSD a day"
