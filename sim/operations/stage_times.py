"""How long pumping and swapping take at each stage of a well, under the luck of a replication or on average."""

from __future__ import annotations

import numpy as np

from sim import activities
from sim.chance.luck import Luck
from sim.scenario.equipment import PumpingFleet
from sim.scenario.shapes import Shape
from sim.scenario.treating import MINUTES, held_rates
from sim.scenario.wells import Well as StatedWell


class StageTimes:
    """Swap and pumping hours of a well under one fleet, lists over the stages from the toe."""

    def __init__(self, luck: Luck, well: StatedWell, swap: float | Shape, fleet: PumpingFleet) -> None:
        self._luck, self._well, self._fleet = luck, well, fleet
        self.swap_h: list[float] = luck.many(well.name, activities.SWAP, swap, well.stage_count).tolist()
        self._pump_h: dict[int, list[float]] = {}
        self._pumps_needed: dict[int, list[int]] = {}

    def pump_h(self, together: int) -> list[float]:
        """Pumping hours with so many wells pumped at once, at the rate the fleet can hold into each."""
        if together not in self._pump_h:
            well, held = self._well, held_rates(self._well, self._fleet, together)
            design_h = np.array(well.fluid_by_stage) / (MINUTES * held.rate_bpm)
            hours = self._luck.by_stage(well.name, activities.PUMP_STAGE, well.stage_design.pump_time, design_h)
            self._pump_h[together] = hours.tolist()
            self._pumps_needed[together] = held.pumps_needed.tolist()
        return self._pump_h[together]

    def pumps_needed(self, together: int) -> list[int]:
        """Pumps that must run at that rate; 0 where pressures are not stated, which stands for all but the spares."""
        self.pump_h(together)
        return self._pumps_needed[together]
