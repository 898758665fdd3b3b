"""Units and wells of one replication against dates, to be zoomed and hovered over; every row of the log is there."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pandas as pd

from analysis.figures import theme
from analysis.figures.bars import COLOURS, coloured
from analysis.figures.milestones import pad_milestones
from analysis.figures.unit_gantt import unit_rows, units_in_order
from analysis.figures.well_gantt import SPAN_COLOUR, WATCH_COLOUR
from analysis.report.interactive import ROW_PX, date_figure, hover, milliseconds, name_rows
from sim import activities
from sim.log import Interval, Log

BAR = 0.66  # height, of the room a row has
FRAME_PX = 90  # axis and tools
TOLD = {"": "@what", "of": "@of", "from": "@left{%e %b %H:%M}", "to": "@right{%e %b %H:%M}", "for": "@hours{0.0} h"}
AS_DATES = {"@left": "datetime", "@right": "datetime"}


def gantts(log: Log, wells: pd.DataFrame, start: datetime) -> tuple[Any, Any]:
    """By unit and by well, on one axis of dates that both zoom; `wells` are the rows of this replication."""
    intervals = pd.DataFrame(log.intervals, columns=list(Interval._fields))
    by_unit = _by_unit(intervals, start)
    return by_unit, _by_well(intervals, wells, start, by_unit.x_range)


def _by_unit(intervals: pd.DataFrame, start: datetime) -> Any:
    rows = unit_rows(intervals)
    units = units_in_order(rows)
    shown = _figure(units, start, rows)
    place = {unit: len(units) - 1 - number for number, unit in enumerate(units)}
    rows = rows.assign(y=rows["unit"].map(place), fill=rows["colour"].map(COLOURS), of=_wells_and_stages(rows))
    waits = _bars(shown, rows[rows["colour"] == "wait"], start, hatched=True)
    work = _bars(shown, rows[rows["colour"] != "wait"], start)
    hover(shown, [waits, work], {"": "@what", "unit": "@unit"} | TOLD, AS_DATES)
    return shown


def _by_well(intervals: pd.DataFrame, wells: pd.DataFrame, start: datetime, x_range: Any) -> Any:
    rows = coloured(intervals[intervals["well"] != ""])
    milestones = pad_milestones(rows, float(intervals["end_h"].max()), wells)
    names = sorted(milestones, key=theme.natural_order)
    place = {well: len(names) - 1 - number for number, well in enumerate(names)}
    shown = _figure(names, start, rows, x_range)
    spans = pd.DataFrame([_span(place[name], each) for name, each in milestones.items()])
    _plain(shown, spans, start, "released_h", "done_h", hatched=True)
    fractured = spans[spans["fractured_h"] > spans["fracturing_h"]]
    _plain(shown, fractured.assign(fill=SPAN_COLOUR), start, "fracturing_h", "fractured_h")
    done = rows[(rows["colour"] != "wait") & (rows["activity"] != activities.RIG_RELEASE)]
    fill = done["colour"].map(COLOURS).where(done["activity"] != activities.WATCH_PRESSURE, WATCH_COLOUR)
    done = done.assign(y=done["well"].map(place), fill=fill, of=_wells_and_stages(done))
    hover(shown, [_bars(shown, done, start)], {"": "@what", "unit": "@unit"} | TOLD, AS_DATES)
    _diamonds(shown, spans[spans["reached"]], start)
    return shown


def _figure(names: list[str], start: datetime, rows: pd.DataFrame, x_range: Any = None) -> Any:
    from bokeh.models import Range1d

    shown = date_figure(FRAME_PX + ROW_PX * max(len(names), 3), x_range)
    name_rows(shown, names)
    if x_range is None:
        first_h, last_h = float(rows["start_h"].min()), float(rows["end_h"].max())
        room_h = 0.02 * (last_h - first_h) + 1.0
        begin, end = (float(each) for each in milliseconds(start, [min(first_h, 0.0) - room_h, last_h + room_h]))
        shown.x_range = Range1d(start=begin, end=end, bounds=(begin, end))
    return shown


def _wells_and_stages(rows: pd.DataFrame) -> list[str]:
    said = zip(rows["well"], rows["stage"], strict=True)
    return [f"{well}, stage {stage}" if stage > 0 else str(well) or "-" for well, stage in said]


def _what(kind: str, activity: str, cause: str) -> str:
    """A row of the log in words."""
    if kind == "wait":
        return f"waiting for {cause}"
    return f"trouble: {cause} ({activity})" if kind == "trouble" else activity


def _bars(shown: Any, rows: pd.DataFrame, start: datetime, *, hatched: bool = False) -> Any:
    """One bar for each row of the log."""
    from bokeh.models import ColumnDataSource

    told = zip(rows["kind"], rows["activity"], rows["cause"], strict=True)
    source = ColumnDataSource({
        "left": milliseconds(start, rows["start_h"]),
        "right": milliseconds(start, rows["end_h"]),
        "y": rows["y"].to_numpy(dtype=float),
        "fill": list(rows["fill"].fillna(theme.WAIT_FILL)),
        "what": [_what(*each) for each in told],
        "unit": [str(unit) or "-" for unit in rows["unit"]],
        "of": list(rows["of"]),
        "hours": (rows["end_h"] - rows["start_h"]).to_numpy(dtype=float),
    })  # fmt: skip
    look = _hatch() if hatched else {"fill_color": "fill"}
    return shown.hbar(y="y", left="left", right="right", height=BAR, line_color=None, source=source, **look)


def _plain(shown: Any, spans: pd.DataFrame, start: datetime, left: str, right: str, *, hatched: bool = False) -> None:
    """Bars behind the others, which tell nothing of themselves."""
    look = _hatch() if hatched else {"fill_color": list(spans["fill"])}
    ends = {side: milliseconds(start, spans[each]) for side, each in (("left", left), ("right", right))}
    shown.hbar(y=spans["y"].to_numpy(dtype=float), height=BAR, line_color=None, **ends, **look)


def _hatch() -> dict[str, Any]:
    return {
        "fill_color": theme.WAIT_FILL,
        "hatch_pattern": "/",
        "hatch_color": theme.WAIT_HATCH,
        "hatch_scale": 7.0,
        "hatch_weight": 0.6,
    }


def _span(y: int, well: Any) -> dict[str, Any]:
    reached = well.on_production_h is not None
    return {
        "y": float(y),
        "released_h": well.released_h,
        "done_h": well.on_production_h if reached else well.last_h,
        "fracturing_h": well.last_h if well.fracturing_h is None else well.fracturing_h,
        "fractured_h": well.last_h if well.fractured_h is None else well.fractured_h,
        "reached": reached,
    }


def _diamonds(shown: Any, spans: pd.DataFrame, start: datetime) -> None:
    """On production."""
    x, y = milliseconds(start, spans["done_h"]), spans["y"].to_numpy(dtype=float)
    shown.scatter(x=x, y=y, size=11, marker="diamond", color=theme.INK)
