"""When each unit can work on what: on shift, outside crew changes, and not stopped by this replication's weather."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import inf

from sim import activities
from sim.calendars import Calendar, daily
from sim.chance.residual import MOST_TRIES
from sim.chance.streams import own_generator
from sim.chance.weather import EVERYTHING, stoppages
from sim.chance.windows import Window, union, without
from sim.operations.shifts import GOING_ON, Shifts, shifts_between
from sim.scenario.equipment import Unit as StatedUnit
from sim.scenario.proppant import Trucks
from sim.scenario.scenario import Scenario
from sim.scenario.weather import Weather
from sim.standing import NOTHING_YET, Standing

ROAD_HOURS, ROAD_CLOSED, ROAD_WEATHER = "road hours", "road closed", "weather on the road"  # what stops trucks
WORK_STOPPED = {
    activities.NIPPLE_UP: ("crane", "preparation"),
    activities.PRESSURE_TEST: ("preparation",),
    activities.TOE_PREPARATION: ("preparation",),
    activities.INJECTION_TEST: ("preparation",),
    activities.RIG_UP: ("crane",),
    activities.RIG_DOWN: ("crane",),
    activities.LAY_LINE: ("water_lines",),
    activities.ERECT_STORAGE: ("crane",),
    activities.HAUL: ("haulage",),
    activities.PLUG_AND_PERFORATE: ("wireline",),
    activities.PUMP_STAGE: ("pumping",),
    activities.SWAP: ("pumping",),
    activities.MOVE: ("crane", "pumping"),
    activities.TRIP_IN: ("drill_out",),
    activities.MILL_PLUGS: ("drill_out",),
    activities.SWEEP: ("drill_out",),
    activities.TRIP_OUT: ("drill_out",),
    activities.FLOW_BACK: ("flowback",),
    activities.TURN_IN_LINE: ("flowback",),
}
"""Activity -> classes of work under which the weather may stop it. What stops everything is in every class."""


def shifts_of(scenario: Scenario, unit: StatedUnit) -> Shifts:
    """The shifts of a unit, from hour zero to beyond the horizon: what its crew knows in advance."""
    shifts = scenario.shifts
    changes = () if shifts is None else tuple((at, at + shifts.crew_change) for at in shifts.changes_at)
    return _shifts(unit.hours, changes, _first_hour(scenario), scenario.horizon)


def _first_hour(scenario: Scenario) -> float:
    """Hour of the day at which the simulation starts."""
    start = scenario.start
    return start.hour + start.minute / 60 + start.second / 3600


@lru_cache(maxsize=256)
def _shifts(hours: Window, changes: tuple[Window, ...], first_hour: float, until_h: float) -> Shifts:
    """Remembered because all replications of a scenario share it; nobody changes a calendar."""
    on_duty = daily(*hours, first_hour, until_h)
    beyond_h = until_h + 72  # the last shift, too, has its changes, or any job would fit into that one
    pauses = [daily(a % 24, b % 24, first_hour, beyond_h).windows for a, b in changes if b > a]
    if not pauses:
        return shifts_between(on_duty, on_duty)
    between = without(on_duty.windows, union(*pauses))
    free = Calendar([window for window in between if window[1] < inf])  # nor is there one that never ends
    return shifts_between(on_duty, free)


def _drawn(
    scenario: Scenario, weather: Weather, seed: int, replication: int, standing: Standing
) -> dict[str, list[Window]]:
    """Weather of one replication; where it was found bad, drawn again until it is bad at that moment.

    So bad weather lasts on as long as what the plan has of it may still last, having lasted so long.
    """
    tries = MOST_TRIES if _is_bad_now(standing) else 1
    drawn: dict[str, list[Window]] = {}
    for number in range(tries):
        luck = own_generator(seed, replication, "weather", f"stoppages{f' again {number}' if number else ''}")
        drawn = stoppages(weather, scenario.start, scenario.horizon, luck)
        if any(a <= standing.as_of_h < b for windows in drawn.values() for a, b in windows):
            break
    return drawn


def _is_bad_now(standing: Standing) -> bool:
    """Whether weather was stopping work at the moment of the standing."""
    return 0 < standing.as_of_h <= max((b for _, b in standing.bad_weather), default=0.0)


def _as_it_was(drawn: dict[str, list[Window]], standing: Standing) -> dict[str, list[Window]]:
    """The weather as it was, as far as it is known, and from then on as drawn."""
    until_h = standing.weather_known_h
    was = [(a, min(b, until_h)) for a, b in standing.bad_weather if a < until_h]
    return {
        work: union(was, [(max(a, until_h), b) for a, b in windows if b > until_h]) for work, windows in drawn.items()
    }


class WorkingTimes:
    """The calendars of one replication. Units with the same hours share theirs."""

    def __init__(self, scenario: Scenario, seed: int, replication: int, standing: Standing = NOTHING_YET) -> None:
        self._scenario = scenario
        self._stopped: dict[str, list[Window]] = {}
        if scenario.weather is not None:
            self._stopped = _drawn(scenario, scenario.weather, seed, replication, standing)
        if standing.weather_known_h > 0:
            self._stopped = _as_it_was(self._stopped or {EVERYTHING: []}, standing)
        self._stopped_at = {work: self._windows(work) for work in {(), *WORK_STOPPED.values()}}
        self._known: dict[tuple[Calendar, tuple[Window, ...]], Calendar] = {}
        self._open_for: dict[Window, Callable[[str], Calendar]] = {}

    def of(self, unit: StatedUnit, shifts: Shifts) -> Callable[[str], Calendar]:
        """When the unit, with these shifts, can really work on an activity."""
        if unit.hours not in self._open_for:
            opens = {activity: self._open(shifts.free, work) for activity, work in WORK_STOPPED.items()}
            opens |= {activity: self._open(shifts.going_on, WORK_STOPPED[activity]) for activity in GOING_ON}
            otherwise = self._open(shifts.free, ())
            self._open_for[unit.hours] = lambda activity: opens.get(activity, otherwise)
        return self._open_for[unit.hours]

    def road(self, trucks: Trucks) -> Calendar:
        """When trucks can drive: in the hours of the road, but for its closures and weather that stops haulage."""
        scenario = self._scenario
        hours = daily(*trucks.hours, _first_hour(scenario), scenario.horizon)
        closed = [(scenario.hours_at(each.begins), scenario.hours_at(each.until)) for each in trucks.closed or ()]
        road = Calendar(without(hours.windows, union(*([closure] for closure in closed)))) if closed else hours
        return self._open(road, WORK_STOPPED[activities.HAUL])

    def road_closed(self, trucks: Trucks) -> list[tuple[str, list[Window]]]:
        """Why and when trucks cannot drive: out of hours, by closures, by weather."""
        scenario = self._scenario
        hours = daily(*trucks.hours, _first_hour(scenario), scenario.horizon)
        closed = [(scenario.hours_at(each.begins), scenario.hours_at(each.until)) for each in trucks.closed or ()]
        return [
            (ROAD_HOURS, without([(0.0, inf)], hours.windows)),
            (ROAD_CLOSED, union(*([closure] for closure in closed))),
            (ROAD_WEATHER, list(self._stopped_at[WORK_STOPPED[activities.HAUL]])),
        ]

    def _windows(self, work: tuple[str, ...]) -> tuple[Window, ...]:
        """When the weather stops work of these classes, or what stops everything where none of them is stated."""
        stated = [self._stopped[each] for each in work if each in self._stopped]
        if not stated:
            return tuple(self._stopped.get(EVERYTHING, ()))
        return tuple(stated[0] if len(stated) == 1 else union(*stated))

    def _open(self, on_shift: Calendar, work: tuple[str, ...]) -> Calendar:
        stopped = self._stopped_at[work]
        if not stopped:
            return on_shift
        if (on_shift, stopped) not in self._known:
            self._known[on_shift, stopped] = Calendar(without(on_shift.windows, stopped))
        return self._known[on_shift, stopped]
