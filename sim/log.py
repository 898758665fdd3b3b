"""The log of one replication: the single source of truth for everything a user ever sees.

The model keeps no counters and no costs. Processes append intervals, supplies append level rows, and
`analysis` derives the rest.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

Kind = Literal["work", "wait", "trouble"]

NO_ROW = -1  # `after` of a row that starts at hour zero, or that nothing in the log released


class Interval(NamedTuple):
    """Something that lasted, with what released it.

    Hours count from the scenario's start. `unit` is empty where no unit is needed (a well waiting for its rig
    release, pressure being watched). `stage` counts from 1 at the toe; 0 means no particular stage. `cause`
    is empty for work; for a wait it names what was missing, for trouble what went wrong. `after` is the index
    of the row whose end released this one: that row ends exactly where this one starts.
    """

    start_h: float
    end_h: float
    unit: str
    activity: str
    well: str
    stage: int
    kind: Kind
    cause: str
    after: int


class Level(NamedTuple):
    """State of a supply from `time_h` until its next row; flows are constant in between, levels linear.

    Volumes in bbl, flows in bbl/h; of proppant in lb. The level changes by inflow less outflow less `turned_away`.
    Of the storage on the pad that is the part of the inflow that found it full; of a pond what it loses. A source holds
    nothing: `inflow` is what it could deliver, `outflow` what it does, `turned_away` what found no room.
    """

    time_h: float
    supply: str
    level: float
    inflow: float
    outflow: float
    turned_away: float


make_row = tuple.__new__
"""`make_row(Interval, (...))`: a third of the cost of calling the class, where thousands are made."""


@dataclass
class Log:
    """Everything that happened in one replication, in order of ending.

    `stages` says how many stages each well has, in the order of the scenario; `feeders` which level rows stand for
    sources and ponds of water, beside those of the storage. What the horizon cut short ends at `horizon_h`; `cut_short`
    counts the units concerned: those on location or, if nobody is, those on call; 0 where all is done. Rows up to
    `as_of_h` are what happened before the replication began; what starts there may be released by none of them.
    """

    replication: int
    seed: int
    horizon_h: float
    stages: dict[str, int]
    intervals: list[Interval] = field(default_factory=list)
    levels: list[Level] = field(default_factory=list)
    feeders: dict[str, Literal["source", "pond"]] = field(default_factory=dict)
    cut_short: int = 0
    as_of_h: float = 0.0

    def append(self, row: Interval) -> int:
        """Add a row and return its index, for the `after` of whatever it releases."""
        self.intervals.append(row)
        return len(self.intervals) - 1

    def later(self, one: int, other: int) -> int:
        """Whichever of two rows ended later: what really released something that needed both."""
        if min(one, other) < 0:
            return max(one, other)
        return one if self.intervals[one].end_h >= self.intervals[other].end_h else other
