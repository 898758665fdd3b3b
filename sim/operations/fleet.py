"""A pumping fleet with its pumps: what a stage takes it, and what failing pumps add."""

from __future__ import annotations

from collections.abc import Sequence

from sim.activities import PUMP_STAGE
from sim.chance.luck import Luck
from sim.chance.pump_bank import PumpBank
from sim.chance.sampling import sample
from sim.chance.streams import own_generator
from sim.operations.learning import faster
from sim.operations.site import Site
from sim.operations.stage_times import Pumping, StageTimes
from sim.operations.unit import Unit
from sim.operations.well import Well
from sim.scenario.equipment import PumpingFleet
from sim.scenario.troubles import PumpFailure
from sim.supplies.store import ROUNDING


class Fleet:
    """A fleet at work on the site. `pump_trouble` is the name under which failing pumps are logged."""

    def __init__(self, site: Site, unit: Unit, stated: PumpingFleet) -> None:
        self.unit, self.stated = unit, stated
        jobs = site.standing.of_unit.get(unit.name, ())
        self._pumped = len({job.start_h for job in jobs if job.activity == PUMP_STAGE and job.is_done})
        self.pump_trouble, failure = site.scenario.pump_failure or ("", None)
        self._bank = self._pumps(site, failure) if failure and site.scenario.trouble_factor > 0 else None

    def _pumps(self, site: Site, failure: PumpFailure) -> PumpBank:
        luck = own_generator(site.log.seed, site.log.replication, self.unit.name, "pumps")
        mean_h = failure.every / site.scenario.trouble_factor
        return PumpBank(
            self.stated.pumps,
            failure.repair_crews,
            lambda: float(luck.exponential(mean_h)),
            lambda: float(sample(failure.repair, luck, 1)[0]),
        )

    def stage_times(self, site: Site, well: Well, luck: Luck | None = None) -> StageTimes:
        """Swap and pumping hours of a well under this fleet, with the luck of the site or other."""
        return StageTimes(luck or site.luck, well.stated, site.scenario.strategy.swap.time, self.stated)

    def stage_hours(self, wells: Sequence[Pumping]) -> float:
        """Hours of the fleet's next stage, in one well or several: those of the slowest, less what it has learnt."""
        self._pumped += 1
        return self.this_stage_hours(wells)

    def this_stage_hours(self, wells: Sequence[Pumping]) -> float:
        """The same of the stage that it is at."""
        return max([well.hours for well in wells]) * faster(self.stated.learning, self._pumped)

    def pumps_lose_h(self, hours: float, wells: Sequence[Pumping]) -> float:
        """Hours that pumps which are down add to so many hours of a stage, begun now."""
        if self._bank is None:
            return 0.0
        running = max([well.pumps for well in wells]) or self.stated.pumps - self.stated.spare_pumps
        lost_h = self._bank.pump(self.unit.env.now, hours, running) - hours
        return lost_h if lost_h > ROUNDING else 0.0
