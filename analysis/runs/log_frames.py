"""The log of one replication as tables, for pictures and for questions of one's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.log import Interval, Level, Log

if TYPE_CHECKING:
    import pandas as pd


def intervals_of(log: Log) -> pd.DataFrame:
    """Who did what in which well from when to when; columns as `sim.Interval` names them, hours from the start."""
    import pandas as pd

    return pd.DataFrame(log.intervals, columns=list(Interval._fields))


def levels_of(log: Log) -> pd.DataFrame:
    """Levels and flows of the supplies; columns as `sim.Level` names them, hours from the start and bbl."""
    import pandas as pd

    return pd.DataFrame(log.levels, columns=list(Level._fields))
