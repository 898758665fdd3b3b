"""Where the days go, on the terminal: the answer in sentences, then tables that add up."""

from __future__ import annotations

from collections.abc import Iterable

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.chains.chain_answer import chain_answer, days_said, spread_of
from analysis.chains.chain_summary import Part, WhereDaysGo
from analysis.statistics import QuantileEstimate, ShareEstimate
from analysis.wording import percent, tell

CONVENTION = "P90: 90 % chance of no more days than that; P10 and P50 likewise. Means add up, percentiles do not."
INTERVALS = "Brackets and ±: 95 % confidence interval."
ON_CHAIN = "On the chain: in how many of the replications any of it is."
TOO_FEW = " ?: too few replications for that bound."
CHAIN = (
    "The chain goes from the milestone back to the start: what it waited for, what that waited for, and so on. "
    "What is not on it may be late without moving the milestone, as long as it stays off it."
)


def show_where(where: WhereDaysGo, console: Console) -> None:
    """Print all of it."""
    for sentence in chain_answer(where):
        tell(console, sentence)
    if where.days is None:
        return
    console.print()
    console.print(kinds_table(where, where.days))
    bounded = all(bound is not None for part in _all(where) for bound in _ranks(part))
    tell(console, f"{CONVENTION} {INTERVALS}{'' if bounded else TOO_FEW}")
    console.print()
    console.print(units_table(where, where.days))
    tell(console, ON_CHAIN)
    tell(console, CHAIN)
    console.print()
    tell(console, SHORT, style="dim")


def _all(where: WhereDaysGo) -> Iterable[Part]:
    return [part for parts in where.kinds.values() for part in parts]


def _ranks(part: Part) -> list[int | None]:
    return [rank for quantile in part.quantiles for rank in (quantile.low_rank, quantile.high_rank)]


def kinds_table(where: WhereDaysGo, days: Part) -> Table:
    """By activity, by cause of waiting and by trouble, with the sum of each kind."""
    table = _table(f"Days from the start to {where.goal.name}")
    for kind, parts in where.kinds.items():
        table.add_row(kind, days_said(sum(part.shown for part in parts)), style="bold")
        for part in parts:
            table.add_row(*_cells(part, where.reached, "  "))
    table.add_row(*_cells(days._replace(name="In all"), where.reached), style="bold")
    return table


def units_table(where: WhereDaysGo, days: Part) -> Table:
    """By unit: work, its waits for shift, weather, water and the like, and its troubles."""
    table = _table("The same days by unit")
    for part in where.units:
        table.add_row(*_cells(part, where.reached))
    table.add_row(*_cells(days._replace(name="In all"), where.reached), style="bold")
    return table


def _table(title: str) -> Table:
    look = {"title_justify": "left", "title_style": "bold", "header_style": "dim"}
    table = Table(title=title, box=None, pad_edge=False, **look)  # type: ignore[arg-type]
    table.add_column("", overflow="fold")
    for heading in ("mean", "P10", "P50", "P90", "on the chain"):
        table.add_column(heading, overflow="fold")
    return table


def _cells(part: Part, reached: int, indent: str = "") -> list[str]:
    mean = f"{days_said(part.shown)}{spread_of(part)}"
    return [indent + part.name, mean, *map(_quantile, part.quantiles), _share(part.on_chain, reached)]


def _quantile(quantile: QuantileEstimate) -> str:
    low, high = (
        "?" if rank is None else f"{bound:.1f}"
        for rank, bound in ((quantile.low_rank, quantile.low), (quantile.high_rank, quantile.high))
    )
    return f"{quantile.value:.1f} [{low}, {high}]"


def _share(share: ShareEstimate, reached: int) -> str:
    """A share with its interval, in words where it is all."""
    if share.share == 1:
        return f"always, {reached} of {reached}"
    said = ">99 %" if share.share > 0.995 else percent(share.share)
    return f"{said} [{100 * share.low:.0f}, {100 * share.high:.0f}]"
