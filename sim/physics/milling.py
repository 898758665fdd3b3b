"""How long a drill-out takes, and whether the coil gets to the toe: pure formulae."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.physics.drill_out import trip_hours
from sim.physics.possible import Numbers, above_zero, not_negative


class DrillOutTimes(NamedTuple):
    """Hours of a drill-out by what they are spent on, in the order of the work."""

    trip_in_h: float
    plugs_h: float
    sweeps_h: float
    trip_out_h: float

    @property
    def total_h(self) -> float:
        """From the surface to the toe and back."""
        return sum(self)


def drill_out_times(
    measured_depth_ft: float,
    run_in_ft_per_h: float,
    plug_hours: NDArray[np.float64],
    sweep_hours: NDArray[np.float64],
    pull_out_ft_per_h: float,
) -> DrillOutTimes:
    """One trip for all plugs: in to the toe, a time for every plug and every sweep, out (common practice).

    The way from plug to plug is part of the trip in. There are `sweeps_in` sweeps or short trips.
    """
    above_zero(run_in_ft_per_h=run_in_ft_per_h, pull_out_ft_per_h=pull_out_ft_per_h)
    not_negative(measured_depth_ft=measured_depth_ft, plug_hours=plug_hours, sweep_hours=sweep_hours)
    return DrillOutTimes(
        trip_hours(measured_depth_ft, run_in_ft_per_h),
        float(plug_hours.sum()),
        float(sweep_hours.sum()),
        trip_hours(measured_depth_ft, pull_out_ft_per_h),
    )


def sweeps_in(plugs: int, plugs_between: int) -> int:
    """Sweeps or short trips: one each time so many plugs are milled; none after the last, for the trip out cleans.

    Every 5 to 10 plugs, 1 to 3 h each (common practice).
    """
    above_zero(plugs_between=plugs_between)
    return max(0, plugs - 1) // plugs_between


def short_trip_hours(along_lateral_ft: Numbers, pull_out_ft_per_h: float, run_in_ft_per_h: float) -> Numbers:
    """Back to the heel with the cuttings and in again to where milling stopped."""
    above_zero(run_in_ft_per_h=run_in_ft_per_h, pull_out_ft_per_h=pull_out_ft_per_h)
    return along_lateral_ft / pull_out_ft_per_h + along_lateral_ft / run_in_ft_per_h


def reach_shortfall_ft(lateral_ft: float, reach_ft: float) -> float:
    """Lateral that stays beyond the reach of the coil, where friction locks it up; zero if it reaches the toe.

    Reach is 8,000 to 13,000 ft of lateral by size of the coil (common practice), and a basic mechanical limit beyond
    15,000 ft (SPE 231394, published).
    """
    not_negative(lateral_ft=lateral_ft, reach_ft=reach_ft)
    return max(0.0, lateral_ft - reach_ft)
