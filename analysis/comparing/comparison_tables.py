"""A comparison on the terminal: the answer in sentences, then the plans, then every pair."""

from __future__ import annotations

from math import inf

from rich.console import Console
from rich.measure import Measurement
from rich.table import Table

from analysis.cautions import SHORT
from analysis.comparing.comparison_answer import answer
from analysis.comparing.comparison_wording import (
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
from analysis.comparing.pairs import Pair
from analysis.comparing.verdict import Verdict
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
    _print(console, f"The plans: {verdict.measure.name}", plan_rows(verdict), keys=1)
    tell(console, below_plans(verdict))
    console.print()
    _print(console, f"Pairs under the same luck: A less B, {unit_of(verdict.measure)}", pair_rows(verdict), keys=2)
    tell(console, below_pairs(verdict))
    console.print()
    tell(console, SHORT, style="dim")


def _print(console: Console, title: str, rows: list[dict[str, str]], keys: int) -> None:
    """A table of rows by heading; on a screen that is too narrow in two, each with the first `keys` columns."""
    headings = list(rows[0])
    whole = _table(title, rows, headings)
    if Measurement.get(console, console.options.update(width=10_000), whole).maximum <= console.width:
        console.print(whole)
        return
    middle = (len(headings) + keys) // 2
    console.print(_table(title, rows, headings[:middle]))
    console.print()
    console.print(_table(f"{title} (continued)", rows, [*headings[:keys], *headings[middle:]]))


def plan_rows(verdict: Verdict) -> list[dict[str, str]]:
    """Every plan by heading, the best first."""
    return [_plan_row(verdict, name) for name in verdict.in_order]


def _plan_row(verdict: Verdict, name: str) -> dict[str, str]:
    standing = verdict.ranking.standings[verdict.names.index(name)]
    return {
        "plan": name,
        **{label: _quantile_cell(verdict, name, place) for place, label in enumerate(("P10", "P50", "P90"))},
        "mean": _mean_cell(verdict, name),
        "best in": f"{chance_text(standing.best)}\n{percents(standing.best)}",
        "place": _place(*standing.ranks),
        f"{unit_of(verdict.measure)} behind": _behind(verdict, standing.behind),
    }


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


def below_plans(verdict: Verdict) -> str:
    """What must be known to read the table of plans."""
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


def pair_rows(verdict: Verdict) -> list[dict[str, str]]:
    """A against B for every two plans, by heading."""
    return [
        {
            "A": a,
            "B": b,
            "mean": _difference_cell(verdict, pair),
            "median": _median_cell(verdict, pair),
            f"A {verdict.measure.words[0]} in": f"{chance_text(pair.better)}\n{percents(pair.better)}",
            "level in": str(pair.level or "-"),
            "correlation": "-" if pair.correlation is None else f"{pair.correlation:.2f}",
            "independent runs": times_text(pair),
        }
        for (a, b), pair in verdict.pairs.items()
    ]


def _difference_cell(verdict: Verdict, pair: Pair) -> str:
    if pair.mean is None:
        return f"none: {pair.unfinished[0]}, {pair.unfinished[1]}\nunfinished"
    measure, mean = verdict.measure, pair.mean
    return f"{number_text(measure, mean.mean)}\n{interval_text(measure, mean.low, mean.high)}"


def _median_cell(verdict: Verdict, pair: Pair) -> str:
    measure, median = verdict.measure, pair.median
    return f"{median_text(measure, median)}\n{interval_text(measure, median.low, median.high)}"


def below_pairs(verdict: Verdict) -> str:
    """What must be known to read the table of pairs."""
    sign = "Above" if verdict.measure.larger_is_better else "Below"
    better = verdict.measure.words[0]
    return f"{sign} zero: A is {better}. {BRACKETS}, of each pair by itself; ?: no bound known. {PAIRED}"


def _table(title: str, rows: list[dict[str, str]], headings: list[str]) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    for heading in headings:
        table.add_column(heading, overflow="fold")
    for row in rows:
        table.add_row(*(row[heading] for heading in headings))
    return table
