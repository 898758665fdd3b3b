"""Shapes of uncertainty as a scenario states them, turned into plain shapes at the door.

Each is a mapping with one key, its name: `{triangular: [4 day, 6 day, 12 day]}`. They come twice: over times
and over plain factors.
"""

from __future__ import annotations

from math import log, sqrt
from typing import Annotated, Any, Generic, TypeVar

from pydantic import Discriminator, Field, Tag, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario import shapes
from sim.scenario.part import Number, Part
from sim.scenario.quantities import Hours, PositiveHours

Q = TypeVar("Q")

FactorNumber = Annotated[Number, Field(ge=0, le=1000)]
PositiveFactor = Annotated[Number, Field(gt=0, le=1000)]

NORMAL_P90 = 1.2815515655446004  # 90 % point of the standard normal, as scipy.stats.norm.ppf(0.9) gives it


def _impossible(message: str) -> PydanticCustomError:
    return PydanticCustomError("impossible_distribution", "{message}", {"message": message})


def _refuse_disorder(three: tuple[Any, Any, Any], shape: str) -> None:
    low, mode, high = three
    if not (low <= mode <= high and low < high):
        raise _impossible(f"expected {shape}: [lowest, most likely, highest], rising, lowest below highest")


class Triangular(Part, Generic[Q]):
    """Lowest, most likely, highest."""

    triangular: tuple[Q, Q, Q]

    @model_validator(mode="after")
    def _ordered(self) -> Triangular[Q]:
        _refuse_disorder(self.triangular, "triangular")
        return self

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Triangular(*self.triangular)  # type: ignore[arg-type] # Q is a number


class Pert(Part, Generic[Q]):
    """Lowest, most likely, highest, smoothly."""

    pert: tuple[Q, Q, Q]

    @model_validator(mode="after")
    def _ordered(self) -> Pert[Q]:
        _refuse_disorder(self.pert, "pert")
        return self

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Pert(*self.pert)  # type: ignore[arg-type] # Q is a number


class Uniform(Part, Generic[Q]):
    """Anything between the two, equally likely."""

    uniform: tuple[Q, Q]

    @model_validator(mode="after")
    def _ordered(self) -> Uniform[Q]:
        if not self.uniform[0] < self.uniform[1]:  # type: ignore[operator] # Q is a number
            raise _impossible("expected uniform: [lowest, highest], lowest below highest")
        return self

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Uniform(*self.uniform)  # type: ignore[arg-type] # Q is a number


class MeanCv(Part, Generic[Q]):
    """Mean and coefficient of variation (standard deviation over mean)."""

    mean: Q
    cv: Annotated[Number, Field(ge=0.001, le=10, description="standard deviation over mean")]


class Percentiles(Part, Generic[Q]):
    """The values that are not exceeded with 10 % and with 90 % chance."""

    P10: Q
    P90: Q

    @model_validator(mode="after")
    def _ordered(self) -> Percentiles[Q]:
        if not self.P10 < self.P90:  # type: ignore[operator] # Q is a number
            raise _impossible("expected P10 below P90: P90 is the value not exceeded with 90 % chance")
        return self


def _mean_or_percentiles(value: object) -> str | None:
    """Which of the two ways is meant; None where it is one half of each."""
    if not isinstance(value, dict) or ({"P10", "P90"} & set(value) and {"mean", "cv"} & set(value)):
        return None
    return "by percentiles" if {"P10", "P90"} & set(value) else "by mean"


class Lognormal(Part, Generic[Q]):
    """Lognormal by mean and cv, or by P10 and P90."""

    lognormal: Annotated[
        Annotated[MeanCv[Q], Tag("by mean")] | Annotated[Percentiles[Q], Tag("by percentiles")],
        Discriminator(
            _mean_or_percentiles,
            custom_error_type="lognormal",
            custom_error_message="expected {mean: ..., cv: ...} or {P10: ..., P90: ...}",
        ),
    ]

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        stated: Any = self.lognormal
        if isinstance(stated, Percentiles):
            low, high = log(stated.P10), log(stated.P90)
            return shapes.Lognormal(mu=(low + high) / 2, sigma=(high - low) / (2 * NORMAL_P90))
        variance = log(1 + stated.cv**2)
        return shapes.Lognormal(mu=log(stated.mean) - variance / 2, sigma=sqrt(variance))


class Gamma(Part, Generic[Q]):
    """Gamma by mean and cv."""

    gamma: MeanCv[Q]

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Gamma(self.gamma.mean, self.gamma.cv)  # type: ignore[arg-type] # Q is a number


class MeanShape(Part, Generic[Q]):
    """Mean, and shape: 1 is exponential."""

    mean: Q
    shape: Annotated[Number, Field(ge=0.1, le=100, description="1 is exponential, more wears out")]


class Weibull(Part, Generic[Q]):
    """Weibull by mean and shape."""

    weibull: MeanShape[Q]

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Weibull(self.weibull.mean, self.weibull.shape)  # type: ignore[arg-type] # Q is a number


class Exponential(Part, Generic[Q]):
    """Exponential by its mean."""

    exponential: Q

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Exponential(self.exponential)  # type: ignore[arg-type] # Q is a number


class Empirical(Part, Generic[Q]):
    """Observed values, each equally likely."""

    empirical: Annotated[tuple[Q, ...], Field(min_length=1, max_length=10_000)]

    def plain(self) -> shapes.Shape:
        """The shape itself, in internal units."""
        return shapes.Empirical(self.empirical)  # type: ignore[arg-type] # Q is a number


_TAGS = {
    "triangular": "as triangular",
    "pert": "as pert",
    "uniform": "as uniform",
    "lognormal": "as lognormal",
    "gamma": "as gamma",
    "weibull": "as weibull",
    "exponential": "as exponential",
    "empirical": "as empirical",
}  # tags differ from keys so that the path of an error can tell them apart
SHAPE_NAMES = ", ".join(_TAGS)


def shape_of(value: dict[str, object]) -> str | None:
    """Tag of the shape that a mapping states, or None where it states none or several."""
    known = [tag for key, tag in _TAGS.items() if key in value]
    return known[0] if len(known) == 1 else None


def plain(value: Any) -> Any:
    """A stated shape as the shape itself; a number as it is."""
    return value.plain() if hasattr(value, "plain") else value


HoursShape = (
    Annotated[Triangular[Hours], Tag("as triangular")]
    | Annotated[Pert[Hours], Tag("as pert")]
    | Annotated[Uniform[Hours], Tag("as uniform")]
    | Annotated[Lognormal[PositiveHours], Tag("as lognormal")]
    | Annotated[Gamma[PositiveHours], Tag("as gamma")]
    | Annotated[Weibull[PositiveHours], Tag("as weibull")]
    | Annotated[Exponential[PositiveHours], Tag("as exponential")]
    | Annotated[Empirical[Hours], Tag("as empirical")]
)
FactorShape = (
    Annotated[Triangular[FactorNumber], Tag("as triangular")]
    | Annotated[Pert[FactorNumber], Tag("as pert")]
    | Annotated[Uniform[FactorNumber], Tag("as uniform")]
    | Annotated[Lognormal[PositiveFactor], Tag("as lognormal")]
    | Annotated[Gamma[PositiveFactor], Tag("as gamma")]
    | Annotated[Weibull[PositiveFactor], Tag("as weibull")]
    | Annotated[Exponential[PositiveFactor], Tag("as exponential")]
    | Annotated[Empirical[FactorNumber], Tag("as empirical")]
)
