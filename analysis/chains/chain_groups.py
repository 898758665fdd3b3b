"""What the pieces of a chain are told as: by kind in tables, by the trade or the hindrance in the picture."""

from __future__ import annotations

from sim import activities
from sim.activities import WAITING_FOR

DATES, WORK, WAITING, TROUBLE = "Stated dates", "Work", "Waiting", "Trouble"
KINDS = (DATES, WORK, WAITING, TROUBLE)
_KINDS = {"work": WORK, "wait": WAITING, "trouble": TROUBLE}
_STATED = {("work", activities.RIG_RELEASE), ("wait", activities.ARRIVAL), ("wait", activities.ON_CALL)}

MOVING = "rig up, swap, move"
TROUBLES = "troubles"
OTHER = "other"
_MOVES = {activities.RIG_UP, activities.RIG_DOWN, activities.SWAP, activities.MOVE}
GROUPS = (
    activities.RIG_RELEASE,
    activities.ARRIVAL,
    activities.ON_CALL,
    "preparation",
    "water system",
    MOVING,
    "wireline",
    "pumping",
    "drill-out",
    "flowback",
    OTHER,
    activities.OUTSIDE_HOURS,
    activities.CREW_CHANGE,
    activities.WEATHER,
    activities.WATER,
    "proppant",
    activities.FACILITY,
    TROUBLES,
)
"""In the order in which a picture shows them: as the work goes, then what kept it waiting, then what went wrong."""


def kind_of(kind: str, reason: str) -> str:
    """Stated dates, work, waiting or trouble: a rig release and an arrival are dates that the plan itself states."""
    return DATES if (kind, reason) in _STATED else _KINDS[kind]


def group_of(kind: str, reason: str) -> str:
    """The trade that work belongs to; of waits the cause; troubles together."""
    if kind == "trouble":
        return TROUBLES
    if kind == "wait":
        return _in_groups(activities.supply_of(reason), WAITING_FOR.get(reason, OTHER))
    if reason in _MOVES:
        return MOVING
    return _in_groups(WAITING_FOR.get(reason, OTHER))


def _in_groups(*names: str) -> str:
    """The first of these that a picture shows, or else what it shows all others as."""
    return next((name for name in names if name in GROUPS), OTHER)


def wording(kind: str, reason: str, units: list[str]) -> str:
    """A piece in a planner's words; an arrival is that of the units concerned."""
    if (kind, reason) == ("work", activities.RIG_RELEASE):
        return "until rig release"
    if reason in {activities.ARRIVAL, activities.ON_CALL}:
        return f"until {', '.join(units)} arrives" if len(units) == 1 else "until units arrive"
    return reason
