"""Water that never comes, and work that could never start beside a store as it is, of water or anything else."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from sim.scenario.document import Steps
from sim.scenario.feasibility import Finding
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import StartRule, Water
from sim.scenario.thirst import Thirst, drill_outs, runs, stages, stages_of_another, water_in_all, water_there


class Holds(NamedTuple):
    """A store as stated: where, what it holds at most, what of it is never drawn, and what flows in at most."""

    steps: Steps
    capacity: float
    minimum: float
    rule: StartRule
    inflow: float
    unit: str

    @property
    def counted_on(self) -> float:
        """What its rule counts on to flow in meanwhile, by the hour."""
        return self.inflow if self.rule == "enough to finish" else 0.0


def never_delivered(scenario: Scenario) -> Iterator[Finding]:
    """Sources that deliver nothing, where less is on hand than the wells need, pump-down and drill-out included."""
    water = scenario.water
    if water is None or sum(source.rate for source in water.sources) > 0:
        return
    on_hand, wanted, needed = water_there(water), water.storage.filled_to, water_in_all(scenario)
    if max(wanted, needed) > on_hand:
        everything = f"{needed:,.0f} bbl for all stages, wireline runs and drill-outs"
        short = f"{wanted:,.0f} bbl to begin with" if wanted > on_hand else everything
        message = f"deliver nothing, and the {on_hand:,.0f} bbl on hand are less than the {short}"
        yield Finding(("water", "sources"), f"{message}; expected a rate above zero")


def never_started(scenario: Scenario) -> Iterator[Finding]:
    """What can never start, with its store full and whatever the luck: of each kind of work the worst."""
    if scenario.water is not None:
        holds = _water(scenario.water)
        # where a full stage must be on hand, what stages take is looked at before rates are known
        pumped = () if holds.rule == "full stage on hand" else stages(scenario, lambda w, k: w.fluid_by_stage[k])
        for work in (pumped, runs(scenario), drill_outs(scenario, holds.counted_on)):
            yield from _worst(work, holds)
    proppant = scenario.proppant
    if proppant is not None and proppant.rate and proppant.start_rule == "enough to finish":
        steps, storage = ("proppant", "storage", "capacity"), proppant.storage
        holds = Holds(steps, storage.capacity, 0.0, proppant.start_rule, proppant.rate, "lb")
        yield from _worst(stages(scenario, lambda well, _: well.proppant_lb), holds)
    for name, other in scenario.other_supplies.items():
        steps = ("other_supplies", name, "capacity")
        holds = Holds(steps, other.capacity, other.working_minimum, other.start_rule, other.rate, "bbl")
        yield from _worst(stages_of_another(scenario, other), holds)


def _water(water: Water) -> Holds:
    storage = water.storage
    steps = ("water", "storage", "capacity")
    return Holds(steps, storage.capacity, storage.working_minimum, water.start_rule, water.most_inflow, "bbl")


def _worst(work: Iterable[Thirst], holds: Holds) -> Iterator[Finding]:
    """What must be on hand at least for the worst of some work, where the store never holds so much."""
    worst = max(work, key=lambda each: each.must_be_there(holds.counted_on), default=None)
    if worst is None or holds.rule == "as it comes":
        return
    needed = worst.must_be_there(holds.counted_on) + holds.minimum
    if needed > holds.capacity * (1 + 1e-9):
        yield Finding(holds.steps, _message(worst, holds, needed))


def _message(work: Thirst, holds: Holds, needed: float) -> str:
    least = f"expected at least {needed:,.0f} {holds.unit}"
    if holds.minimum:
        least += f", of which {holds.minimum:,.0f} are never drawn"
    if holds.rule == "full stage on hand":
        return f"less than {work.what} takes; {least}, or a start_rule other than 'full stage on hand'"
    beyond = needed - holds.minimum
    taken = (
        f"which takes {work.volume:,.0f} {holds.unit}, of which at most {work.volume - beyond:,.0f} flow in meanwhile"
    )
    if work.per_hour:
        taken = f"which takes at least {beyond:,.0f} {holds.unit} more than flow in meanwhile"
    return f"too little for {work.what}, {taken}; {least}, or start_rule 'as it comes'"
