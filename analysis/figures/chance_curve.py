"""By which date is it done, with what chance: one rising curve per milestone."""

from __future__ import annotations

from collections.abc import Mapping, Set
from datetime import datetime
from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from matplotlib.axes import Axes

from analysis.figures import theme
from analysis.figures.room import Room, Spot

Hours = npt.NDArray[np.float64]

PERCENTS = (10, 50, 90)
CONVENTION = "P90: 90 % chance done by"  # reserves people read P90 of a volume the other way round
TOP = 105.0  # percent, a little room above certainty
MARGIN = 0.06  # of the span shown, at both ends
NAME_HEIGHTS = (70, 30, 76, 24, 62, 38, 96, 4)  # where a curve's name is tried, percent


class Band(NamedTuple):
    """95 % confidence limits of a curve: at each chance (0 to 1), the earliest and latest believable hour."""

    chance: Hours
    early_h: Hours
    late_h: Hours


def chance_curve(
    curves: Mapping[str, Hours],
    start: datetime,
    ax: Axes | None = None,
    plan_of_averages: Mapping[str, float] | None = None,
    *,
    horizon_h: float,
    bands: Mapping[str, Band] | None = None,
    title: str = "Chance done by a date",
) -> Axes:
    """Chance done by each date, in percent, for each named milestone.

    `curves` holds the milestone's hour in every replication, +inf where the horizon came first: the curve then
    stays below 100 % and the footnote counts the unfinished. P10, P50 and P90 are marked with the first date by
    which that share of the replications is done. `plan_of_averages` holds the hour that each milestone of the
    same name has in a plan made of average durations; the mark says how likely that date is.
    """
    hours = {name: _checked(name, values) for name, values in curves.items()}
    plan = {name: hour for name, hour in (plan_of_averages or {}).items() if np.isfinite(hour)}
    late_plans = (plan_of_averages or {}).keys() - plan.keys()
    ax = ax if ax is not None else theme.new_axes(5.2)[0]
    span_h = _span(hours, plan, horizon_h)
    notes = [CONVENTION + (". Shaded: 95 % confidence of the curve." if bands else ".")]
    _frame(ax, start, span_h, title, notes + _unfinished(hours, late_plans, start, horizon_h))
    room = Room(ax)
    for (name, values), colour in zip(hours.items(), _colours(len(hours)), strict=True):
        if bands and name in bands:
            _band(ax, bands[name], start, (span_h[0], min(span_h[1], horizon_h)), colour)
        _curve(room, values, start, horizon_h, colour)
    _plan_lines(room, plan, hours, start)
    if any(np.isinf(values[-1]) for values in hours.values()):
        _horizon(room, start, horizon_h)
    for (name, values), colour in zip(hours.items(), _colours(len(hours)), strict=True):
        _percentile_marks(room, values, start, colour)
        _plan_label(room, name, plan, values, start)
        _name(room, name, values, start, horizon_h, colour)
    return ax


