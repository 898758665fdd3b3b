"""How long pumping and swapping take at each stage of a well, under the luck of a replication or on average."""

from __future__ import annotations

import numpy as np

from sim import activities
from sim.chance.luck import Luck
from sim.physics.stages import pump_hours, rate_held_bbl_per_h
from sim.scenario.shapes import Shape
from sim.scenario.wells import Well as StatedWell


class StageTimes:
    """Swap and pumping hours of a well under one fleet, lists over the stages from the toe."""

    def __init__(self, luck: Luck, well: StatedWell, swap: float | Shape, rate_limit_bbl_per_h: float) -> None:
        self._luck, self._well, self._rate_limit = luck, well, rate_limit_bbl_per_h
        self.swap_h: list[float] = luck.many(well.name, activities.SWAP, swap, well.stage_count).tolist()
        self._pump_h: dict[int, list[float]] = {}

    def pump_h(self, together: int) -> list[float]:
        """Pumping hours with so many wells pumped at once, at the rate the fleet can hold into each."""
        if together not in self._pump_h:
            well, design = self._well, self._well.stage_design
            rate = rate_held_bbl_per_h(design.rate, self._rate_limit, together)
            design_h = np.full(well.stage_count, pump_hours(design.fluid, rate))
            hours = self._luck.by_stage(well.name, activities.PUMP_STAGE, design.pump_time, design_h)
            self._pump_h[together] = hours.tolist()
        return self._pump_h[together]
