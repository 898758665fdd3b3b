"""All that is held on one axis of time: storage on the pad, ponds and proppant, with outages of sources and stages."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

import numpy as np
import pandas as pd
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.bars import swatch
from analysis.figures.room import Room, Spot
from analysis.figures.stage_lanes import PUMPED, draw_stages, stages_height_in, wells_pumped
from analysis.figures.supply_rows import Shown, level_line, one_supply, pumping_rows, shown_rows
from analysis.figures.supply_waits import Lane, draw_waits, share_text

WAITS = Lane(1.13, 0.07, 1.22)
OUTAGE = theme.TROUBLE


class Held(NamedTuple):
    """A store or pond to show: its name in the log, its limits in the log's unit, and how the picture counts it."""

    supply: str
    capacity: float
    minimum: float
    scale: float
    unit: str
    colour: str


class Feeder(NamedTuple):
    """A source and the rate, an hour, at which it delivers when nothing is wrong."""

    supply: str
    rate: float


def supply_levels(
    levels: pd.DataFrame,
    intervals: pd.DataFrame,
    held: Sequence[Held],
    feeders: Sequence[Feeder],
    start: datetime,
    zoom: tuple[float, float] | None = None,
    *,
    title: str = "Supplies",
) -> Axes:
    """A panel for each of `held`, one with a lane for each of `feeders`, one with a lane for each well.

    `levels` and `intervals` are the rows of one replication; `zoom` the first and last hour to show. Returns the top
    axes.
    """
    on_pad = [each for each in held if each.supply in set(levels["supply"])]
    whole = shown_rows(levels[levels["supply"].isin([each.supply for each in on_pad])], intervals, zoom)
    outages = {feeder.supply: outage_spans(levels, feeder, whole) for feeder in feeders}
    wells = wells_pumped(whole)
    heights = [1.5] * len(on_pad) + ([0.2 + 0.17 * len(outages)] if outages else [])
    heights += [stages_height_in(wells, 0.2, 0.17)] if wells else []
    panels = theme.new_axes(1.5 + sum(heights), heights)
    for number, (ax, each) in enumerate(zip(panels, on_pad, strict=False)):
        shown = whole._replace(levels=one_supply(levels, each.supply))
        _level(ax, shown, each, start, title if number == 0 else "")
    rest = iter(panels[len(on_pad) :])
    if outages:
        _outages(next(rest), outages, start)
    if wells:
        draw_stages(next(rest), whole, start, wells)
    _finish(panels, whole, start, _note(whole, outages))
    for ax, each in zip(panels, on_pad, strict=False):
        _words(ax, whole._replace(levels=one_supply(levels, each.supply)), each, start)
    return panels[0]


def outage_spans(levels: pd.DataFrame, feeder: Feeder, shown: Shown) -> list[tuple[float, float]]:
    """Hours in which a source could deliver less than its rate, from when it first could deliver at all."""
    rows = levels[levels["supply"] == feeder.supply]
    times = np.append(rows["time_h"].to_numpy(float), shown.to_h)
    able = rows["inflow"].to_numpy(float)
    begun = np.maximum.accumulate(able > 0) if len(able) else np.zeros(0, dtype=bool)
    short = begun & (able < feeder.rate * (1 - 1e-9))
    spans: list[tuple[float, float]] = []
    for number in np.flatnonzero(short):
        from_h, to_h = max(times[number], shown.from_h), min(times[number + 1], shown.to_h)
        if from_h < to_h:
            goes_on = bool(spans) and spans[-1][1] == from_h
            spans[-1:] = [(spans[-1][0], to_h)] if goes_on else [*spans[-1:], (from_h, to_h)]
    return spans


def _level(ax: Axes, shown: Shown, each: Held, start: datetime, title: str) -> None:
    theme.dress(ax, title, grid="both", with_key=bool(title))
    x, level = _line(shown, each, start)
    capacity, minimum = each.capacity * each.scale, each.minimum * each.scale
    ax.fill_between(x, level, color=theme.tint(each.colour, 0.25), linewidth=0.0)
    ax.plot(x, level, color=theme.shade(each.colour, 0.75), linewidth=0.9)
    for limit in [capacity, *([minimum] if minimum else [])]:
        ax.axhline(limit, color=theme.INK, linewidth=0.9, linestyle=(0, (4, 3)))
    draw_waits(ax, shown, start, capacity, WAITS)
    ax.set_ylim(0.0, WAITS.top * capacity)
    theme.name_axes(ax, y=f"{each.supply}\n({each.unit})")
    if title:
        theme.key(ax, {
            f"a unit waits for this supply{share_text(shown)}": swatch(theme.WATER_WAIT_MARK),
            "a source delivers less than its rate": swatch(OUTAGE),
            "stage pumped": swatch(PUMPED),
        })  # fmt: skip


def _line(shown: Shown, each: Held, start: datetime) -> tuple[np.ndarray, np.ndarray]:
    hours, level = level_line(shown, each.capacity)
    return theme.positions(start, hours), level * each.scale


def _place(start: datetime, from_h: float, to_h: float) -> tuple[float, float]:
    """Start and length on the date axis."""
    begin, end = theme.positions(start, np.array([from_h, to_h]))
    return float(begin), float(end - begin)


def _words(ax: Axes, shown: Shown, each: Held, start: datetime) -> None:
    room, (x, level) = Room(ax), _line(shown, each, start)
    room.keep_clear(x, level)
    capacity, minimum = each.capacity * each.scale, each.minimum * each.scale
    room.write(f"capacity {capacity:,.4g}", _spots(x, capacity), fontsize=theme.SMALL)
    if minimum:
        room.write(f"working minimum {minimum:,.4g}", _spots(x, minimum), fontsize=theme.SMALL)


def _spots(x: np.ndarray, limit: float) -> list[Spot]:
    """Places along a limit, from its left end on, below it or above."""
    along = np.linspace(x[0], x[-1], 12)[:-2]
    sides = (("top", -2.0), ("bottom", 1.5))
    return [Spot(float(place), limit, "left", side, 2.0, up) for place in along for side, up in sides]


def _outages(ax: Axes, outages: dict[str, list[tuple[float, float]]], start: datetime) -> None:
    """A lane for each source, the first on top."""
    theme.dress(ax)
    names = list(reversed(outages))
    for place, each in enumerate(names):
        bars = [_place(start, *span) for span in outages[each]]
        ax.broken_barh(bars, (place - 0.4, 0.8), facecolors=OUTAGE)
    ax.set_ylim(-0.7, len(names) - 0.3)
    ax.set_yticks(range(len(names)), labels=names, fontsize=theme.SMALL)
    theme.name_axes(ax, y="short of\nits rate")


def _note(shown: Shown, outages: dict[str, list[tuple[float, float]]]) -> str:
    stages = len(pumping_rows(shown)[["well", "stage"]].drop_duplicates())
    lines = [f"{stages} stages pumped in the time shown."]
    for name, spans in outages.items():
        if spans:
            lines.append(f"{name} short of its rate for {sum(to_h - from_h for from_h, to_h in spans):,.0f} h.")
    return " ".join(lines)


def _finish(panels: Sequence[Axes], shown: Shown, start: datetime, note: str) -> None:
    """One axis of time for all, labelled at the bottom."""
    theme.footnote(panels[-1], note)
    for panel in panels:
        theme.date_axis(panel, start, shown.from_h, shown.to_h)
    for panel in panels[:-1]:
        panel.tick_params(axis="x", which="both", labelbottom=False)
        panel.set_xlabel("")
    panels[0].get_figure(root=True).align_ylabels(list(panels))  # type: ignore[union-attr] # they have a figure
