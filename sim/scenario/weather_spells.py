"""Weather as mean lengths of good and bad spells, month by month."""

from __future__ import annotations

from datetime import datetime

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario.part import Part
from sim.scenario.quantities import Hours, PositiveHours

MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)


def _refused(message: str) -> PydanticCustomError:
    return PydanticCustomError("spells", "{message}", {"message": message})


class Spell(Part):
    """Mean lengths of the spells of good and of bad weather in a month."""

    good: PositiveHours
    bad: Hours = Field(description="0 where the month has no bad weather")

    @model_validator(mode="after")
    def _lasting(self) -> Spell:
        if self.good < 1:
            raise _refused("good weather of less than an hour in the mean, taken for a slip; expected 1 h or more")
        return self


class Spells(Part):
    """Good and bad weather by turns, each spell of random (exponential) length, month by month."""

    january: Spell | None = None
    february: Spell | None = None
    march: Spell | None = None
    april: Spell | None = None
    may: Spell | None = None
    june: Spell | None = None
    july: Spell | None = None
    august: Spell | None = None
    september: Spell | None = None
    october: Spell | None = None
    november: Spell | None = None
    december: Spell | None = None
    other_months: Spell | None = Field(default=None, description="months that are not stated")

    @model_validator(mode="after")
    def _all_year(self) -> Spells:
        bare = [month for month in MONTHS if getattr(self, month) is None]
        if bare and self.other_months is None:
            raise _refused(f"nothing stated for {', '.join(bare)}; expected each month, or other_months")
        return self

    def at(self, moment: datetime) -> Spell:
        """The lengths in force at a moment."""
        spell: Spell | None = getattr(self, MONTHS[moment.month - 1]) or self.other_months
        assert spell is not None  # checked above
        return spell
