"""Times of a drill-out against numbers from the field."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.physics.drill_out import trip_hours
from sim.physics.milling import drill_out_times, reach_shortfall_ft, short_trip_hours, sweeps_in

NONE = np.array([])


def test_many_plugs_in_one_trip() -> None:
    """72 plugs at 20 min are 24 h on bottom; 26,868 ft of jointed pipe at 50 joints/h about 17 h each way.

    Common practice, but the depth: T. Beims, American Oil & Gas Reporter, November 2020.
    """
    times = drill_out_times(26_868, 50 * 31.5, np.full(72, 20 / 60), NONE, 50 * 31.5)
    assert times.plugs_h == pytest.approx(24)
    assert (times.trip_in_h, times.trip_out_h) == pytest.approx((17, 17), abs=0.1)
    assert times.sweeps_h == 0


def test_total_is_the_sum_of_its_parts() -> None:
    """In at 80 ft/min, plugs and sweeps at their own times, out at 120 ft/min (common practice)."""
    plugs, sweeps = np.array([0.1, 0.2, 0.3]), np.array([1.5])
    times = drill_out_times(19_200, 80 * 60, plugs, sweeps, 120 * 60)
    assert times == pytest.approx((4.0, 0.6, 1.5, 19_200 / 7_200))
    assert times.total_h == pytest.approx(trip_hours(19_200, 4_800) + 0.6 + 1.5 + trip_hours(19_200, 7_200))


@settings(derandomize=True, deadline=None)
@given(st.integers(0, 200), st.integers(1, 30))
def test_sweeps_are_counted_on_the_way(plugs: int, between: int) -> None:
    """Plug by plug: a sweep each time the count since the last is full and there is another plug to mill."""
    since = swept = 0
    for left in range(plugs - 1, -1, -1):
        since += 1
        if since == between and left:
            since, swept = 0, swept + 1
    assert sweeps_in(plugs, between) == swept


def test_short_trips_take_hours() -> None:
    """From 3,000 to 8,500 ft beyond the heel a short trip by coil takes 1 to 3 h (common practice)."""
    hours = short_trip_hours(np.array([3_000.0, 8_500.0]), 120 * 60, 80 * 60)
    assert np.all((np.asarray(hours) >= 1) & (np.asarray(hours) <= 3))


@pytest.mark.parametrize(("lateral_ft", "shortfall_ft"), [(10_000, 0), (13_000, 0), (18_544, 5_544)])
def test_reach_of_coil(lateral_ft: float, shortfall_ft: float) -> None:
    """13,000 ft of reach do not get to the end of an 18,544 ft lateral (AOGR, November 2020)."""
    assert reach_shortfall_ft(lateral_ft, 13_000) == shortfall_ft


def test_impossible_drill_outs_are_refused() -> None:
    """No speed, no negative time, no sweep every no plugs."""
    with pytest.raises(ValueError, match="run_in_ft_per_h is 0"):
        drill_out_times(20_000, 0.0, NONE, NONE, 7_200)
    with pytest.raises(ValueError, match="plug_hours is"):
        drill_out_times(20_000, 4_800, np.array([0.1, -0.1]), NONE, 7_200)
    with pytest.raises(ValueError, match="plugs_between is 0"):
        sweeps_in(40, 0)
    with pytest.raises(ValueError, match="reach_ft is -1"):
        reach_shortfall_ft(10_000, -1)
