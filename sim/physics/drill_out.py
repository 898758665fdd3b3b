"""How long the trips of a drill-out take: pure formulae."""

from __future__ import annotations


def plugs_in(stages: int) -> int:
    """Plugs to mill: one below each stage but the first, whose lower end is the toe."""
    return stages - 1


def trip_hours(measured_depth_ft: float, speed_ft_per_h: float) -> float:
    """One way between the surface and the end of the well."""
    return measured_depth_ft / speed_ft_per_h
