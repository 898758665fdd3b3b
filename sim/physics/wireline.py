"""How long a wireline run to a stage takes and what water it needs: pure formulae."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def travel_hours(
    heel_depth_ft: float,
    along_lateral_ft: NDArray[np.float64],
    run_in_ft_per_h: float,
    pump_down_ft_per_h: float,
    pull_out_ft_per_h: float,
) -> NDArray[np.float64]:
    """Running in to the heel, being pumped down to each stage, and pulling out; shape of `along_lateral_ft`.

    Runs get shorter towards the heel.
    """
    down = heel_depth_ft / run_in_ft_per_h + along_lateral_ft / pump_down_ft_per_h
    return down + (heel_depth_ft + along_lateral_ft) / pull_out_ft_per_h


def pump_down_bbl(
    along_lateral_ft: NDArray[np.float64], pump_down_ft_per_h: float, rate_bbl_per_h: float
) -> NDArray[np.float64]:
    """Water that carries the tools along the lateral: rate times the time under way."""
    return rate_bbl_per_h * along_lateral_ft / pump_down_ft_per_h
