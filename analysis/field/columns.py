"""How a company's own sheet is to be read: its column headings, its words, its dates, its units of measure."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any, Literal
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import AfterValidator, Field, ValidationError, model_validator
from pydantic_core import PydanticCustomError

from sim.scenario.document import Node, nearest, plain, problem_at
from sim.scenario.part import Part
from sim.scenario.problems import Problem, ScenarioError, did_you_mean
from sim.scenario.written import shown
from sim.scenario.yaml_text import What, read_yaml

Words = dict[str, str]
MAP = What("column map", "columns, and their words for ours", "columns: {start: From}")
DURATION_UNITS = {"min": 1 / 60, "h": 1.0, "day": 24.0}  # hours in each


def _zone(name: str | None) -> str | None:
    try:
        _ = ZoneInfo(name) if name else None
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise PydanticCustomError("zone", "no such time zone; expected for example America/Denver or UTC") from None
    return name


class Columns(Part):
    """The heading of each column in the sheet; one that the sheet does not have is `null`."""

    start: str = "start"
    end: str | None = "end"
    duration: str | None = None
    unit: str = "unit"
    activity: str = "activity"
    well: str | None = "well"
    stage: str | None = "stage"
    cause: str | None = "cause"
    remarks: str | None = "remarks"

    @model_validator(mode="after")
    def _an_end(self) -> Columns:
        if self.end is None and self.duration is None:
            raise PydanticCustomError("no_end", "expected a heading for end or for duration")
        return self

    @property
    def headings(self) -> dict[str, str]:
        """Our name -> heading in the sheet, of the columns to be read; a duration takes the place of the end."""
        stated = {key: heading for key, heading in self if heading is not None}
        if self.duration is not None:
            stated.pop("end", None)
        return stated


class LogMap(Part):
    """Everything that is to be known of a sheet; without a map our own headings and ISO dates are expected."""

    columns: Columns = Columns()
    activities: Words = Field(default_factory=dict, description="their word: ours")
    units: Words = Field(default_factory=dict)
    wells: Words = Field(default_factory=dict)
    causes: Words = Field(default_factory=dict)
    date_format: Annotated[str | None, Field(min_length=2, max_length=60)] = None
    time_zone: Annotated[str | None, AfterValidator(_zone)] = None
    duration_in: Literal["min", "h", "day"] | None = None

    @model_validator(mode="after")
    def _measured(self) -> LogMap:
        if self.columns.duration is not None and self.duration_in is None:
            raise PydanticCustomError("measure", "expected duration_in: min, h or day, for the column of durations")
        return self

    def words(self, column: str) -> Words:
        """Their words for ours, in a column; none where it holds no words."""
        kinds = {"activity": self.activities, "unit": self.units, "well": self.wells, "cause": self.causes}
        return kinds.get(column, {})


def read_map(file: Path | None) -> LogMap:
    """The map in a YAML file. Raises ScenarioError with everything that is wrong with it, by line."""
    if file is None:
        return LogMap()
    root, problems = read_yaml(file, MAP)
    try:
        told = LogMap.model_validate(plain(root))
    except ValidationError as error:
        raise ScenarioError([*problems, *(_problem(dict(fault), root) for fault in error.errors())]) from None
    if problems:
        raise ScenarioError(problems)
    return told


def _problem(fault: dict[str, Any], root: Node) -> Problem:
    node = nearest(root, fault["loc"])
    value = None if isinstance(node.value, (dict, list)) else shown(node.value)
    return problem_at(node.place, _message(fault), value)


def _message(fault: dict[str, Any]) -> str:
    model = Columns if fault["loc"][:1] == ("columns",) else LogMap
    if fault["type"] == "extra_forbidden":
        known = list(model.model_fields)
        return f"unknown key{did_you_mean(fault['loc'][-1], known)}; known keys: {', '.join(known)}"
    expected = {
        "string_type": "expected text; put quotes around it",
        "dict_type": "expected a mapping, such as {their word: ours}",
        "model_type": "expected keys with values",
        "literal_error": "expected min, h or day",
    }
    return expected.get(fault["type"], str(fault["msg"]))


def refuse_unknown(told: LogMap, known: dict[str, Iterable[str]], file: Path | None) -> None:
    """Raises ScenarioError where the map turns a word into one that this scenario does not know."""
    problems = [
        Problem(str(file), 0, f"{key}.{theirs}", f"not known here{did_you_mean(ours, known[column])}", shown(ours))
        for key, column in (("activities", "activity"), ("units", "unit"), ("wells", "well"))
        for theirs, ours in getattr(told, key).items()
        if ours not in set(known[column])
    ]
    if problems:
        raise ScenarioError(problems)
