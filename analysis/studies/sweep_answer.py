"""What a sweep says, in sentences and as a table."""

from __future__ import annotations

from math import inf, isfinite

import numpy as np
from rich.console import Console
from rich.table import Table

from analysis.forecasting.terminal import INTERVALS, TOO_FEW
from analysis.statistics import QuantileEstimate
from analysis.studies.knee import Knee, NoKnee
from analysis.studies.knees import P90, Along, Found
from analysis.studies.paths_in_plan import Axis
from analysis.studies.sweep import Swept
from analysis.wording import BEYOND, CONVENTION, date_text, days_text, in_two_lines, tell

HELPS_DAYS = 0.05  # a day's part that no plan is made for


def sentences(swept: Swept, found: Found) -> list[str]:
    """The answer, most important first."""
    if not isinstance(found, Knee | NoKnee):
        return [*_of_map(swept), *_of_knees(found)] if len(swept.axes) == 2 else [_span(swept)]
    return [_span(swept), _of_knee(swept, swept.axes[0], found)]


def _span(swept: Swept) -> str:
    late = swept.quantiles(P90)
    worst, best = int(np.argmax(late)), int(np.argmin(late))
    if late[best] == inf:
        return f"P90 of {swept.milestone} lies {BEYOND} at every point."
    if late[worst] - late[best] < HELPS_DAYS * 24:
        return f"P90 of {swept.milestone} stays at {date_text(swept.scenario, late[best])} whatever {_paths(swept)} is."
    return (
        f"P90 of {swept.milestone} goes from {date_text(swept.scenario, late[worst])} at {_at(swept, worst)} "
        f"to {date_text(swept.scenario, late[best])} at {_at(swept, best)}{_gain(late[worst] - late[best])}."
    )


def _gain(hours: float) -> str:
    return f", {days_text(hours)} days earlier" if isfinite(hours) else ""


def _paths(swept: Swept) -> str:
    return " and ".join(axis.path for axis in swept.axes)


def _at(swept: Swept, row: int) -> str:
    """Where a point stands; with one path its value says enough."""
    places = swept.points[row]
    if len(places) == 1:
        return f"{swept.axes[0].path} {swept.axes[0].text(places[0])}"
    return " and ".join(f"{axis.path} {axis.text(place)}" for axis, place in zip(swept.axes, places, strict=True))


def _of_knee(swept: Swept, axis: Axis, found: Knee | NoKnee) -> str:
    if isinstance(found, NoKnee):
        return f"No knee: {found.reason}."
    where = f"{axis.place_text(found.place)} [{axis.place_text(found.low)}, {axis.place_text(found.high)}]"
    step = axis.numbers[1] - axis.numbers[0]
    unit = axis.amount_text(step)
    before, beyond = (round(slope * step / 24, 1) + 0.0 for slope in (found.before, found.beyond))  # no "-0.0"
    moves = f"{unit} more moves P90 by {before:+.1f} days just before the knee and by {beyond:+.1f} days beyond it"
    if abs(found.before) < abs(found.beyond):
        return f"The knee is at {where}: up to there it hardly matters; {moves}."
    no_longer = "costs no more" if found.before > 0 else "stops paying"
    return f"The knee is at {where}: beyond it one more step {no_longer}; {moves}."


def _of_knees(found: Found) -> list[str]:
    """Where the knee lies along each of two paths, from the one end of the other to its other end."""
    assert found is None or not isinstance(found, Knee | NoKnee)
    return [_along(each) for each in found or ()]


def _along(along: Along) -> str:
    known = [place for place, each in enumerate(along.found) if isinstance(each, Knee)]
    if not known:
        return f"Along {along.axis.path} no knee is stated at any {along.other.path}; why stands below."
    ends = [known[0], *known[-1:]] if len(known) > 1 else known
    told = " and ".join(f"{_where(along, place)} with {along.other.path} {along.other.text(place)}" for place in ends)
    without = len(along.found) - len(known)
    rest = f"; at {without} of {len(along.found)} values none is stated, see below" if without else ""
    return f"Along {along.axis.path} the knee is at {told}{rest}."


def _where(along: Along, place: int) -> str:
    found, axis = along.found[place], along.axis
    if isinstance(found, NoKnee):
        return f"none: {found.reason}"
    if axis.kind == "date":
        return f"{axis.place_text(found.place)} [{axis.place_text(found.low)}, {axis.place_text(found.high)}]"
    return f"{found.place:.3g} [{found.low:.3g}, {found.high:.3g}] {axis.unit}".strip()


