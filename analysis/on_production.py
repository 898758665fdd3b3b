"""The row of a log at whose end a well is on production.

That is its turn in line, or where that takes no time its spread's wait for the facility, or else its flow back.
Runs in the worker that played the replication, so it imports nothing heavy.
"""

from __future__ import annotations

from collections.abc import Collection

from sim.activities import FACILITY, FLOW_BACK, RIG_UP, TURN_IN_LINE
from sim.log import NO_ROW, Interval, Log

_COMES = {FLOW_BACK: 0, FACILITY: 1, TURN_IN_LINE: 2}


def last_of_flowback(log: Log, wells: Collection[str]) -> dict[str, int]:
    """Index of the last row of the last activity of each well's flowback, as far as it has any.

    Whether that is over is for `is_over` to say.
    """
    left, found = set(wells), dict[str, tuple[int, int]]()
    for number in range(len(log.intervals) - 1, -1, -1):
        well, what = _of_flowback(log, log.intervals[number])
        if well in left and _COMES[what] > found.get(well, (-1, 0))[0]:
            found[well] = _COMES[what], number
            if what == TURN_IN_LINE:
                left.discard(well)
                if not left:
                    break
    return {well: number for well, (_, number) in found.items()}


def _of_flowback(log: Log, row: Interval) -> tuple[str, str]:
    """The well and what is done there; a spread waits for the facility on the well that it has just flowed back."""
    if row.well:
        return (row.well, row.activity) if row.activity in {FLOW_BACK, TURN_IN_LINE} else ("", "")
    if row.cause == FACILITY and row.after != NO_ROW:
        before = log.intervals[row.after]
        if before.activity in {FLOW_BACK, RIG_UP}:
            return before.well, FACILITY
    return "", ""


def is_over(log: Log, row: Interval) -> bool:
    """Whether a job ends with this row: what still waits, or ends at the horizon, is not done.

    A wait for the facility is over when it ends.
    """
    return row.end_h < log.horizon_h and (row.kind != "wait" or (not row.well and row.cause == FACILITY))


def well_of(log: Log, number: int) -> str:
    """The well that a row is at; of a wait for the facility the one that was flowed back."""
    row = log.intervals[number]
    return row.well or _of_flowback(log, row)[0]
