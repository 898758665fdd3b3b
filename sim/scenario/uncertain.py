"""What is not known about the plan itself, as opposed to what is luck: distributions of inputs, by path.

    uncertain:
      water.sources.River intake.rate: {uniform: [35 kbbl/day, 60 kbbl/day]}

In each play of the plan such an input has one value, for every well and stage alike; better data could pin it down.
A duration that the plan states as a distribution is luck: drawn anew for every job, whatever is known.
"""

from __future__ import annotations

import re
from functools import lru_cache, reduce
from operator import or_
from typing import Annotated, Any, NamedTuple

from pydantic import BeforeValidator, Discriminator, Field, Tag, TypeAdapter, ValidationError

from sim.scenario.document import Document, Node, plain, problem_at
from sim.scenario.fields import dimension, is_section_kind, is_share, members
from sim.scenario.part import Number
from sim.scenario.path_kinds import spot_at
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.quantities import Dimension, parse, parse_share
from sim.scenario.shapes import Shape
from sim.scenario.stated_shapes import (
    SHAPE_NAMES,
    Empirical,
    Exponential,
    Gamma,
    Lognormal,
    Pert,
    Triangular,
    Uniform,
    Weibull,
    shape_of,
)
from sim.scenario.stated_shapes import (
    plain as as_shape,
)
from sim.scenario.written import shown

_UNIT_OF_TEXT = re.compile(r"\s*[-+]?[\d._]+(?:[eE][-+]?\d+)?\s*(?:thousand|million)?\s*(\S.*?)\s*")
_ABOVE_ZERO: tuple[Any, ...] = (Lognormal, Gamma, Weibull, Exponential)
_SHAPES: tuple[Any, ...] = (Triangular, Pert, Uniform, Empirical, *_ABOVE_ZERO)
_OWN = {"quantity", "impossible_distribution", "uncertain", "lognormal", "count"}


class Measured(NamedTuple):
    """How numbers at a spot are written: '3 kbbl/day' is 3 in `unit`, and 3 times `factor` in internal units."""

    unit: str
    factor: float
    whole: bool

    def written(self, number: float) -> Any:
        """The number, counted in `unit`, as a user would write it."""
        if self.whole:
            return round(number)
        return f"{number:.12g} {self.unit}" if self.unit else float(f"{number:.12g}")


class Uncertain(NamedTuple):
    """An input that is not known: where it stands, its shape in internal units, and how its values are written."""

    path: str
    shape: Shape
    measured: Measured

    def value(self, internal: float) -> Any:
        """A drawn number as a user would write it."""
        return self.measured.written(internal / self.measured.factor)


def uncertain_inputs(document: Document) -> list[Uncertain]:
    """The uncertain inputs of a scenario. Raises ScenarioError with all that is wrong with them."""
    found, problems = _judged(document)
    if problems:
        raise ScenarioError(problems)
    return found


def faults_of_uncertain(document: Document) -> list[Problem]:
    """Everything that is wrong with the uncertain inputs."""
    return _judged(document)[1]


def _judged(document: Document) -> tuple[list[Uncertain], list[Problem]]:
    found: list[Uncertain] = []
    problems: list[Problem] = []
    section = document.root.child("uncertain")
    entries = section.value if section is not None and isinstance(section.value, dict) else {}
    for path, node in entries.items():
        try:
            found.append(_input(document, path, node))
        except ScenarioError as error:
            problems += error.problems
    return found, problems


def _input(document: Document, path: str, node: Node) -> Uncertain:
    spot = spot_at(document, path, node.place)
    what = number_kind(spot.kind)
    if what is None:
        raise ScenarioError(
            [problem_at(node.place, "not a single number; expected the path of a quantity or a number")]
        )
    try:
        shape: Shape = as_shape(_adapter(what).validate_python(plain(node)))
    except ValidationError as error:
        raise ScenarioError([_explained(node, what, error)]) from None
    if what == "a whole number" and "empirical" not in node.value:
        raise ScenarioError([problem_at(node.place, "a whole number; expected empirical: [a list of whole numbers]")])
    return Uncertain(path, shape, measured_as(what, _first_text(node)))


def number_kind(kind: Any) -> Dimension | str | None:
    """What a single number of this kind measures: a dimension, 'a share', 'a number', 'a whole number', or nothing."""
    if is_section_kind(kind):
        return None
    measured = dimension(kind)
    if measured is not None:
        return measured
    if is_share(kind):
        return "a share"
    plain_kinds = {member for member, _ in members(kind)}
    return "a whole number" if int in plain_kinds else "a number" if float in plain_kinds else None


def measured_as(what: Dimension | str, text: object) -> Measured:
    """How numbers are written, after the example of one written quantity."""
    if what == "a share":
        return Measured("%", 0.01, False)
    if isinstance(what, str):
        return Measured("", 1.0, what == "a whole number")
    match = _UNIT_OF_TEXT.fullmatch(text) if isinstance(text, str) else None
    unit = match[1] if match else what.unit
    return Measured(unit, parse(f"1 {unit}", what._replace(most=float("inf"))), False)


def _first_text(node: Node) -> str | None:
    """The first quantity in a distribution that has a unit, which shows how its numbers are to be written."""
    if isinstance(node.value, str):
        return node.value
    inner = node.value.values() if isinstance(node.value, dict) else node.value if isinstance(node.value, list) else ()
    return next((text for each in inner if (text := _first_text(each)) is not None), None)


def _quantity(what: Dimension | str, *, positive: bool) -> Any:
    if isinstance(what, Dimension):
        return Annotated[float, BeforeValidator(lambda value: parse(value, what, positive=positive))]
    if what == "a share":
        return Annotated[float, BeforeValidator(parse_share), Field(gt=0 if positive else -1)]
    plain_number: Any = int if what == "a whole number" else Number
    return Annotated[plain_number, Field(gt=0)] if positive else plain_number


@lru_cache(maxsize=64)
def _adapter(what: Dimension | str) -> TypeAdapter[Any]:
    """Reads the shapes of uncertainty over one kind of number, each in internal units."""
    some, above_zero = _quantity(what, positive=False), _quantity(what, positive=True)
    tagged = [
        Annotated[shape[above_zero if shape in _ABOVE_ZERO else some], Tag(f"as {shape.__name__.lower()}")]
        for shape in _SHAPES
    ]
    kinds = reduce(or_, tagged)
    by_key = Discriminator(
        lambda value: shape_of(value) if isinstance(value, dict) else None,
        custom_error_type="uncertain",
        custom_error_message=f"not a distribution; expected one of {SHAPE_NAMES}",
    )
    whole: Any = Annotated[kinds, by_key]
    adapter: TypeAdapter[Any] = TypeAdapter(whole)
    return adapter


def _explained(node: Node, what: Dimension | str, error: ValidationError) -> Problem:
    fault = error.errors(include_url=False)[0]
    if fault["type"] in _OWN:
        message = str(fault["msg"])
    else:
        example = what.examples if isinstance(what, Dimension) else "'10 %'" if what == "a share" else "1.2"
        message = (
            "expected triangular or pert: [lowest, most likely, highest], uniform: [lowest, highest], "
            f"lognormal: {{mean, cv}} or {{P10, P90}} and the like, of numbers such as {example}"
        )
    return problem_at(node.place, message, shown(plain(node)))
