"""The picture of a sweep: lines over one path, a map over two."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from analysis.figures import theme
from analysis.figures.sweep_lines import Line, Mark, sweep_lines
from analysis.figures.sweep_map import Bend, Side, sweep_map
from analysis.studies.knee import Knee, NoKnee
from analysis.studies.knees import P90, Found
from analysis.studies.paths_in_plan import Axis
from analysis.studies.sweep import Swept

MOST_NUMBERS, MOST_WORDS = 12, 9  # that stand below an axis


def draw(swept: Swept, found: Found, folder: Path) -> None:
    """Draw it into `folder`."""
    folder.mkdir(parents=True, exist_ok=True)
    if len(swept.axes) == 2:
        _map(swept, found, folder)
    else:
        _lines(swept, found, folder)


def _lines(swept: Swept, found: Found, folder: Path) -> None:
    axis = swept.axes[0]
    lines = {
        name: Line(*(np.array([getattr(each[place], side) for each in swept.estimates]) for side in _SIDES))
        for place, name in enumerate(("P10", "P50", "P90"))
    }
    beyond = int(np.isinf(swept.quantiles(P90)).sum())
    notes = (
        [f"At {beyond} of {len(axis.values)} values P90 lies beyond the horizon and is not drawn."] if beyond else []
    )
    if isinstance(found, NoKnee):
        notes.append(f"No knee of P90: {found.reason}.")
    axes = sweep_lines(
        axis.numbers,
        lines,
        swept.scenario.start,
        x_name=_name(axis),
        title=f"{swept.scenario.title}: {swept.milestone}",
        labels=_labels(axis),
        mark=_mark(axis, found),
        planned=axis.planned,
        notes=notes,
    )
    theme.save(theme.settle(axes), folder / "sweep")


_SIDES = ("value", "low", "high")


def _mark(axis: Axis, found: Found) -> Mark | None:
    if not isinstance(found, Knee):
        return None
    interval = f"[{axis.place_text(found.low)}, {axis.place_text(found.high)}]"
    return Mark(found.place, found.low, found.high, f"knee of P90\n{axis.place_text(found.place)}\n{interval}")


def _name(axis: Axis) -> str:
    return f"{axis.path} ({axis.unit})" if axis.kind == "number" and axis.unit else axis.path


def _labels(axis: Axis) -> tuple[str, ...] | None:
    """Words and dates stand as they are; so do few numbers, which are then the ones that were played."""
    if axis.kind == "number" and len(axis.numbers) > MOST_NUMBERS:
        return None
    if axis.kind == "number":
        return tuple(f"{number:g}" for number in axis.numbers)
    every = -(-len(axis.values) // MOST_WORDS)  # a word below each would run into the next
    return tuple("" if place % every else axis.text(place).removesuffix(" 00:00") for place in range(len(axis.values)))


def _map(swept: Swept, found: Found, folder: Path) -> None:
    across, upwards = (Side(_name(axis), np.array(axis.numbers), _labels(axis), axis.planned) for axis in swept.axes)
    axes = sweep_map(
        across,
        upwards,
        swept.quantiles(P90).reshape(len(across.numbers), len(upwards.numbers)),
        swept.scenario.start,
        title=f"{swept.scenario.title}: {swept.milestone}",
        what="Contours: date with 90 % chance done by (P90)",
        notes=_notes(swept, _bends(swept, found)),
        bends=_bends(swept, found),
    )
    theme.save(theme.settle(axes), folder / "sweep")


def _bends(swept: Swept, found: Found) -> list[Bend]:
    """The knees along both sides of the map, where they are stated."""
    if found is None or isinstance(found, Knee | NoKnee):
        return []
    return [
        Bend(each.place, each.low, each.high, along.other.numbers[place], upwards=along.axis is swept.axes[1])
        for along in found
        for place, each in enumerate(along.found)
        if isinstance(each, Knee)
    ]


def _notes(swept: Swept, bends: list[Bend]) -> tuple[str, ...]:
    beyond = int(np.isinf(swept.quantiles(P90)).sum())
    crosses = f" Crosses: {beyond} points where it lies beyond the horizon." if beyond else ""
    bars = " Bars: knee of P90 along that row or column, with its 95 % interval." if bends else ""
    return (f"All points share the luck of the same {swept.replications} replications.{crosses}{bars}",)
