"""What the log of one replication says of a supply in the hours that a picture shows."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd

from analysis.figures.shares import Numbers, slice_edges, slice_width_h
from sim import activities

AFTERWARDS = 0.03  # of the time up to the last stage, shown after it
COLUMNS = 1600  # of dots in the narrowest PNG
FLOW_SLICES = 100  # coarser than a stage, so that pumping on and off does not flicker


class Shown(NamedTuple):
    """Rows of one supply, rows of all units, and the hours the picture shows."""

    levels: pd.DataFrame
    intervals: pd.DataFrame
    from_h: float
    to_h: float


def one_supply(levels: pd.DataFrame, supply: str | None) -> pd.DataFrame:
    """The level rows of the named supply in order of time; the name may be left out where there is but one."""
    names = list(levels["supply"].unique())
    if supply is None and len(names) == 1:
        supply = names[0]
    if supply not in names:
        known = ", ".join(map(str, names)) or "none at all"
        raise ValueError(f"tank level: supply: {supply}: expected one of the supplies in the level rows: {known}")
    return levels[levels["supply"] == supply].sort_values("time_h", kind="stable")


def shown_rows(levels: pd.DataFrame, intervals: pd.DataFrame, zoom: tuple[float, float] | None) -> Shown:
    """From the first drop to the last stage and a little more, or what `zoom` asks for.

    Without any stage, to the last change of a flow: sources go on being up and down when nobody needs them any more.
    """
    if zoom is not None:
        if not zoom[0] < zoom[1]:
            raise ValueError(f"tank level: zoom: {zoom}: expected the first hour before the last")
        return Shown(levels, intervals, *zoom)
    wet = levels[(levels["level"] > 0.0) | (levels["inflow"] > 0.0) | (levels["outflow"] > 0.0)]
    first_h = float((wet if len(wet) else levels)["time_h"].min())
    stages_end_h = intervals.loc[intervals["activity"] == activities.PUMP_STAGE, "end_h"]
    last_h = float(levels["time_h"].max())
    if len(stages_end_h):
        last_h = min(last_h, float(stages_end_h.max()) + AFTERWARDS * (float(stages_end_h.max()) - first_h))
        last_h = max(last_h, float(stages_end_h.max()))
    return Shown(levels, intervals, first_h, max(last_h, first_h + 1.0))


def level_line(shown: Shown, capacity_bbl: float) -> tuple[Numbers, Numbers]:
    """Hours and levels (bbl) at each row and at both ends; after the last row its flows go on."""
    times, level = shown.levels["time_h"].to_numpy(float), shown.levels["level"].to_numpy(float)
    last = shown.levels.iloc[-1]
    net = float(last["inflow"] - last["outflow"] - last["turned_away"])
    if shown.to_h > times[-1]:
        level = np.append(level, np.clip(level[-1] + net * (shown.to_h - times[-1]), 0.0, capacity_bbl))
        times = np.append(times, shown.to_h)
    from_h = max(shown.from_h, times[0])
    inside = (times > from_h) & (times < shown.to_h)
    ends = np.interp([from_h, shown.to_h], times, level)
    hours = np.concatenate(([from_h], times[inside], [shown.to_h]))
    return outline(hours, np.concatenate((ends[:1], level[inside], ends[1:])))


def outline(x: Numbers, y: Numbers) -> tuple[Numbers, Numbers]:
    """A line with more points than a picture can show, without those that do not show.

    What stays in each column of dots is where the line enters, its lowest and highest point, and where it leaves.
    """
    if len(x) <= 4 * COLUMNS:
        return x, y
    column = np.minimum((x - x[0]) / (x[-1] - x[0]) * COLUMNS, COLUMNS - 1).astype(int)
    first = np.flatnonzero(np.diff(column, prepend=-1))
    last = np.append(first[1:], len(x)) - 1
    by_height = np.lexsort((y, column))  # the columns are in order already, so that their ends stay in place
    kept = np.unique(np.concatenate((first, last, by_height[first], by_height[last])))
    return x[kept], y[kept]


def waits_for(shown: Shown, supply: str) -> list[tuple[float, float]]:
    """Stretches, in hours, in which at least one unit waits for a supply; overlapping ones joined."""
    rows = shown.intervals
    waits = (rows["kind"] == "wait") & rows["cause"].map(activities.supply_of).eq(supply)
    stretches: list[tuple[float, float]] = []
    for start_h, end_h in rows.loc[waits, ["start_h", "end_h"]].sort_values("start_h").itertuples(index=False):
        from_h, to_h = max(start_h, shown.from_h), min(end_h, shown.to_h)
        if stretches and from_h <= stretches[-1][1]:
            stretches[-1] = (stretches[-1][0], max(stretches[-1][1], to_h))
        elif from_h < to_h:
            stretches.append((from_h, to_h))
    return stretches


def supply_shown(shown: Shown) -> str:
    """The supply whose levels are shown."""
    return str(shown.levels["supply"].iloc[0])


def mean_flows(shown: Shown) -> tuple[Numbers, Numbers, Numbers]:
    """Edges of slices, hours, and each slice's mean flow kept in and drawn from storage, bbl/day."""
    times = _times(shown)
    first_h = max(shown.from_h, times[0])
    edges = slice_edges(times[:-1], times[1:], flow_slice_h(shown), flow_slice_h(shown))
    edges = np.concatenate(([first_h], edges[(edges > first_h) & (edges < shown.to_h)], [shown.to_h]))
    kept = volumes_bbl(shown, shown.levels["inflow"] - shown.levels["turned_away"], edges)
    used = volumes_bbl(shown, shown.levels["outflow"], edges)
    per_day = 24.0 / np.diff(edges)
    return edges, kept * per_day, used * per_day


def volumes_bbl(shown: Shown, flow_bbl_per_h: pd.Series[float], edges_h: Numbers) -> Numbers:
    """Barrels that a flow moves between each two edges."""
    times = _times(shown)
    moved = np.cumsum(flow_bbl_per_h.to_numpy(float) * np.diff(times))
    return np.diff(np.interp(edges_h, times, np.concatenate(([0.0], moved))))


def _times(shown: Shown) -> Numbers:
    """Hours at which the flows change, and the end of the last ones."""
    times = shown.levels["time_h"].to_numpy(float)
    return np.append(times, max(shown.to_h, times[-1]))


def flow_slice_h(shown: Shown) -> float:
    """Width of the slices over which flows are averaged, hours."""
    return slice_width_h(shown.to_h - shown.from_h, at_most=FLOW_SLICES)


def pumping_rows(shown: Shown) -> pd.DataFrame:
    """Rows of stages being pumped in the time shown."""
    rows = shown.intervals
    pumped = (rows["activity"] == activities.PUMP_STAGE) & (rows["kind"] == "work")
    return rows[pumped & (rows["start_h"] < shown.to_h) & (rows["end_h"] > shown.from_h)]
