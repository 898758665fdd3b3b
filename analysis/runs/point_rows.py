"""What a study that looks at one date keeps of a replication, and the tables that it is kept in."""

from __future__ import annotations

from typing import NamedTuple

POINTS, SWINGS, SCREENING, SHARES = OF_POINTS = ("points", "swings", "screening", "shares")


class PointRow(NamedTuple):
    """When a milestone was reached in one replication of a plan that a study plays, hours from the start.

    In the tables of a design of inputs a replication is a row of that design.
    """

    replication: int
    plan: str
    reached_h: float