def percentile_h(sorted_hours: Hours, percent: int) -> float:
    """The first hour by which at least that share of the replications is done; +inf if it never is."""
    rank = -(-len(sorted_hours) * percent // 100)  # in whole numbers: 0.1 of 70 is 7, not a little more
    return float(sorted_hours[max(rank, 1) - 1])


def _checked(name: str, values: Hours) -> Hours:
    hours = np.sort(np.asarray(values, dtype=float))
    if not len(hours) or np.isnan(hours).any():
        raise ValueError(f"chance curve: {name}: expected at least one hour, none of them NaN (unfinished is +inf)")
    return hours


def _colours(count: int) -> list[str]:
    return [theme.SERIES_COLOURS[place % len(theme.SERIES_COLOURS)] for place in range(count)]


def _span(hours: Mapping[str, Hours], plan: Mapping[str, float], horizon_h: float) -> tuple[float, float]:
    """First and last hour shown: all that is finite, and the horizon if anything is unfinished."""
    known = np.concatenate([*hours.values(), np.array(list(plan.values()), dtype=float)])
    finite = known[np.isfinite(known)]
    ends = np.append(finite, horizon_h) if len(finite) < len(known) else finite
    first_h = ends.min() if len(finite) else 0.0
    room_h = max(MARGIN * (ends.max() - first_h), 24.0)
    return float(first_h - 2.0 * room_h), float(ends.max() + room_h)


def _frame(ax: Axes, start: datetime, span_h: tuple[float, float], title: str, notes: list[str]) -> None:
    theme.dress(ax, title, grid="both")
    ax.set_ylim(0.0, TOP)
    ax.set_yticks([0, 10, 25, 50, 75, 90, 100])
    theme.name_axes(ax, y="chance done by (%)")
    theme.footnote(ax, "\n".join(notes))
    theme.date_axis(ax, start, *span_h)


def _unfinished(hours: Mapping[str, Hours], late_plans: Set[str], start: datetime, horizon_h: float) -> list[str]:
    """Every silence the picture would otherwise keep about what the horizon cut off."""
    by_then = f"by the horizon, {theme.day_text(start, horizon_h)}"
    lines = [f"{name}: not reached {by_then}, in the plan of averages." for name in sorted(late_plans)]
    for name, values in hours.items():
        unfinished = int(np.isinf(values).sum())
        beyond = [f"P{percent}" for percent in PERCENTS if np.isinf(percentile_h(values, percent))]
        later = f"; {', '.join(beyond)} beyond it" if beyond else ""
        if unfinished:
            lines.append(f"{name}: {unfinished} of {len(values)} replications unfinished {by_then}{later}.")
    return lines


def _curve(room: Room, values: Hours, start: datetime, horizon_h: float, colour: str) -> None:
    finite = values[np.isfinite(values)]
    last = [horizon_h] if len(finite) < len(values) else []
    steps = np.repeat(100.0 * np.arange(len(finite) + 1) / len(values), 2)
    first = [finite[0]] if len(finite) else [0.0]
    x = theme.positions(start, [*first, *np.repeat(finite, 2), *last])
    y = steps[: len(x)]
    room.ax.plot(x, y, color=colour, linewidth=1.8, solid_joinstyle="round")
    room.keep_clear(x, y)


def _band(ax: Axes, band: Band, start: datetime, span_h: tuple[float, float], colour: str) -> None:
    early, late = (theme.positions(start, np.clip(side_h, *span_h)) for side_h in (band.early_h, band.late_h))
    ax.fill_betweenx(100.0 * band.chance, early, late, color=theme.tint(colour, 0.16), linewidth=0.0, zorder=0.6)


def _percentile_marks(room: Room, values: Hours, start: datetime, colour: str) -> None:
    for percent in PERCENTS:
        hour = percentile_h(values, percent)
        if np.isinf(hour):
            continue
        x = float(theme.positions(start, hour))
        room.ax.plot(x, percent, "o", color=colour, markersize=5.5, markeredgecolor="white", zorder=4)
        text = f"P{percent}  {theme.day_text(start, hour)}"
        room.write(text, _beside(x, percent), color=colour, fontweight="bold" if percent == 50 else "normal")


def _beside(x: float, y: float) -> list[Spot]:
    """Left above and right below a rising curve first, then further out."""
    outwards = (8.0, 14.0, 24.0, 45.0, 80.0, 130.0)
    shifts = [(right_pt, up_pt) for right_pt in outwards for up_pt in (0.0, 8.0, 16.0, 30.0)]
    return [
        Spot(x, y, side, "center", sign * right_pt, -sign * up_pt)
        for right_pt, up_pt in shifts
        for side, sign in (("right", -1.0), ("left", 1.0))
    ]


def _plan_lines(room: Room, plan: Mapping[str, float], hours: Mapping[str, Hours], start: datetime) -> None:
    for name in plan:
        if name not in hours:
            raise ValueError(f"chance curve: plan of averages: {name}: expected one of {', '.join(hours)}")
        _upright(room, start, plan[name], "--")


def _horizon(room: Room, start: datetime, horizon_h: float) -> None:
    _upright(room, start, horizon_h, "-")
    x = float(theme.positions(start, horizon_h))
    sides = (("left", 4.0), ("right", -4.0))
    spots = [Spot(x, y, side, "center", shift_pt) for y in (97.0, 75.0, 25.0) for side, shift_pt in sides]
    room.write("horizon", spots, color=theme.QUIET, fontsize=theme.SMALL)


def _upright(room: Room, start: datetime, hour: float, style: str) -> None:
    x = theme.positions(start, [hour, hour])
    room.ax.plot(x, [0.0, TOP], color=theme.QUIET, linewidth=1.0, linestyle=style, zorder=1.5)
    room.keep_clear(x, [0.0, TOP])


def _plan_label(room: Room, name: str, plan: Mapping[str, float], values: Hours, start: datetime) -> None:
    if name not in plan:
        return
    chance = _percent_text(float(np.mean(values <= plan[name])))
    text = f"plan of averages\n{name}\n{theme.day_text(start, plan[name])}: {chance} chance"
    x = float(theme.positions(start, plan[name]))
    spots = [
        Spot(x, y, side, "center", shift_pt)
        for y in (92.0, 60.0, 36.0, 76.0, 14.0)
        for side, shift_pt in (("right", -4.0), ("left", 4.0))
    ]
    room.write(text, spots, color=theme.QUIET, fontsize=theme.SMALL)


def _percent_text(chance: float) -> str:
    """Whole percent, without ever calling the possible impossible or the likely sure."""
    if 0.0 < chance < 0.01:
        return "below 1 %"
    return "above 99 %" if 0.99 < chance < 1.0 else f"{100.0 * chance:.0f} %"


def _name(room: Room, name: str, values: Hours, start: datetime, horizon_h: float, colour: str) -> None:
    reached = [(percentile_h(values, height), height) for height in NAME_HEIGHTS]
    around = [_beside(float(theme.positions(start, hour)), height) for hour, height in reached if np.isfinite(hour)]
    nearest_first = [spot for spots in zip(*around, strict=True) for spot in spots]
    at_the_end = Spot(float(theme.positions(start, horizon_h)), 0.0, "right", "bottom", -4.0, 4.0)
    room.write(name, [*nearest_first, at_the_end], color=colour, fontweight="bold", fontsize=theme.TEXT + 1.0)
