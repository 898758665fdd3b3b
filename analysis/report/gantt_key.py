"""What the colours of the pictures of units and wells mean, as far as one replication shows them."""

from __future__ import annotations

import pandas as pd

from analysis.figures import theme
from analysis.figures.bars import COLOURS, coloured, present
from analysis.figures.unit_gantt import unit_rows
from analysis.figures.well_gantt import SPAN_COLOUR, WATCH_COLOUR
from analysis.report.parts import Swatch
from sim import activities
from sim.log import Interval, Log

_TEXTS = {"moving": "moving, rigging", "other": "other work"}
WAITING = Swatch(theme.WAIT_FILL, "waiting", hatched=True)


def unit_keys(log: Log) -> tuple[Swatch, ...]:
    """The trades that are on location, and waiting."""
    rows = unit_rows(pd.DataFrame(log.intervals, columns=list(Interval._fields)))
    return (*_of(rows), WAITING)


def well_keys(log: Log) -> tuple[Swatch, ...]:
    """The trades at work in wells, the span of fracturing, watching pressure, and waiting."""
    rows = pd.DataFrame(log.intervals, columns=list(Interval._fields))
    rows = coloured(rows[rows["well"] != ""])
    rows = rows[rows["activity"] != activities.RIG_RELEASE]
    watched = rows["activity"] == activities.WATCH_PRESSURE
    watching = (Swatch(WATCH_COLOUR, "watching pressure"),) if watched.any() else ()
    return (*_of(rows[~watched]), Swatch(SPAN_COLOUR, "first to last stage"), *watching, WAITING)


def _of(rows: pd.DataFrame) -> tuple[Swatch, ...]:
    return tuple(Swatch(COLOURS[name], _TEXTS.get(name, name)) for name in present(rows))
