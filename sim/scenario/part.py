"""What every part of a scenario has in common: immutable, and unknown keys are refused."""

from __future__ import annotations

from typing import Annotated, Any, NamedTuple

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    WithJsonSchema,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema


class Part(BaseModel):
    """A piece of the plan as stated: validated, immutable, without behaviour."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, validate_default=True)


def default(value: Any, source: str, description: str = "") -> Any:
    """A default that is listed, with its source, wherever a user did not state the value.

    `value` is written as a user would write it, with its unit.
    """
    return Field(default=value, description=description or None, json_schema_extra={"source": source})


def unstated(meaning: str, source: str, description: str) -> Any:
    """A value that may be left out, and what is taken then: listed like a default."""
    said = f"{description}; if not stated: {meaning}"
    return Field(default=None, description=said, json_schema_extra={"source": source, "unstated": meaning})


class Expects(NamedTuple):
    """Mark of a value that is said to be expected in these words, whatever its type."""

    text: str


class OneOrSeveral:
    """Mark of a list whose only entry may be stated bare."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(_as_list, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        several = handler(schema)
        return {"anyOf": [several["items"], several]}


def _as_list(value: object) -> object:
    return value if value is None or isinstance(value, (list, tuple)) else [value]


def _no_truth(expected: str) -> BeforeValidator:
    """Refuses yes and no, which would pass for one and zero."""

    def refuse(value: object) -> object:
        if isinstance(value, bool):
            raise PydanticCustomError("truth", "a yes or no; expected {expected}", {"expected": expected})
        return value

    return BeforeValidator(refuse)


Count = Annotated[int, Field(ge=1, le=500), _no_truth("a whole number")]
Number = Annotated[float, _no_truth("a number")]


def _plain(value: str) -> str:
    if "." in value or value != value.strip() or not value.isprintable():
        raise PydanticCustomError(
            "name", "not a usable name; expected printable text without dots (paths use them) or outer spaces"
        )
    return value


def _text(value: object) -> object:
    return str(value) if type(value) is int else value  # a well called 12 is a name, not a number


Name = Annotated[
    str,
    Field(min_length=1, max_length=60),
    BeforeValidator(_text),
    AfterValidator(_plain),
    WithJsonSchema({"type": ["string", "integer"], "minLength": 1, "maxLength": 60, "pattern": "^[^.]+$"}),
]
