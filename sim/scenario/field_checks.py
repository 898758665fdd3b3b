"""Whether units, stacks and policies of a scenario are enough for its wells."""

from __future__ import annotations

from collections.abc import Iterator

from sim.scenario.feasibility import Finding
from sim.scenario.scenario import Scenario


def unprepared(scenario: Scenario) -> Iterator[Finding]:
    """A preparation job that no crew does."""
    known = {job for crew in scenario.units.preparation_crews for job in crew.does}
    needed = ["nipple up", "pressure test", "toe preparation"]
    if any(well.injection_test is not None for well in scenario.wells):
        needed.append("injection test")
    for job in needed:
        if job not in known:
            message = f"no crew does the {job}; expected it under `does` of one of them"
            yield Finding(("units", "preparation_crews"), message)


def too_few_stacks(scenario: Scenario) -> Iterator[Finding]:
    """Fewer frac stacks than wells that must have one at the same time."""
    stacks = scenario.units.frac_stacks
    by_pad = scenario.strategy.drill_out == "after the pad"
    needed = len(scenario.wells) if by_pad else max(len(group) for group in scenario.groups)
    if stacks is not None and stacks < needed:
        reason = "every well keeps its own until the pad is fractured" if by_pad else "the largest group needs its own"
        yield Finding(("units", "frac_stacks"), f"too few: {reason}; expected at least {needed}")
