"""A forecast on the terminal: the answer in sentences, then tables, then the cautions."""

from __future__ import annotations

from math import inf

from rich.console import Console
from rich.table import Table

from analysis.answer import answer
from analysis.cautions import SHORT
from analysis.statistics import MeanEstimate, QuantileEstimate
from analysis.summary import Milestone, Share, Summary
from analysis.wording import BEYOND, CONVENTION, date_text, days_text, percent
from sim.scenario.scenario import Scenario

INTERVALS = "Brackets: 95 % confidence interval in days from the start, from order statistics."


def show(summary: Summary, console: Console) -> None:
    """Print the whole forecast."""
    for sentence in answer(summary):
        console.print(sentence, highlight=False)
    console.print()
    console.print(pad_table(summary))
    console.print(f"{CONVENTION} {INTERVALS}\n", highlight=False)
    console.print(well_table(summary))
    console.print(f"P50, below it P10 to P90. {CONVENTION}\n", highlight=False)
    console.print(unit_table(summary))
    console.print(_paces(summary), highlight=False)
    console.print()
    for line in SHORT:
        console.print(line, style="dim", highlight=False)


def pad_table(summary: Summary) -> Table:
    """Milestones of the pad: dates with their intervals, the mean, and what averages promise."""
    scenario, table = summary.forecast.scenario, _table("The pad")
    table.add_column("milestone")
    for heading in ("P10", "P50", "P90", "mean", "plan of averages"):
        table.add_column(heading)
    for milestone in summary.pad:
        quantiles = [_quantile_cell(scenario, quantile) for quantile in milestone.quantiles]
        table.add_row(
            milestone.name, *quantiles, _mean_cell(scenario, milestone.mean), _averages_cell(scenario, milestone)
        )
    return table


def _quantile_cell(scenario: Scenario, quantile: QuantileEstimate) -> str:
    if quantile.value == inf:
        return BEYOND
    low = days_text(quantile.low) if quantile.low_rank else "?"
    high = _bound(quantile)
    return f"{date_text(scenario, quantile.value)}\nday {days_text(quantile.value)} [{low}, {high}]"


def _bound(quantile: QuantileEstimate) -> str:
    """Upper bound; '?' where replications are too few for one."""
    if quantile.high_rank is None:
        return "?"
    return BEYOND if quantile.high == inf else days_text(quantile.high)


def _mean_cell(scenario: Scenario, mean: MeanEstimate) -> str:
    if mean.mean == inf:
        return "not finite:\nsome unfinished"
    if mean.low == -inf:
        return f"{date_text(scenario, mean.mean)}\nday {days_text(mean.mean)}"
    return f"{date_text(scenario, mean.mean)}\nday {days_text(mean.mean)} ± {(mean.high - mean.mean) / 24:.1f}"


def _averages_cell(scenario: Scenario, milestone: Milestone) -> str:
    late = percent(milestone.later_than_averages / milestone.replications)
    return f"{date_text(scenario, milestone.averages_h)}\ntoo early in {late}"


def well_table(summary: Summary) -> Table:
    """Milestones of every well."""
    scenario, table = summary.forecast.scenario, _table("The wells")
    table.add_column("well")
    for milestone in next(iter(summary.wells.values())):
        table.add_column(milestone.name.lower())
    for well, milestones in summary.wells.items():
        table.add_row(well, *(_span_cell(scenario, milestone) for milestone in milestones))
    return table


def _span_cell(scenario: Scenario, milestone: Milestone) -> str:
    early, middle, late = (date_text(scenario, quantile.value) for quantile in milestone.quantiles)
    return f"{middle}\n{early} - {late}" if middle != BEYOND or early != BEYOND else BEYOND


def unit_table(summary: Summary) -> Table:
    """When each unit comes and goes, and what it does with its time on location."""
    scenario, table = summary.forecast.scenario, _table("The units")
    for heading in ("unit", "arrives (P50)", "leaves (P50)", "works", "waits", "in trouble", "waits for"):
        table.add_column(heading)
    for unit, shares in summary.units.items():
        arrives, leaves = (date_text(scenario, visit.quantiles[1].value) for visit in summary.visits[unit])
        totals = [_total(shares, kind) for kind in ("work", "wait", "trouble")]
        waits = ", ".join(_share_text(share) for share in shares if share.kind == "wait" and share.share.mean >= 0.005)
        table.add_row(unit, arrives, leaves, *totals, waits)
    return table


def _total(shares: tuple[Share, ...], kind: str) -> str:
    return percent(sum(share.share.mean for share in shares if share.kind == kind))


def _share_text(share: Share) -> str:
    half_width = 100 * (share.share.high - share.share.mean)
    interval = f" ± {half_width:.1f}" if half_width < inf else ""
    return f"{share.reason} {100 * share.share.mean:.1f}{interval} %"


def _paces(summary: Summary) -> str:
    texts = []
    for name, pace in summary.paces.items():
        interval = f" ± {pace.high - pace.mean:.2f}" if pace.high < inf else ""
        texts.append(f"{name.lower()} {pace.mean:.2f}{interval}")
    return "From the first stage to the last: " + ", ".join(texts) + " (mean, 95 % confidence)."


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
