"""How long pumping and swapping take at each stage of a well, under the luck of a replication or on average."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from sim import activities
from sim.chance.luck import Luck
from sim.scenario.equipment import PumpingFleet
from sim.scenario.shapes import Shape
from sim.scenario.treating import MINUTES, held_rates
from sim.scenario.wells import Well as StatedWell


class Pumping(NamedTuple):
    """Pumping one stage: hours, and the pumps that must run.

    0 pumps where pressures are not stated: that stands for all but the spares.
    """

    hours: float
    pumps: int


class StageTimes:
    """Swap and pumping hours of a well under one fleet, lists over the stages from the toe."""

    def __init__(self, luck: Luck, well: StatedWell, swap: float | Shape, fleet: PumpingFleet) -> None:
        self._luck, self._well, self._fleet = luck, well, fleet
        self.swap_h: list[float] = luck.many(well.name, activities.SWAP, swap, well.stage_count).tolist()
        self._pumping: dict[int, list[Pumping]] = {}

    def pumping(self, together: int) -> list[Pumping]:
        """Pumping each stage with so many wells pumped at once, at the rate the fleet can hold into each."""
        if together not in self._pumping:
            well, held = self._well, held_rates(self._well, self._fleet, together)
            design_h = np.array(well.fluid_by_stage) / (MINUTES * held.rate_bpm)
            hours = self._luck.by_stage(well.name, activities.PUMP_STAGE, well.stage_design.pump_time, design_h)
            self._pumping[together] = list(
                map(Pumping._make, zip(hours.tolist(), held.pumps_needed.tolist(), strict=True))
            )
        return self._pumping[together]

    def pump_h(self, together: int) -> list[float]:
        """Pumping hours alone."""
        return [stage.hours for stage in self.pumping(together)]
