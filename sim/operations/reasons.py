"""Why somebody had to wait, read from the log: what went on along the chain of rows that ended the wait."""

from __future__ import annotations

from sim.activities import WAITING_FOR
from sim.log import NO_ROW, Log


def reasons(log: Log, released: int, since_h: float, until_h: float) -> list[tuple[float, str]]:
    """Stretches of the wait from `since_h` to `until_h`, each as its end and its cause, in order of time.

    `released` is the row whose end ended the wait. Walking back along `after`, each row explains the stretch it
    covers: a row of work by what waiting for that activity is called, a row of waiting by its own cause. Neighbouring
    stretches with one cause are one.
    """
    found: list[tuple[float, str]] = []
    end_h, row = until_h, released
    while end_h > since_h and row != NO_ROW:
        interval = log.intervals[row]
        cause = interval.cause or WAITING_FOR[interval.activity]
        if not found or found[-1][1] != cause:
            found.append((end_h, cause))
        end_h, row = interval.start_h, interval.after
    return found[::-1]
