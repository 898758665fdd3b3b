"""What drives a date, in sentences and as a table."""

from __future__ import annotations

from math import isfinite

from rich.console import Console
from rich.table import Table

from analysis.statistics import MeanEstimate
from analysis.studies.drivers import TRIFLE, Drivers
from analysis.studies.sensitivity import Shares
from analysis.wording import date_text, in_two_lines, percent, tell
from sim.scenario.written import as_written

HALF = 0.5


def sentences(found: Drivers) -> list[str]:
    """The answer, most important first: inputs, or luck where it makes more than all of them."""
    if found.shares is None:
        nothing = f"Of all that is uncertain, nothing moves {found.milestone}: its spread is luck alone."
        return [nothing, *_luck_taken(found)]
    weighed = [_inputs(found, found.shares), _luck(found, found.shares)]
    return [*(weighed if found.shares.luck[0] < HALF else reversed(weighed)), *_held(found), *_luck_taken(found)]


def _inputs(found: Drivers, shares: Shares) -> str:
    by_share = sorted(range(len(found.kept)), key=lambda k: -shares.total[k])
    first, *others = [(found.inputs[found.kept[k]].path, total_of(shares, k)) for k in by_share]
    then = f"; then {', '.join(f'{path} ({share})' for path, share in others[:2])}" if others else ""
    return f"Of what is uncertain, {first[0]} moves {found.milestone} most: {first[1]} of the variance{then}."


def _luck(found: Drivers, shares: Shares) -> str:
    spread_days = shares.variance**0.5 / 24
    left_days = spread_days * shares.luck[0] ** 0.5
    return (
        f"Luck makes {share_of(*shares.luck)} of the variance of {found.milestone}, which no better data could remove: "
        f"if every input were known, a standard deviation of {spread_days:.1f} days would become {left_days:.1f}."
    )


def _held(found: Drivers) -> list[str]:
    held = [found.inputs[k].path for k in range(len(found.inputs)) if k not in found.kept]
    if not held:
        return []
    return [
        f"Held at the middle, for screening shows no effect above {percent(TRIFLE)} of the largest: {', '.join(held)}."
    ]


def _luck_taken(found: Drivers) -> list[str]:
    if not found.luck_taken:
        return []
    listed = ", ".join(found.luck_taken)
    return [
        f"Mind: the plan states {listed} as luck, drawn anew for every job; as an uncertain input it has one value for "
        "all jobs of a play. To keep the luck, name a number of its distribution instead."
    ]


def share_of(share: float, low: float, high: float) -> str:
    """A share with its 95 % interval."""
    low, high = round(100 * low) + 0, round(100 * high) + 0  # no "-0"
    return f"{round(100 * share)} % [{low}, {high}]"


def total_of(shares: Shares, k: int) -> str:
    """What an input makes with all it interacts with."""
    return _around(shares.total[k], shares.total_half_width[k])


def _around(share: float, half_width: float) -> str:
    return share_of(share, share - half_width, share + half_width)


def show(found: Drivers, console: Console) -> None:
    """Print the answer, then each input."""
    tell(console, f"{found.scenario.title}:")
    for sentence in sentences(found):
        tell(console, sentence)
    console.print()
    console.print(_table(found))
    low, high = (date_text(found.scenario, hours) for hours in found.luck_span)
    tell(
        console,
        f"With every input at its middle, luck alone spreads {found.milestone} from {low} (P10) to {high} (P90).",
    )
    tell(console, _LEGEND)


_LEGEND = (
    "Low and high: the input's own 10 % and 90 % quantile, all others at their middle; mean dates, ±: 95 % confidence. "
    "Screened: mean move, in days, between its 12.5 % and 87.5 % quantile, wherever the others are. Alone: share of "
    "the variance that knowing this input would remove on average. With all: that plus what it makes together with "
    "others and with luck, so these may add up to more than all. Brackets: 95 % bootstrap interval."
)


def _table(found: Drivers) -> Table:
    table = Table(box=None, pad_edge=False, header_style="dim", title_justify="left", title_style="bold")
    table.title = f"What is uncertain about {found.milestone}"
    for heading in ("input", "low to high", "date at low", "at high", "moves, days", "screened", "alone", "with all"):
        table.add_column(heading, overflow="fold")
    for number in ranked(found):
        table.add_row(*_cells(found, number))
    if found.shares is not None:
        table.add_row("luck", "", "", "", "", "", "", share_of(*found.shares.luck))
    return table


def ranked(found: Drivers) -> list[int]:
    """Inputs by their share of the variance, those held by their effect."""

    def weight(number: int) -> tuple[float, float]:
        share = -1.0
        if found.shares is not None and number in found.kept:
            share = float(found.shares.total[found.kept.index(number)])
        return share, float(found.effects.size[number])

    return sorted(range(len(found.inputs)), key=weight, reverse=True)


def _cells(found: Drivers, number: int) -> list[str]:
    swing, effects = found.swings[number], found.effects
    dates = [date_text(found.scenario, each.mean) for each in (swing.low, swing.high)]
    return [
        in_two_lines(found.inputs[number].path),
        " to ".join(in_short(value) for value in swing.values),
        *dates,
        _days(swing.change),
        f"{effects.size[number] / 24:.1f} ± {effects.half_width[number] / 24:.1f}",
        *_shares_of(found, number),
    ]


def in_short(value: object) -> str:
    """A drawn value to three figures, with its unit."""
    number, _, unit = as_written(value).partition(" ")
    return f"{float(number):.3g} {unit}".strip()


def _days(change: MeanEstimate) -> str:
    interval = f" ± {(change.high - change.mean) / 24:.1f}" if isfinite(change.high) else ""
    return f"{round(change.mean / 24, 1) + 0.0:+.1f}{interval}"  # no "-0.0"


def _shares_of(found: Drivers, number: int) -> tuple[str, str]:
    shares = found.shares
    if shares is None or number not in found.kept:
        return ("held", "held")
    k = found.kept.index(number)
    return _around(shares.first[k], shares.first_half_width[k]), total_of(shares, k)
