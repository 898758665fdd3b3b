"""Figures that can be zoomed and hovered over: their look, and how they get into the page without any other file.

A page holds one Bokeh document, so that figures may share an axis. Bokeh numbers its models as a process goes on;
here they are numbered anew, so that equal reports have equal bytes. Text of the plan is shown as it stands: neither
as HTML nor as a formula, for which Bokeh would load a library from the net.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from analysis.figures import theme

DAY_MS = 86_400_000.0
FONT = "system-ui, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif"
ROW_PX = 26  # height of a row of bars


def milliseconds(start: datetime, hours: Any) -> Any:
    """Places on a date axis of hours from the start; local time, shown as it is."""
    import numpy as np

    begin = (start - datetime(1970, 1, 1)).total_seconds() * 1000.0
    return begin + np.asarray(hours, dtype=float) * DAY_MS / 24.0


def date_figure(height: int, x_range: Any = None) -> Any:
    """An empty figure over dates. Wheels and fingers scroll the page: zooming is by dragging a box, or by buttons."""
    from bokeh.models import BoxZoomTool, PanTool, ResetTool, ZoomInTool, ZoomOutTool
    from bokeh.plotting import figure

    box = BoxZoomTool(dimensions="width")
    zooms = (ZoomInTool(dimensions="width"), ZoomOutTool(dimensions="width"))
    shown = figure(
        height=height,
        sizing_mode="stretch_width",
        x_axis_type="datetime",
        tools=[box, PanTool(dimensions="width"), *zooms, ResetTool()],
        toolbar_location="above",
        output_backend="canvas",
        **({} if x_range is None else {"x_range": x_range}),
    )
    shown.toolbar.active_drag = box
    shown.toolbar.logo = None
    _dress(shown)
    return shown


def _dress(shown: Any) -> None:
    from bokeh.models import NoOverlap

    shown.outline_line_color = None
    shown.background_fill_color = shown.border_fill_color = "#FFFFFF"
    shown.xgrid.grid_line_color = shown.ygrid.grid_line_color = theme.GRID
    for axis in (*shown.xaxis, *shown.yaxis):
        axis.axis_line_color = axis.major_tick_line_color = theme.QUIET
        axis.minor_tick_line_color = None
        axis.major_label_text_color = axis.axis_label_text_color = theme.INK
        axis.major_label_text_font = axis.axis_label_text_font = FONT
        axis.major_label_text_font_size, axis.axis_label_text_font_size = "12px", "12px"
        axis.axis_label_text_font_style = "normal"
    shown.xaxis[0].major_label_policy = NoOverlap(min_distance=8)  # a phone has room for few dates
    formatter = shown.xaxis[0].formatter
    formatter.hours = formatter.hourmin = "%H:%M"
    formatter.days, formatter.months, formatter.years = "%e %b", "%b %Y", "%Y"
    formatter.context = None


def name_rows(shown: Any, names: Sequence[str]) -> None:
    """Names beside rows, the first on top, as plain text: a name between dollar signs is no formula."""
    from bokeh.models import FixedTicker, PlainText, Range1d

    places = list(range(len(names)))
    shown.y_range = Range1d(start=-0.7, end=len(names) - 0.3)
    axis = shown.yaxis[0]
    axis.ticker = FixedTicker(ticks=places)
    axis.major_label_overrides = {len(names) - 1 - place: PlainText(text=short(names[place])) for place in places}
    shown.ygrid.grid_line_color = None


def short(name: str) -> str:
    """A name that leaves room for the picture; hovering tells all of it."""
    return name if len(name) <= 22 else f"{name[:20]}…"


def hover(shown: Any, renderers: Sequence[Any], lines: Mapping[str, str], formatters: Mapping[str, Any]) -> None:
    """What is told of a mark under the pointer: line by line what stands before and the field."""
    from bokeh.models import HoverTool

    told = [(label, field) for label, field in lines.items()]
    shown.add_tools(
        HoverTool(
            renderers=list(renderers),
            tooltips=told,
            formatters=dict(formatters),
            point_policy="follow_mouse",
            visible=False,
        )
    )


def embedded(figures: Mapping[str, Any]) -> tuple[str, str]:
    """The document of these figures by the element each goes to, as JSON that may stand in a script, and its roots."""
    from bokeh.document import Document

    document = Document()
    for each in figures.values():
        document.add_root(each)
    numbers: dict[str, str] = {}
    plain = _renumbered(document.to_json(deferred=False), numbers)
    roots = {numbers[each.id]: element for element, each in figures.items()}
    return in_script(plain), in_script(roots)


def library() -> str:
    """The script that draws them, whole."""
    from bokeh.resources import Resources

    return "\n".join(Resources(mode="inline", components=["bokeh"]).js_raw)


def in_script(value: Any) -> str:
    """JSON in which nothing ends a script or opens a comment."""
    text = json.dumps(value, ensure_ascii=True, allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _renumbered(value: Any, numbers: dict[str, str]) -> Any:
    """The same with models numbered from one in the order in which they appear."""
    if isinstance(value, dict):
        return {
            key: _number(each, numbers) if key == "id" else _renumbered(each, numbers) for key, each in value.items()
        }
    if isinstance(value, list | tuple):
        return [_renumbered(each, numbers) for each in value]
    return value


def _number(found: Any, numbers: dict[str, str]) -> str:
    return numbers.setdefault(str(found), f"m{len(numbers) + 1}")
