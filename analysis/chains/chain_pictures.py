"""The picture of where the days go."""

from __future__ import annotations

from pathlib import Path

from matplotlib.axes import Axes

from analysis.chains.chain_groups import DATES
from analysis.chains.chain_summary import Part, WhereDaysGo
from analysis.figures import theme
from analysis.figures.days_bar import Slice, days_bar
from sim.activities import ARRIVAL


def draw_where(where: WhereDaysGo, days: Part, folder: Path) -> None:
    """Draw the bar of days into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    theme.save(theme.settle(where_axes(where, days)), folder / "where_the_days_go")


def where_axes(where: WhereDaysGo, days: Part) -> Axes:
    """The bar of days."""
    start = where.scenario.start
    title = f"{where.scenario.title}: where the days to {where.goal.name} go"
    footnote = (
        f"Mean of {where.reached} replications from {theme.day_text(start, 0.0)} {start.year}; in brackets P10 to P90: "
        "80 % of the replications lie between. Sorted by what the days went to, not by date."
    )
    slices = [_slice(part, _arrival(where) if part.name == ARRIVAL else "") for part in where.groups]
    return days_bar(slices, _slice(days), title, footnote)


def _arrival(where: WhereDaysGo) -> str:
    """Whose arrival it is, where only one unit's is ever waited for."""
    return next((part.name for part in where.kinds.get(DATES, ()) if part.name.endswith(" arrives")), "")


def _slice(part: Part, said: str = "") -> Slice:
    return Slice(part.name, part.mean.mean, part.quantiles[0].value, part.quantiles[-1].value, said)
