"""A milestone that somebody asks about, and the row of a log at whose end it is reached.

Runs in the worker that played the replication, so it imports nothing heavy.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from analysis.on_production import is_over, last_of_flowback
from sim.activities import PUMP_STAGE, TURN_IN_LINE
from sim.log import Log
from sim.scenario.problems import did_you_mean
from sim.scenario.scenario import Scenario
from sim.scenario.written import shortened

FIRST_PRODUCTION = "first production"
ALL_ON_PRODUCTION = "every well on production"
FRACTURED = "fracturing done"
OF_PAD = (FIRST_PRODUCTION, ALL_ON_PRODUCTION, FRACTURED)

NOT_REACHED = -1


class NoSuchMilestoneError(Exception):
    """Nobody can say when it is reached; the message names what can be asked for."""


class Goal(NamedTuple):
    """A milestone: one well done with an activity, or without one the first or the last of all wells.

    Turn in line stands for whatever a well is on production after, see `analysis.on_production`. Pumping is done with
    a well's last stage. Which wells there are and how many stages is the log's to say, so that one goal serves plans
    that differ in them.
    """

    name: str
    activity: str
    well: str = ""
    first: bool = False


def goal_of(scenario: Scenario, asked: str) -> Goal:
    """The milestone called that, or the production of the well called that; capitals do not matter.

    Raises NoSuchMilestoneError.
    """
    wells = [well.name for well in scenario.wells]
    known = {name.casefold(): name for name in (*wells, *OF_PAD)}
    name = known.get(" ".join(asked.split()).casefold())
    if name is None:
        raise NoSuchMilestoneError(_unknown(asked, wells))
    if name in OF_PAD:
        return Goal(name, PUMP_STAGE if name == FRACTURED else TURN_IN_LINE, first=name == FIRST_PRODUCTION)
    return Goal(f"{name} on production", TURN_IN_LINE, name)


def _unknown(asked: str, wells: list[str]) -> str:
    listed = ", ".join(shortened(name) for name in wells[:30]) + (" and more" if len(wells) > 30 else "")
    hint = did_you_mean(asked, (*OF_PAD, *wells))
    return (
        f"--milestone: no milestone and no well is called '{shortened(asked)}'{hint}; "
        f"expected {', '.join(OF_PAD)}, or a well to be on production: {listed}"
    )


def reached_by(log: Log, goal: Goal) -> int:
    """Index of the row at whose end the milestone is reached, or NOT_REACHED.

    What still waits, or ends at the horizon, is not done. Of rows that end together the first in the log counts.
    """
    rows, places = log.intervals, _places(log, goal)
    done = [number for number in sorted(_last_rows(log, goal.activity, places)) if is_over(log, rows[number])]
    if not done or (len(done) < len(places) and not goal.first):
        return NOT_REACHED
    ends = [rows[number].end_h for number in done]
    return done[ends.index(min(ends) if goal.first else max(ends))]


def _places(log: Log, goal: Goal) -> set[tuple[str, int]]:
    """Wells, each with the stage of which the activity counts; 0 is no particular one."""
    wells = (goal.well,) if goal.well else log.stages
    return {(well, log.stages.get(well, 0) if goal.activity == PUMP_STAGE else 0) for well in wells}


def _last_rows(log: Log, activity: str, places: set[tuple[str, int]]) -> Iterable[int]:
    """The last row of the activity in each of the places, as far as there is one."""
    if activity == TURN_IN_LINE:
        return last_of_flowback(log, [well for well, _ in places]).values()
    return _last_of(log, activity, places)


def _last_of(log: Log, activity: str, places: set[tuple[str, int]]) -> Iterator[int]:
    left, rows = set(places), log.intervals
    for number in range(len(rows) - 1, -1, -1):
        row = rows[number]
        if row.activity == activity and (row.well, row.stage) in left:
            left.discard((row.well, row.stage))
            yield number
            if not left:
                return
