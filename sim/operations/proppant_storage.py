"""Proppant on the pad: deliveries begin, and the storage is filled as far as the first stage needs."""

from __future__ import annotations

from math import inf

import simpy

from sim import activities
from sim.operations.haulage import Haulage
from sim.operations.haulage_limits import HaulageLimits
from sim.operations.site import Site
from sim.operations.unit import Process, Unit
from sim.scenario.proppant import Proppant
from sim.supplies.stores import Stores

PROPPANT_STORAGE = "Proppant storage"


def fill_proppant(site: Site, storage: Unit) -> Process:
    """Let deliveries begin, and say when what the first stage needs is there."""
    proppant, supplies = site.scenario.proppant, site.supplies
    assert proppant is not None
    assert isinstance(supplies, Stores)  # as wherever proppant is stated
    yield from storage.arrive()
    on_hand = site.standing.levels.get(activities.PROPPANT, proppant.storage.on_hand)
    missing_lb = 0.0 if _is_in_use(site) else proppant.reachable_lb - on_hand
    if proppant.trucks is None:
        filled = _from_a_rate(site, supplies, proppant)
    else:
        silo = _Silo(site.env, supplies, missing_lb)
        road = site.working_times.road(proppant.trucks)
        haulage = Haulage(site.env, proppant.trucks, road, silo)
        haulage.start(site.log.seed, site.log.replication)
        supplies.let_tell(activities.PROPPANT, HaulageLimits(haulage, site.working_times.road_closed(proppant.trucks)))
        filled = silo.filled
    storage.waiting_for = f"{activities.PROPPANT}: {proppant.part}"
    if missing_lb > 0:
        yield filled
        storage.record(site.env.now, activities.FILL_PROPPANT)
    site.proppant_ready.succeed(storage.after)


def _is_in_use(site: Site) -> bool:
    """Whether what the first stage needs was found to be there, or to have been."""
    used = (activities.FILL_PROPPANT, activities.PUMP_STAGE)
    return any(site.standing.done(activity) for activity in used) or any(
        job.activity == activities.PUMP_STAGE for job in site.standing.jobs
    )


def _from_a_rate(site: Site, supplies: Stores, proppant: Proppant) -> simpy.Event:
    supplies.lay(activities.PROPPANT)
    hours = supplies.hours_to_reach(activities.PROPPANT, proppant.reachable_lb)
    return site.env.event() if hours == inf else site.env.timeout(hours)


class _Silo:
    """The storage as trucks see it. `filled` fires once what was missing is unloaded; nobody draws before that."""

    def __init__(self, env: simpy.Environment, supplies: Stores, missing: float) -> None:
        self._env, self._supplies, self._missing = env, supplies, missing
        self._until_h = 0.0
        self.filled = env.event()

    def room(self, volume: float) -> simpy.Event:
        return self._supplies.room_for(activities.PROPPANT, volume)

    def deliver(self, volume: float, hours: float) -> None:
        self._supplies.deliver(activities.PROPPANT, volume, hours)
        if self._missing > 0:
            self._missing -= volume
            self._until_h = max(self._until_h, self._env.now + hours)
            if self._missing <= 1e-6 * volume:
                self._env.timeout(self._until_h - self._env.now).callbacks.append(self._fill)

    def _fill(self, _: simpy.Event) -> None:
        self.filled.succeed()
