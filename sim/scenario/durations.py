"""How long something takes, as stated: fixed, a distribution, from the design, or stage by stage."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag

from sim.scenario.part import Part, default
from sim.scenario.quantities import Hours
from sim.scenario.shapes import Shape
from sim.scenario.stated_shapes import SHAPE_NAMES, FactorNumber, FactorShape, HoursShape, plain, shape_of


def _duration_tag(value: object) -> str | None:
    return shape_of(value) if isinstance(value, dict) else "stated"


def _stage_tag(value: object) -> str | None:
    for key, tag in (("from_design", "a design"), ("by_stage", "stage by stage")):
        if isinstance(value, dict) and key in value:
            return tag
    return _duration_tag(value)


def _spelled_out(value: object) -> object:
    return {"from_design": {}} if value == "from design" else value


# For the type checker: what a duration is once read. At run time: how it may be stated.
if TYPE_CHECKING:
    Duration = float | Shape
    Factor = float | Shape
else:
    Duration = Annotated[
        Annotated[Hours, Tag("stated")] | HoursShape,
        Discriminator(
            _duration_tag,
            custom_error_type="duration",
            custom_error_message=f"not a duration; expected a time such as '12 h', or one of {SHAPE_NAMES}",
        ),
        AfterValidator(plain),
    ]

    Factor = Annotated[
        Annotated[FactorNumber, Tag("stated")] | FactorShape,
        Discriminator(
            _duration_tag,
            custom_error_type="factor",
            custom_error_message=f"not a factor; expected a number such as 1.1, or one of {SHAPE_NAMES}",
        ),
        AfterValidator(plain),
    ]


class FromDesign(Part):
    """Computed from the design, times an uncertain factor, plus what the arithmetic leaves out."""

    factor: Factor = default(1.0, "nothing added", "multiplies the computed time")
    plus: Duration = default("0 h", "nothing added", "is added to the computed time")


class DesignDuration(Part):
    """`{from_design: {factor: ..., plus: ...}}`."""

    from_design: FromDesign


class ByStage(Part):
    """One duration for each stage, toe to heel."""

    by_stage: Annotated[tuple[Duration, ...], Field(min_length=1, max_length=500)]


if TYPE_CHECKING:
    StageDuration = float | Shape | DesignDuration | ByStage
else:
    StageDuration = Annotated[
        Annotated[Hours, Tag("stated")]
        | HoursShape
        | Annotated[DesignDuration, Tag("a design")]
        | Annotated[ByStage, Tag("stage by stage")],
        Discriminator(
            _stage_tag,
            custom_error_type="duration",
            custom_error_message=(
                "not a duration; expected a time such as '2 h', 'from design', {from_design: ...}, "
                f"{{by_stage: [...]}}, or one of {SHAPE_NAMES}"
            ),
        ),
        BeforeValidator(_spelled_out),
        AfterValidator(plain),
    ]
