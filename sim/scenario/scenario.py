"""A whole scenario: the plan as stated, validated and immutable."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Annotated, Any

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from sim.scenario.choices import Choices
from sim.scenario.equipment import Shifts, Units
from sim.scenario.fuel import Fuel
from sim.scenario.part import Expects, Name, Number, Part, default, unstated
from sim.scenario.prices import Prices
from sim.scenario.proppant import Proppant
from sim.scenario.quantities import PositiveHours
from sim.scenario.strategy import Strategy
from sim.scenario.supplies import Facility, OtherSupply, Water
from sim.scenario.troubles import PumpFailure, Trouble, Troubles
from sim.scenario.weather import Weather
from sim.scenario.wells import Moment, Well

MOST_ALTERNATIVES = 200
MOST_WELLS = 1000
MOST_UNCERTAIN = 50
_UNCERTAIN = "distributions by path, such as water.transfer.limit: {uniform: [50 kbbl/day, 90 kbbl/day]}"


def _zone(name: str) -> str:
    """A name of the time zone database of IANA."""
    from zoneinfo import ZoneInfo  # noqa: PLC0415 - few files state one

    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError) as error:
        raise PydanticCustomError("zone", "not a time zone known here; expected for example America/Denver") from error
    return name


class Scenario(Part):
    """One pad, its units, its supplies and its strategy. Hour zero of the simulation is `start`, local time."""

    title: Annotated[str, Field(max_length=200)] = "Untitled pad"
    start: Moment = Field(description="hour zero: local date and time at the location")
    horizon: PositiveHours = default("365 day", "assumption", "work beyond it is counted as unfinished")
    wells: Annotated[tuple[Well, ...], Field(min_length=1, max_length=MOST_WELLS)] = Field(
        description="one entry for each well, or the name of a csv table"
    )
    units: Units
    water: Water | None = unstated("never short", "assumption", "sources, transfer and storage of water")
    proppant: Proppant | None = unstated("never short", "assumption", "storage and delivery of proppant")
    other_supplies: Annotated[dict[Name, OtherSupply], Field(max_length=20)] = Field(
        default_factory=dict, description="chemicals, fuel and the like, by name"
    )
    facility: Facility | None = unstated("no limit", "assumption", "what the wells on production share")
    strategy: Strategy = Field(default_factory=Strategy)
    shifts: Shifts | None = unstated("no time for crew changes", "assumption", "crew changes with their safety meeting")
    weather: Weather | None = unstated("never stops work", "assumption", "the weather that stops work")
    troubles: Troubles = Field(
        default_factory=dict, description="what may go wrong, by name; a usual name alone takes its usual figures"
    )
    trouble_factor: Annotated[Number, Field(ge=0, le=100)] = Field(
        default=1.0, description="multiplies how often every trouble strikes"
    )
    fuel: Fuel | None = unstated("not counted", "assumption", "what burns fuel on location")
    prices: Prices | None = unstated("not priced", "assumption", "what things cost and bring")
    time_zone: Annotated[str, AfterValidator(_zone)] | None = unstated(
        "times of no zone", "assumption", "zone of the calendar file, such as America/Denver; times here are local"
    )
    alternatives: Annotated[dict[Name, dict[str, Any]], Field(max_length=MOST_ALTERNATIVES)] = Field(
        default_factory=dict, description="named patches on this scenario: {path.to.field: value}"
    )

    uncertain: Annotated[dict[str, Any], Expects(_UNCERTAIN), Field(max_length=MOST_UNCERTAIN)] = Field(
        default_factory=dict, description="what is not known about the plan itself: {path.to.field: distribution}"
    )
    choices: Choices | None = Field(default=None, description="what can still be chosen, at what cost, and the promise")

    def hours_at(self, moment: datetime) -> float:
        """Hours from the start of the simulation to `moment`."""
        return (moment - self.start) / timedelta(hours=1)

    def moment_at(self, hours: float) -> datetime:
        """Local date and time, `hours` after the start."""
        return self.start + timedelta(hours=hours)

    @property
    def activity_troubles(self) -> dict[str, Trouble]:
        """The troubles that strike an activity, by name."""
        return {name: trouble for name, trouble in self.troubles.items() if isinstance(trouble, Trouble)}

    @property
    def pump_failure(self) -> tuple[str, PumpFailure] | None:
        """The trouble that strikes single pumps, with its name, if one is stated."""
        found = [(name, trouble) for name, trouble in self.troubles.items() if isinstance(trouble, PumpFailure)]
        return found[0] if found else None

    @property
    def groups(self) -> tuple[tuple[Well, ...], ...]:
        """Wells fractured in one rotation, group after group, in the order of the strategy."""
        by_name = {well.name: well for well in self.wells}
        order = [by_name[name] for name in self.strategy.order or by_name]
        sizes = self.strategy.wells_in_rotation
        groups: list[tuple[Well, ...]] = []
        while order:
            size = sizes[min(len(groups), len(sizes) - 1)]
            groups.append(tuple(order[:size]))
            order = order[size:]
        return tuple(groups)