def _of_map(swept: Swept) -> list[str]:
    late = swept.quantiles(P90)
    best = float(late.min())
    if best == inf:
        return [_span(swept)]
    first = next(row for row in range(len(late)) if late[row] <= best + 24.0)
    least = f"Within a day of the best is also {_at(swept, first)}." if first != int(np.argmin(late)) else ""
    return [_span(swept), *([least] if least else []), *_fixed(swept)]


def _fixed(swept: Swept) -> list[str]:
    """How much each of two paths moves the date while the other stays, on average."""
    late = swept.quantiles(P90).reshape([len(axis.values) for axis in swept.axes])
    if not np.isfinite(late).all():
        return [f"At {int(np.isinf(late).sum())} of {late.size} points P90 lies {BEYOND}."]
    spans = [float(np.ptp(late, axis=number).mean()) / 24 for number in (0, 1)]
    said = [f"{axis.path} by {span:.1f} days" for axis, span in zip(swept.axes, spans, strict=True)]
    return [f"Over its range, with the other held, it is moved by {said[0]}, and by {said[1]} (means)."]


def show(swept: Swept, found: Found, console: Console) -> None:
    """Print the answer, then every point."""
    tell(console, f"{swept.scenario.title}:")
    for sentence in sentences(swept, found):
        tell(console, sentence)
    console.print()
    console.print(_table(swept))
    unbounded = any(each.low_rank is None or each.high_rank is None for row in swept.estimates for each in row)
    tell(console, f"{CONVENTION} {INTERVALS}{f' {TOO_FEW}' if unbounded else ''}")
    if found is not None and not isinstance(found, Knee | NoKnee):
        for along in found:
            console.print()
            console.print(_knees(along))
        console.print()
    said = f"All points share the luck of the same {swept.replications} replications, so that they differ by the plan"
    each = ", of each line by itself" if len(swept.axes) == 2 else ""
    knee = f" Knee: where a fit in two pieces bends, with its 95 % interval from resampled luck{each}." if found else ""
    tell(console, f"{said} alone.{knee}")


def _table(swept: Swept) -> Table:
    return _grid(swept) if len(swept.axes) == 2 else _list(swept)


def _list(swept: Swept) -> Table:
    """One path: a line for each value."""
    table = _plain(swept.milestone[0].upper() + swept.milestone[1:])
    for heading in (in_two_lines(swept.axes[0].path), "P10", "P50", "P90"):
        table.add_column(heading, overflow="fold")
    for (place,), estimates in zip(swept.points, swept.estimates, strict=True):
        cells = [_cell(swept, each, "  ") for each in estimates]
        table.add_row(swept.axes[0].text(place), *cells)
    return table


def _grid(swept: Swept) -> Table:
    """Two paths: P90 alone, the first path downwards and the second across."""
    down, across = swept.axes
    table = _plain(f"P90 of {swept.milestone}; across: {across.path}")
    table.add_column(in_two_lines(down.path), overflow="fold")
    for place in range(len(across.values)):
        table.add_column(across.text(place), overflow="fold")
    late = [estimates[P90] for estimates in swept.estimates]
    for row in range(len(down.values)):
        of_row = late[row * len(across.values) : (row + 1) * len(across.values)]
        table.add_row(down.text(row), *(_cell(swept, each, "\n") for each in of_row))
    return table


def _knees(along: Along) -> Table:
    """The knee along one path, a line for each value of the other."""
    table = _plain(f"Knee of P90 along {along.axis.path}")
    for heading in (in_two_lines(along.other.path), "knee"):
        table.add_column(heading, overflow="fold")
    for place in range(len(along.found)):
        table.add_row(along.other.text(place), _where(along, place))
    return table


def _plain(title: str) -> Table:
    return Table(title=title, box=None, pad_edge=False, header_style="dim", title_justify="left", title_style="bold")


def _cell(swept: Swept, estimate: QuantileEstimate, gap: str) -> str:
    if estimate.value == inf:
        return BEYOND
    day = "" if gap == "\n" else f"day {days_text(estimate.value)} "
    low, high = _bound(estimate.low, estimate.low_rank), _bound(estimate.high, estimate.high_rank)
    return f"{date_text(swept.scenario, estimate.value)}{gap}{day}[{low}, {high}]"


def _bound(hours: float, rank: int | None) -> str:
    if rank is None:
        return "?"
    return "beyond" if hours == inf else days_text(hours)
