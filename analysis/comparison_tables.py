"""A comparison on the terminal: the answer in sentences, then the plans, then every pair."""

from __future__ import annotations

from math import inf

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.comparison_answer import answer
from analysis.comparison_wording import (
    chance_text,
    interval_text,
    median_text,
    number_text,
    percents,
    quantile_text,
    times_text,
    unit_of,
    value_text,
)
from analysis.pairs import Pair
from analysis.verdict import Verdict
from analysis.wording import CONVENTION, tell

OF_NUMBERS = "P90: 90 % chance of no more; P10 and P50 likewise."
BRACKETS = "Brackets and ±: 95 % confidence"
TOGETHER = "Place and how far behind hold for all plans at once with 95 % confidence (paired-t intervals, Bonferroni)."
BY_CHANCE = (
    "Places hold for all plans at once with 95 % confidence (which of two is likelier to do better, Bonferroni)."
)
PAIRED = (
    "Independent runs: how many times as many replications they would need for the same interval of the mean "
    "difference, as measured here; -: it never varies, or there are too few to tell."
)


def show(verdict: Verdict, console: Console) -> None:
    """Print the whole comparison."""
    for sentence in answer(verdict):
        tell(console, sentence)
    console.print()
    console.print(plans_table(verdict))
    tell(console, _below_plans(verdict))
    console.print()
    console.print(pairs_table(verdict))
    tell(console, _below_pairs(verdict))
    console.print()
    tell(console, SHORT, style="dim")


def plans_table(verdict: Verdict) -> Table:
    """Every plan, the best first."""
    table = _table(f"The plans: {verdict.measure.name}")
    for heading in ("plan", "P10", "P50", "P90", "mean", "best in", "place", f"{unit_of(verdict.measure)} behind"):
        table.add_column(heading, overflow="fold")
    for name in verdict.in_order:
        standing = verdict.ranking.standings[verdict.names.index(name)]
        table.add_row(
            name,
            *(_quantile_cell(verdict, name, place) for place in range(3)),
            _mean_cell(verdict, name),
            f"{chance_text(standing.best)}\n{percents(standing.best)}",
            _place(*standing.ranks),
            _behind(verdict, standing.behind),
        )
    return table


def _quantile_cell(verdict: Verdict, name: str, place: int) -> str:
    measure, quantile = verdict.measure, verdict.quantiles[name][place]
    date = quantile_text(verdict.comparison.base, measure, quantile)
    dated = measure.kind == "date" and quantile.value is not None
    day = f"{number_text(measure, quantile.least)} " if dated else ""
    return f"{date}\n{day}{interval_text(measure, quantile.low, quantile.high)}"


def _mean_cell(verdict: Verdict, name: str) -> str:
    mean, measure = verdict.means[name], verdict.measure
    if mean is None:
        return f"none:\n{verdict.seen[name].unfinished} unfinished"
    half = "" if mean.high == inf else f" ± {number_text(measure, mean.high - mean.mean)}"
    first = value_text(verdict.comparison.base, measure, mean.mean)
    return f"{first}\n{number_text(measure, mean.mean)}{half}" if measure.kind == "date" else f"{first}{half}"


def _place(first: int, last: int) -> str:
    return str(first) if first == last else f"{first} to {last}"


def _behind(verdict: Verdict, behind: tuple[float, float] | None) -> str:
    if behind is None:
        return "-"
    return "-" if behind == (0.0, 0.0) else interval_text(verdict.measure, *behind)


def _below_plans(verdict: Verdict) -> str:
    how = TOGETHER if verdict.ranking.by_means else BY_CHANCE
    factors = [mean.factor for mean in verdict.means.values() if mean is not None and mean.factor > 1]
    convention = f"{CONVENTION} Below each, the day." if verdict.measure.kind == "date" else OF_NUMBERS
    helped = (
        " Means are freed of the known luck of flowback hours, which here cut their variance "
        f"{min(factors):.2f} to {max(factors):.2f}-fold."
        if factors
        else ""
    )
    return f"{convention} {BRACKETS}. Best in: replications in which no other plan was better. {how}{helped}"


def pairs_table(verdict: Verdict) -> Table:
    """A against B for every two plans."""
    better = verdict.measure.words[0]
    table = _table(f"Pairs under the same luck: A less B, {unit_of(verdict.measure)}")
    for heading in ("A", "B", "mean", "median", f"A {better} in", "level in", "correlation", "independent runs"):
        table.add_column(heading, overflow="fold")
    for (a, b), pair in verdict.pairs.items():
        table.add_row(
            a, b, _difference_cell(verdict, pair), _median_cell(verdict, pair),
            f"{chance_text(pair.better)}\n{percents(pair.better)}", str(pair.level or "-"),
            "-" if pair.correlation is None else f"{pair.correlation:.2f}", times_text(pair),
        )  # fmt: skip
    return table


def _difference_cell(verdict: Verdict, pair: Pair) -> str:
    if pair.mean is None:
        return f"none: {pair.unfinished[0]}, {pair.unfinished[1]}\nunfinished"
    measure, mean = verdict.measure, pair.mean
    return f"{number_text(measure, mean.mean)}\n{interval_text(measure, mean.low, mean.high)}"


def _median_cell(verdict: Verdict, pair: Pair) -> str:
    measure, median = verdict.measure, pair.median
    return f"{median_text(measure, median)}\n{interval_text(measure, median.low, median.high)}"


def _below_pairs(verdict: Verdict) -> str:
    sign = "Above" if verdict.measure.larger_is_better else "Below"
    better = verdict.measure.words[0]
    return f"{sign} zero: A is {better}. {BRACKETS}, of each pair by itself; ?: no bound known. {PAIRED}"


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
