"""A forecast on the terminal: the answer in sentences, then tables, then the cautions.

Every table has two shapes, one for a wide screen and one with shorter lines.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf

from rich.console import Console
from rich.measure import Measurement
from rich.table import Table

from analysis.cautions import SHORT
from analysis.forecasting.answer import answer
from analysis.forecasting.summary import Milestone, Share, Summary, not_needed_text
from analysis.forecasting.supply_table import SAID, supply_table
from analysis.pricing.ledger import Ledger
from analysis.pricing.money_answer import money_answer
from analysis.pricing.money_terminal import show_ledger
from analysis.statistics import MeanEstimate, QuantileEstimate
from analysis.wording import BEYOND, CONVENTION, date_text, days_text, lines, tell
from sim.scenario.scenario import Scenario

INTERVALS = "Brackets and ±: 95 % confidence interval, in days from the start."
SHARES = "Shares are of the time on location, ±: 95 % confidence; what keeps a unit below 1 % is not listed."
OWN = " Own: trouble of the unit itself, not of others it waits for."
TOO_FEW = "?: too few replications for that bound."
TRIFLE = 0.01  # share of the time on location below which a wait or trouble is not listed
WIDE, NARROW = 72, 33  # letters in a line of what keeps a unit from working


def show(summary: Summary, console: Console, ledger: Ledger | None = None) -> None:
    """Print the whole forecast, with what its ledger holds."""
    for sentence in [*answer(summary), *(money_answer(ledger) if ledger else ())]:
        tell(console, sentence)
    console.print()
    console.print(_fitting(console, lambda narrow: pad_table(summary, narrow)))
    tell(console, f"{CONVENTION} {INTERVALS} {TOO_FEW if _unbounded(summary) else ''}")
    console.print()
    console.print(_fitting(console, lambda narrow: well_table(summary, narrow)))
    tell(console, f"P50, below it P10 to P90. {CONVENTION} Their intervals are in dates.csv, with --out.")
    console.print()
    console.print(_fitting(console, lambda narrow: unit_table(summary, narrow)))
    tell(console, f"On location: P50 of arriving and of leaving. {CONVENTION} {not_needed_text(summary)}".rstrip())
    tell(console, SHARES + (OWN if _troubled(summary) else ""))
    tell(console, _paces(summary))
    if ledger is not None:
        show_ledger(ledger, console)
    console.print()
    if summary.supplies:
        console.print(_fitting(console, lambda narrow: supply_table(summary.supplies, narrow)))
        tell(console, SAID)
        console.print()
    tell(console, SHORT, style="dim")


def _fitting(console: Console, shape: Callable[[bool], Table]) -> Table:
    """The table in its wide shape, or in its narrow one where that would not fit the screen."""
    wide = shape(False)
    unconfined = Measurement.get(console, console.options.update(width=10_000), wide)
    return wide if unconfined.maximum <= console.width else shape(True)


def _unbounded(summary: Summary) -> bool:
    """Whether some bracket of the pad's table lacks a bound."""
    quantiles = [quantile for milestone in summary.pad for quantile in milestone.quantiles]
    return any(quantile.low_rank is None or quantile.high_rank is None for quantile in quantiles)


def _troubled(summary: Summary) -> bool:
    return any(share.kind == "trouble" for shares in summary.units.values() for share in shares)


def pad_table(summary: Summary, narrow: bool = False) -> Table:
    """Milestones of the pad: dates with their intervals, the mean, and what averages promise."""
    scenario, table = summary.forecast.scenario, _table("The pad")
    for heading in ("milestone", "P10", "P50", "P90", "mean", "plan of averages"):
        table.add_column(heading, overflow="fold")
    for milestone in summary.pad:
        quantiles = [_quantile_cell(scenario, quantile) for quantile in milestone.quantiles]
        rest = [_mean_cell(scenario, milestone), _averages_cell(scenario, milestone)]
        table.add_row(milestone.name, *(_shaped(cell, narrow) for cell in (*quantiles, *rest)))
    return table


def _shaped(parts: tuple[str, ...], narrow: bool) -> str:
    """A date, and below it what is said of it: on one line, or on one each."""
    date, *said = parts
    return "\n".join([date, *said] if narrow else [date, " ".join(said)])


