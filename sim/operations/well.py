"""A well on its way from rig release to on production."""

from __future__ import annotations

import simpy

from sim.scenario.wells import Well as StatedWell


class Well:
    """State of one well in one replication.

    `prepared` fires with the row at whose end the well is ready for fracturing. `pumped` counts stages, from the toe.
    """

    def __init__(self, env: simpy.Environment, stated: StatedWell, number: int) -> None:
        self.stated, self.number = stated, number
        self.name = stated.name
        self.stages = stated.stage_count
        self.fluid_bbl, self.proppant_lb = stated.fluid_by_stage, stated.proppant_lb
        self.prepared = env.event()
        self.pumped = 0

    @property
    def toe_is_open(self) -> bool:
        """Whether stage 1 needs no wireline run."""
        return self.stated.toe.method != "none"

    @property
    def is_open(self) -> bool:
        """Whether its next stage needs no wireline run."""
        return self.toe_is_open and not self.pumped

    @property
    def wireline_runs(self) -> int:
        """Runs the well needs in all."""
        return self.stages - self.toe_is_open
