"""What can still be chosen, at what cost, and the promise that the choice must keep: for `padtempo size`."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import BeforeValidator, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from sim.scenario.part import Expects, Part
from sim.scenario.quantities import ShareAboveNone
from sim.scenario.wells import Moment

MilestoneName = Literal["fracturing starts", "fracturing ends", "first production", "every well on production"]
_MONEY = re.compile(r"(\d+(?:_\d+)*(?:\.\d+)?)\s*(thousand|million)?\s*([A-Z]{3})")
_CHEAPEST_OF = "values and costs by path, such as water.storage.capacity: [{value: 60 kbbl, cost: 60000 USD}]"
_SCALE = {None: 1.0, "thousand": 1e3, "million": 1e6}


class Money(NamedTuple):
    """An amount in a currency by its ISO 4217 code; nothing at all has no currency."""

    amount: float
    currency: str = ""


def parse_money(value: object) -> Money:
    """Money as it is written, such as '60000 USD'. Raises a pydantic error; a bare number is refused, except zero."""
    match = _MONEY.fullmatch(value.strip()) if isinstance(value, str) else None
    if match is not None:
        return Money(float(match[1]) * _SCALE[match[2]], match[3])
    if value == 0 and not isinstance(value, bool):
        return Money(0.0)
    message = "not an amount of money; expected a number with its currency, such as '60000 USD' or '1.2 million USD'"
    raise PydanticCustomError("quantity", "{message}", {"message": message})


Cost = Annotated[
    Money,
    BeforeValidator(lambda value: value if isinstance(value, Money) else parse_money(value)),
    WithJsonSchema({"type": ["string", "number"], "minimum": 0, "maximum": 0, "examples": ["60000 USD"]}),
]


class Option(Part):
    """One value that may be chosen, and what it costs beyond the cheapest."""

    value: Any = Field(description="as it would be written at the path")
    cost: Cost = Field(
        default=Money(0.0), description="what choosing it costs, such as '60000 USD'", json_schema_extra={"default": 0}
    )


class Promise(Part):
    """What must hold: the milestone is reached by the date with at least this chance."""

    milestone: MilestoneName = "every well on production"
    chance: Annotated[ShareAboveNone, Field(lt=1)] = Field(default="90 %", validate_default=True)
    by: Moment


Options = Annotated[tuple[Option, ...], Field(min_length=1, max_length=100)]


class Choices(Part):
    """What can still be chosen, by path, and the promise that the cheapest choice must keep."""

    promise: Promise
    cheapest_of: Annotated[dict[str, Options], Expects(_CHEAPEST_OF), Field(min_length=1, max_length=20)] = Field(
        description="path -> list of {value, cost}; costs of all paths are added up"
    )
