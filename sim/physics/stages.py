"""Where the stages of a well lie and how long their pumping takes: pure formulae."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def distance_from_heel_ft(lateral_ft: float, stages: int) -> NDArray[np.float64]:
    """Distance of the middle of each stage from the heel, toe to heel; stages are equally long."""
    return lateral_ft * (stages - np.arange(stages) - 0.5) / stages


def pump_hours(fluid_bbl: float, rate_bbl_per_h: float) -> float:
    """Pumping time of a stage at a steady rate."""
    return fluid_bbl / rate_bbl_per_h


def rate_held_bbl_per_h(design_bbl_per_h: float, fleet_limit_bbl_per_h: float, wells_together: int) -> float:
    """Rate into one well: its design, or its share of what the fleet can pump in all."""
    return min(design_bbl_per_h, fleet_limit_bbl_per_h / wells_together)
