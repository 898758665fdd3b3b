"""What a stage log of a scenario may speak of: its units, wells, activities and causes."""

from __future__ import annotations

from dataclasses import dataclass

from sim import activities
from sim.activities import STAND_BY
from sim.log import Interval
from sim.pad import StuckError, simulate
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
    }
)
"""Activities that may stand without a well, beside those to which the plan itself gives none."""
OF_NO_UNIT = frozenset({activities.RIG_RELEASE, activities.WATCH_PRESSURE, activities.SHUT_IN})
USUAL_ACTIVITIES = (*activities.WAITING_FOR, activities.ARRIVE, activities.SHUT_IN, STAND_BY)


@dataclass(frozen=True)
class Vocabulary:
    """Names of units and activities, stages by well; `without_well` are activities that may stand without one."""

    units: tuple[str, ...]
    activities: tuple[str, ...]
    stages: dict[str, int]
    without_well: frozenset[str]


def vocabulary_of(scenario: Scenario) -> Vocabulary:
    """Everything with a name: as stated, and as the model writes it when the plan is played."""
    rows = _played(scenario)
    stated = [name for entries in scenario.units.kinds.values() for name, _ in individuals(entries)]
    return Vocabulary(
        _once(*stated, *(row.unit for row in rows if row.unit)),
        _once(*USUAL_ACTIVITIES, *(row.activity for row in rows)),
        {well.name: well.stage_count for well in scenario.wells},
        OF_NO_WELL | {row.activity for row in rows if not row.well},
    )


def _played(scenario: Scenario) -> list[Interval]:
    """One replication: units and activities that nobody states, such as those of the water, have rows in it."""
    try:
        return simulate(scenario).intervals
    except StuckError:  # a plan that cannot go on still has its stated names
        return []


def _once(*names: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