def _quantile_cell(scenario: Scenario, quantile: QuantileEstimate) -> tuple[str, ...]:
    low = _bound(quantile.low, quantile.low_rank)
    interval = f"[{low}, {_bound(quantile.high, quantile.high_rank)}]"
    if quantile.value == inf:
        return (BEYOND, "" if low == "beyond" else interval)
    return (date_text(scenario, quantile.value), f"day {days_text(quantile.value)}", interval)


def _bound(hours: float, rank: int | None) -> str:
    if rank is None:
        return "?"
    return "beyond" if hours == inf else days_text(hours)


def _mean_cell(scenario: Scenario, milestone: Milestone) -> tuple[str, ...]:
    mean = milestone.mean
    if mean.mean == inf:
        return ("none:", f"{milestone.unfinished} of {milestone.replications}", "unfinished")
    interval = () if mean.high == inf else (f"± {(mean.high - mean.mean) / 24:.1f}",)
    return (date_text(scenario, mean.mean), f"day {days_text(mean.mean)}", *interval)


def _averages_cell(scenario: Scenario, milestone: Milestone) -> tuple[str, ...]:
    promised = date_text(scenario, milestone.averages_h)
    if milestone.later_than_averages is None:
        return (promised, BEYOND)
    return (promised, "too early in", f"{milestone.later_than_averages} of {milestone.replications}")


def well_table(summary: Summary, narrow: bool = False) -> Table:
    """Milestones of every well."""
    scenario, table = summary.forecast.scenario, _table("The wells")
    table.add_column("well", overflow="fold")
    for milestone in next(iter(summary.wells.values())):
        table.add_column(milestone.name.lower().replace(" ", "\n") if narrow else milestone.name.lower())
    for well, milestones in summary.wells.items():
        table.add_row(well, *(_span_cell(scenario, milestone, narrow) for milestone in milestones))
    return table


def _span_cell(scenario: Scenario, milestone: Milestone, narrow: bool) -> str:
    early, middle, late = (date_text(scenario, quantile.value) for quantile in milestone.quantiles)
    gap = "\n" if narrow else " "
    return BEYOND if early == BEYOND else f"{middle}\n{early} -{gap}{late}"


def unit_table(summary: Summary, narrow: bool = False) -> Table:
    """When each unit comes and goes, and what it does with its time on location."""
    table = _table("The units")
    for heading in ("unit", "on location", "works", "kept from working by"):
        table.add_column(heading, overflow="fold")
    for unit, shares in summary.units.items():
        stay = (" to\n" if narrow else " to ").join(_stay(summary, unit))
        table.add_row(unit, stay, _share_text(summary.works[unit]), _hindrances(shares, narrow))
    return table


def _stay(summary: Summary, unit: str) -> list[str]:
    return [date_text(summary.forecast.scenario, visit.quantiles[1].value) for visit in summary.visits[unit]]


def _hindrances(shares: tuple[Share, ...], narrow: bool) -> str:
    """What a unit waits for and what goes wrong, largest first but for trifles, each on one line."""
    notable = [share for share in shares if share.kind != "work" and share.share.mean >= TRIFLE]
    texts = [_hindrance(share).replace(" ", "\N{NO-BREAK SPACE}") for share in notable]
    return "\n".join(lines(", ".join(texts), NARROW if narrow else WIDE))


def _hindrance(share: Share) -> str:
    own = "own " if share.kind == "trouble" else ""
    return f"{own}{share.reason} {_share_text(share.share)}"


def _share_text(share: MeanEstimate) -> str:
    interval = f" ± {100 * (share.high - share.mean):.1f}" if share.high < inf else ""
    return f"{100 * share.mean:.1f}{interval} %"


def _paces(summary: Summary) -> str:
    texts = []
    for name, pace in summary.paces.items():
        interval = f" ± {pace.high - pace.mean:.2f}" if pace.high < inf else ""
        texts.append(f"{name.lower()} {pace.mean:.2f}{interval}")
    return "From the first stage to the last: " + ", ".join(texts) + " (mean, ±: 95 % confidence)."


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
