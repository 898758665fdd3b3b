"""Where the pad stands: what has been done in the field so far, job by job."""

from __future__ import annotations

from typing import NamedTuple


class Job(NamedTuple):
    """One job in the field: who did what where, from when to when; `end_h` is None while it goes on.

    Hours count from the scenario's start. `worked_h` are hours worked so far, waits and troubles left out; `lost` holds
    these, each as cause and hours, in order of time.
    """

    unit: str
    activity: str
    well: str
    stage: int
    start_h: float
    end_h: float | None
    worked_h: float
    lost: tuple[tuple[str, float], ...]
