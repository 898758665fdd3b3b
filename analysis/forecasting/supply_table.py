"""The supplies of a forecast as a table on the terminal and as a CSV file."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from math import inf

from rich.table import Table

from analysis.forecasting.supply_summary import FIGURES, SupplySummary
from analysis.statistics import MeanEstimate, QuantileEstimate

THOUSAND = 1000.0
SAID = (
    "Supplies from the start to the end of the last stage, in thousand bbl, of proppant thousand lb; P50, below it P10 "
    "to P90: 10, 50, 90 % chance of no more than that. Intervals are in supplies.csv, with --out."
)
HEADINGS = ("offered", "used", "turned away\nor lost", "highest rate\na day", "lowest level", "hours\nstarved", "by")


def supply_table(supplies: Sequence[SupplySummary], narrow: bool = False) -> Table:
    """A row for each store, pond and source."""
    table = Table(title="The supplies", title_justify="left", title_style="bold", box=None, pad_edge=False)
    table.header_style = "dim"
    table.add_column("supply", overflow="fold")
    for heading in HEADINGS:
        table.add_column(heading, overflow="fold")
    for each in supplies:
        table.add_row(each.supply if each.kind == "store" else f"  {each.supply}", *_cells(each, narrow))
    return table


def _cells(each: SupplySummary, narrow: bool) -> list[str]:
    """A source holds nothing; only a store on the pad makes anybody wait."""
    scales = {"peak_rate": 24 / THOUSAND, "starved_h": 1.0}
    shown = {name: _span(each.figures[name], scales.get(name, 1 / THOUSAND), narrow) for name in FIGURES}
    level = "" if each.kind == "source" else shown["lowest_level"]
    hours, parts = (shown["starved_h"], _parts(each)) if each.kind == "store" else ("", "")
    return [shown["offered"], shown["used"], shown["turned_away"], shown["peak_rate"], level, hours, parts]


def _span(quantiles: Sequence[QuantileEstimate], scale: float, narrow: bool) -> str:
    low, middle, high = (quantile.value * scale for quantile in quantiles)
    if f"{low:,.0f}" == f"{high:,.0f}":
        return f"{middle:,.0f}"
    return f"{middle:,.0f}\n{low:,.0f} -{chr(10) if narrow else ' '}{high:,.0f}"


def _parts(each: SupplySummary) -> str:
    """Mean hours by part of the supply, each on a line of its own."""
    listed = [(part, hours) for part, hours in each.parts.items() if hours.mean >= 0.05]
    return "\n".join(f"{part or each.supply} {_mean(hours)}" for part, hours in listed)


def _mean(hours: MeanEstimate) -> str:
    interval = f" ± {hours.high - hours.mean:.1f}" if hours.high < inf else ""
    return f"{hours.mean:.1f}{interval} h".replace(" ", "\N{NO-BREAK SPACE}")


def supplies_csv(supplies: Sequence[SupplySummary]) -> str:
    """One line for each figure of each supply, with quantiles, their bounds and the mean.

    Volumes in bbl or lb, rates an hour, hours. Bounds are empty where the replications are too few for them.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    quantiles = [f"P{chance} ({chance} % chance of no more){which}" for chance in (10, 50, 90) for which in _WHICH]
    writer.writerow(["supply", "kind", "figure", *quantiles, "mean", "mean low", "mean high"])
    for each in supplies:
        for name in FIGURES:
            bounds = [value for quantile in each.figures[name] for value in _with_bounds(quantile)]
            writer.writerow([each.supply, each.kind, name, *bounds, *_mean_cells(each.means[name])])
        for part, hours in each.parts.items():
            writer.writerow(
                [each.supply, each.kind, f"starved_h by {part or each.supply}", *[""] * 9, *_mean_cells(hours)]
            )
    return text.getvalue()


_WHICH = ("", " low", " high")


def _with_bounds(quantile: QuantileEstimate) -> tuple[float | str, ...]:
    low = "" if quantile.low_rank is None else quantile.low
    return quantile.value, low, "" if quantile.high_rank is None else quantile.high


def _mean_cells(mean: MeanEstimate) -> tuple[float | str, ...]:
    known = mean.high < inf
    return mean.mean, mean.low if known else "", mean.high if known else ""
