"""What is varied in a plan, as typed on the command line, and the plans that come of it.

water.transfer.limit=30 kbbl/day..90 kbbl/day:7     seven values, evenly spaced
units.wireline_units.count=1..4                     every whole number
strategy.drill_out=after the group,after the pad    these values
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from math import isfinite
from typing import Any, NamedTuple

import numpy as np
from pydantic import TypeAdapter, ValidationError

from sim.scenario import Document, Place, Problem, Scenario, ScenarioError, set_path, validate
from sim.scenario.fields import expected, is_section_kind, members
from sim.scenario.path_kinds import Spot, spot_at
from sim.scenario.quantities import Dimension
from sim.scenario.uncertain import Measured, measured_as, number_kind
from sim.scenario.written import as_written, shown
from sim.scenario.yaml_text import scalar

OPTION = "--vary"
HOW = "expected PATH=LOW..HIGH, PATH=LOW..HIGH:HOW_MANY or PATH=VALUE,VALUE,..."
USUAL_COUNTS, USUAL_COUNT, MOST_VALUES = (7, 6, 5, 8, 9), 7, 50
_RANGE = re.compile(r"(?P<low>.+?)\.\.(?P<high>.+?)(?P<count>:\s*\d{1,6})?")
_DATES = re.compile(r"(?P<low>.+?)\.\.(?P<high>\d{4}-\d{2}-\d{2}(?:[ T]\d{2}:\d{2})?)(?P<count>:\s*\d{1,6})?")


class Axis(NamedTuple):
    """A path and its values as they would be written; `numbers` are these in `unit`, or places where they are words.

    Dates are numbers in days from the first.
    """

    path: str
    values: tuple[Any, ...]
    numbers: tuple[float, ...]
    unit: str
    kind: str  # "number", "date" or "word"
    planned: float | None = None

    def text(self, place: int) -> str:
        """One of the values in words."""
        return as_written(self.values[place])

    def amount_text(self, number: float) -> str:
        """A number with its unit, such as a step along the axis."""
        figures = f"{number:.3g}" if abs(number) < 1000 else f"{number:,.0f}"
        return f"{figures} {self.unit}".strip()

    def place_text(self, number: float) -> str:
        """Where a number between the values lies, in words."""
        if self.kind != "date":
            return self.amount_text(number)
        return f"{datetime.fromisoformat(str(self.values[0])) + timedelta(days=number):%Y-%m-%d}"


class _RefusedError(Exception):
    """A message, and the value that it is about."""


def axes_of(document: Document, typed: Sequence[str]) -> list[Axis]:
    """What each `--vary` says. Raises ScenarioError with all that is wrong with them."""
    axes: list[Axis] = []
    problems: list[Problem] = []
    for text in typed:
        try:
            axes.append(_axis(document, text))
        except ScenarioError as error:
            problems += error.problems
    problems += [
        Problem(OPTION, 0, axis.path, "varied twice; expected each path once")
        for number, axis in enumerate(axes)
        if axis.path in {other.path for other in axes[:number]}
    ]
    if problems:
        raise ScenarioError(problems)
    return axes


def _axis(document: Document, typed: str) -> Axis:
    path, equals, said = (part.strip() for part in typed.partition("="))
    if not (path and equals and said):
        raise ScenarioError([Problem(OPTION, 0, "", f"no values for a path; {HOW}", shown(typed))])
    spot = spot_at(document, path, Place(OPTION, 0, (path,)))
    try:
        if is_section_kind(spot.kind):
            raise _RefusedError("keys with values of their own; expected the path of a single value")
        axis = _ranged(spot, said) if ".." in said else _listed(spot, said)
        if len(axis.values) < 2:
            raise _RefusedError(f"a single value; {HOW}")
        return axis
    except _RefusedError as refused:
        raise ScenarioError([Problem(OPTION, 0, path, str(refused), shown(said))]) from None


def _ranged(spot: Spot, said: str) -> Axis:
    dates = datetime in {member for member, _ in members(spot.kind)}
    match = (_DATES if dates else _RANGE).fullmatch(said)
    if match is None:
        raise _RefusedError(f"not a range; {HOW}")
    count = int(match["count"].lstrip(": ")) if match["count"] else None
    low, high = match["low"].strip(), match["high"].strip()
    if count is not None and not 2 <= count <= MOST_VALUES:
        raise _RefusedError(f"expected 2 to {MOST_VALUES} values")
    if dates:
        return _dates(spot, low, high, count or USUAL_COUNT)
    what = number_kind(spot.kind)
    if what is None:
        raise _RefusedError(f"no numbers to range over; expected a list such as a,b,c, each {expected(spot.kind)}")
    return _numbers(spot, what, (low, high), count)


def _dates(spot: Spot, low: str, high: str, count: int) -> Axis:
    first, last = (_read(spot, text) for text in (low, high))
    if not first < last:
        raise _RefusedError("expected the earlier date first")
    moments = [first + (last - first) * place / (count - 1) for place in range(count)]
    values = tuple(moment.replace(second=0, microsecond=0).isoformat(" ", "minutes") for moment in moments)
    planned = None if spot.stated is None else (_read(spot, spot.stated) - first).total_seconds() / 86400
    return Axis(spot.path, values, tuple((m - first).total_seconds() / 86400 for m in moments), "day", "date", planned)


def _numbers(spot: Spot, what: Dimension | str, ends: tuple[str, str], count: int | None) -> Axis:
    """Evenly from low to high, counted in the unit that the higher end is typed in."""
    _read(spot, scalar(ends[1]))
    measured = measured_as(what, ends[1])
    low, high = (_read(spot, _with_unit(text, measured)) / measured.factor for text in ends)
    if not low < high:
        raise _RefusedError("expected the lower end first")
    if measured.whole:
        numbers = _whole(round(low), round(high), count)
    else:
        numbers = [float(f"{number:.9g}") for number in np.linspace(low, high, count or _usual_count(low, high))]
    values = tuple(measured.written(number) for number in numbers)
    return Axis(spot.path, values, tuple(numbers), measured.unit, "number", _planned(spot, measured))


def _usual_count(low: float, high: float) -> int:
    """Of the usual counts the one with the roundest steps."""
    return min(USUAL_COUNTS, key=lambda count: len(f"{(high - low) / (count - 1):.6g}"))


def _whole(low: int, high: int, count: int | None) -> list[float]:
    span = high - low
    if count is None and span >= MOST_VALUES:
        raise _RefusedError(f"more than {MOST_VALUES} values; say how many, as in {low}..{high}:{USUAL_COUNT}")
    steps = span if count is None else count - 1
    if span % steps:
        raise _RefusedError(f"{steps + 1} values do not fall on whole numbers; expected steps of a whole number")
    return [float(low + span // steps * place) for place in range(steps + 1)]


def _with_unit(text: str, measured: Measured) -> Any:
    """A bare number takes the unit of the other end."""
    value = scalar(text)
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    return f"{text} {measured.unit}" if bare and measured.unit else value


def _listed(spot: Spot, said: str) -> Axis:
    pieces = [piece.strip() for piece in said.split(",")]
    if "" in pieces or len(pieces) > MOST_VALUES:
        raise _RefusedError(f"not a list of 2 to {MOST_VALUES} values; {HOW}")
    what = number_kind(spot.kind)
    values = [scalar(piece) for piece in pieces]
    read = [_read(spot, value) for value in values]
    if len({repr(each) for each in read}) < len(read):
        raise _RefusedError("a value stands there twice; expected each once")
    if what is None or not all(isinstance(each, int | float) for each in read):
        return Axis(spot.path, tuple(values), tuple(map(float, range(len(values)))), "", "word")
    measured = measured_as(what, pieces[0])
    numbers = [float(f"{each / measured.factor:.12g}") for each in read]
    order = sorted(range(len(numbers)), key=numbers.__getitem__)
    rising = tuple(numbers[place] for place in order)
    return Axis(spot.path, tuple(values[i] for i in order), rising, measured.unit, "number", _planned(spot, measured))


def _read(spot: Spot, value: Any) -> Any:
    """A value in internal units, or why it cannot stand there."""
    try:
        adapter: TypeAdapter[Any] = TypeAdapter(spot.kind)
        read = adapter.validate_python(value)
    except ValidationError as error:
        said = str(error.errors(include_url=False)[0]["msg"])
        raise _RefusedError(f"expected {expected(spot.kind)}" if said.startswith("Input should") else said) from None
    if isinstance(read, float) and not isfinite(read):
        raise _RefusedError(f"expected {expected(spot.kind)}")
    return read


def _planned(spot: Spot, measured: Measured) -> float | None:
    """What the plan itself says there, if that is a number."""
    try:
        value = None if spot.stated is None else _read(spot, spot.stated)
    except _RefusedError:
        return None
    return value / measured.factor if isinstance(value, int | float) else None


def with_values(document: Document, values: Mapping[str, Any], source: str) -> Scenario:
    """The plan with these values at their paths.

    Raises ScenarioError, which tells of every value that was set, where the plan so changed cannot be.
    """
    for path, value in values.items():
        document = set_path(document, path, value, Place(source, 0, (path,)))
    try:
        return validate(document)
    except ScenarioError as error:
        raise ScenarioError([_told_of(values, problem) for problem in error.problems]) from None


def _told_of(values: Mapping[str, Any], problem: Problem) -> Problem:
    said = ", ".join(f"{path} at {as_written(value)}" for path, value in values.items())
    return problem._replace(message=f"{problem.message} (with {said})")


def plans_of(document: Document, points: Iterable[Mapping[str, Any]], source: str) -> list[Scenario]:
    """The plan of each point. Raises ScenarioError with what is wrong with any of them."""
    document = _without_paths(document)
    plans: list[Scenario] = []
    problems: list[Problem] = []
    for values in points:
        try:
            plans.append(with_values(document, values, source))
        except ScenarioError as error:
            problems += error.problems
    if problems:
        raise ScenarioError(problems)
    return plans


def _without_paths(document: Document) -> Document:
    """The document without the sections that hold paths: judged already, and of no account in a single plan."""
    kept = {
        key: node for key, node in document.root.value.items() if key not in {"alternatives", "uncertain", "choices"}
    }
    return replace(document, root=document.root._replace(value=kept))
