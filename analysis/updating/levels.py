"""What storages and ponds hold at the moment of an update: as told, or as far as the log lets one suppose."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from sim import activities
from sim.scenario import Problem, ScenarioError
from sim.scenario.problems import did_you_mean
from sim.scenario.quantities import MASS, VOLUME, Dimension, parse
from sim.scenario.scenario import Scenario
from sim.standing import Standing

OPTION = "--level"


class Holder(NamedTuple):
    """Something that holds a supply: in what that is measured, the most it holds, and how full it is taken to be."""

    measure: Dimension
    capacity: float
    at_start: float
    in_use: float


def holders(plan: Scenario) -> dict[str, Holder]:
    """All that hold a supply, by their names in the log; `water` and `proppant` are the storages on the pad."""
    found: dict[str, Holder] = {}
    if plan.water is not None:
        storage = plan.water.storage
        full = max(storage.filled_to, storage.on_hand)
        found[activities.WATER] = Holder(VOLUME, storage.capacity, storage.on_hand, full)
        found |= {each.name: Holder(VOLUME, each.capacity, each.on_hand, each.on_hand) for each in plan.water.ponds}
    if plan.proppant is not None:
        silos = plan.proppant.storage
        full = max(plan.proppant.reachable_lb, silos.on_hand)
        found[activities.PROPPANT] = Holder(MASS, silos.capacity, silos.on_hand, full)
    for name, other in plan.other_supplies.items():
        held = other.capacity if other.on_hand is None else other.on_hand
        found[name] = Holder(VOLUME, other.capacity, held, held)
    return found


def told_levels(texts: Sequence[str], plan: Scenario) -> dict[str, float]:
    """Levels as stated on the command line: `12 kbbl` for the water storage, `North pond=20 kbbl` for any other.

    Raises ScenarioError with all that is wrong with them.
    """
    known, found, problems = holders(plan), dict[str, float](), list[Problem]()
    for text in texts:
        name, _, value = text.rpartition("=")
        name = name.strip() or activities.WATER
        fault = _fault(name, value, known, found)
        if fault:
            problems.append(Problem(OPTION, 0, "", fault, text))
    if problems:
        raise ScenarioError(problems)
    return found


def _fault(name: str, value: str, known: dict[str, Holder], found: dict[str, float]) -> str:
    """What is wrong with a level, which is put among those found if nothing is."""
    from pydantic_core import PydanticCustomError

    if name not in known:
        of = f"expected one of {', '.join(known)}" if known else "the plan states no supply"
        return f"nothing of the plan is called '{name}'{did_you_mean(name, known)}; {of}"
    if name in found:
        return f"the level of {name} is stated twice"
    try:
        level = parse(value.strip(), known[name].measure)
    except PydanticCustomError as error:
        return str(error.message())
    if level > known[name].capacity:
        unit = "bbl" if known[name].measure is VOLUME else "lb"
        return f"expected at most what {name} can hold, {known[name].capacity:,.0f} {unit}"
    found[name] = level
    return ""


def supposed_levels(plan: Scenario, found: Standing) -> dict[str, float]:
    """What is supposed of those of which nobody has said anything.

    Storages on the pad stand as high as before the first stage once work draws on them, and all else as at the start.
    """
    drawn = {activities.PUMP_STAGE, activities.PLUG_AND_PERFORATE, activities.MILL_PLUGS}
    over = {job.activity for job in found.jobs if job.is_done}
    in_use = any(job.activity in drawn for job in found.jobs)
    filled = {activities.WATER: activities.FILL_STORAGE, activities.PROPPANT: activities.FILL_PROPPANT}
    return {
        name: each.in_use if in_use or filled.get(name, "") in over else each.at_start
        for name, each in holders(plan).items()
    }
