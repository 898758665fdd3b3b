"""Weather known to the hour: a table of lightning over the days of a small pad that starts on 1 March 2027."""

from __future__ import annotations

from typing import Any

DAYS = 40
HORIZON = {"horizon": "30 day"}


def lightning(*hours: tuple[int, int], stops: tuple[str, ...] = ("everything",)) -> dict[str, Any]:
    """The weather of a pad from midnight on: lightning from one hour to another, which stops that work, no longer."""
    flags = [0] * (24 * DAYS)
    for begin, end in hours:
        flags[begin:end] = [1] * (end - begin)
    table = {"first": "2027-03-01", "every": "1 h", "lightning": flags}
    return {"table": table, "stops": dict.fromkeys(stops, "lightning"), "stand_down": "0 h"}
