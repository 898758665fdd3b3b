"""What a stage log of a scenario may speak of: its units, wells, activities and causes."""

from __future__ import annotations

from dataclasses import dataclass

from sim import activities
from sim.operations.unit import STAND_BY
from sim.operations.water_system import LINE, STORAGE
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario

OF_A_STAGE = frozenset({activities.PLUG_AND_PERFORATE, activities.PUMP_STAGE})
OF_NO_WELL = frozenset(
    {
        STAND_BY,
        activities.ARRIVE,
        activities.RIG_UP,
        activities.RIG_DOWN,
        activities.MOVE,
        activities.SHUT_IN,
        activities.LAY_LINE,
        activities.ERECT_STORAGE,
        activities.FILL_STORAGE,
    }
)
"""Activities that may stand without a well."""
OF_NO_UNIT = frozenset({activities.RIG_RELEASE, activities.WATCH_PRESSURE, activities.SHUT_IN})
ACTIVITIES = (*activities.WAITING_FOR, activities.ARRIVE, activities.SHUT_IN, STAND_BY)


@dataclass(frozen=True)
class Vocabulary:
    """Names of units, stages by well, and the troubles of a scenario."""

    units: tuple[str, ...]
    stages: dict[str, int]
    troubles: frozenset[str]


def vocabulary_of(scenario: Scenario) -> Vocabulary:
    """Everything with a name."""
    units = [name for entries in scenario.units.kinds.values() for name, _ in individuals(entries)]
    stages = {well.name: well.stage_count for well in scenario.wells}
    return Vocabulary((*units, LINE, STORAGE), stages, frozenset(scenario.troubles))
