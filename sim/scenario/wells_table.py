"""Wells from a table that a planner keeps in a spreadsheet, saved as CSV.

One row a well, one column a field; nested fields by path (`stage_design.fluid`). A unit may stand once in the header:
`measured_depth [ft]`. A blank cell states nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from pydantic_core import PydanticCustomError

from sim.scenario.csv_rows import Row, csv_rows
from sim.scenario.document import Node, Place
from sim.scenario.fields import dimension, follow, is_section_kind, keys, typed
from sim.scenario.problems import Problem, ScenarioError, did_you_mean
from sim.scenario.quantities import Dimension, parse
from sim.scenario.scenario import MOST_WELLS
from sim.scenario.text_file import read_text
from sim.scenario.wells import Well
from sim.scenario.written import shortened, shown

MOST_MEGABYTES = 5
_HEADER = re.compile(r"(?P<path>[^\[\]]*?)\s*(\[(?P<unit>[^\[\]]*)\])?\s*")
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")


class Column(NamedTuple):
    """A column of the table: its number from 0, the path of its field, and the unit of its numbers, if any."""

    number: int
    path: str
    unit: str


def read_wells(file: Path) -> tuple[Node, tuple[Problem, ...]]:
    """The wells in a table, and what is wrong with the rows that cannot be read.

    Raises ScenarioError where nothing can be read.
    """
    rows = list(csv_rows(read_text(file, MOST_MEGABYTES, "a csv table of wells"), str(file)))
    if not rows:
        raise _refused(file, 1, "empty; expected a header with names of fields, then wells")
    header, *wells = rows
    columns = _columns(header, str(file))
    if not wells:
        raise _refused(file, header.line, "no wells below the header; expected one a line")
    if len(wells) > MOST_WELLS:
        raise _refused(file, wells[MOST_WELLS].line, f"more than {MOST_WELLS:,} wells; expected at most that many")
    ragged = [_ragged(row, header, str(file)) for row in wells if len(row.cells) != len(header.cells)]
    whole = [_well(row, columns, str(file)) for row in wells if len(row.cells) == len(header.cells)]
    return Node(whole, Place(str(file), header.line)), tuple(ragged)


def _refused(file: Path, line: int, message: str) -> ScenarioError:
    return ScenarioError([Problem(str(file), line, "", message)])


def _ragged(row: Row, header: Row, file: str) -> Problem:
    name = shortened(row.cells[0])
    return Problem(file, row.line, name, f"cells: {len(row.cells)}; expected {len(header.cells)}, as in the header")


def _columns(header: Row, file: str) -> list[Column]:
    """What the header says, or a ScenarioError with everything that is wrong with it."""
    columns = [_column(number, cell) for number, cell in enumerate(header.cells)]
    problems = [
        Problem(file, header.line, shortened(column.path), fault)
        for column in columns
        if (fault := _fault(column, columns))
    ]
    if "name" not in {column.path for column in columns}:
        problems.append(Problem(file, header.line, "", "missing column: name is required"))
    if problems:
        raise ScenarioError(problems)
    return columns


def _column(number: int, cell: str) -> Column:
    header = _HEADER.fullmatch(cell)
    if header is None:
        return Column(number, cell, "")
    path = "toe.method" if header["path"] == "toe" else header["path"]
    return Column(number, path, (header["unit"] or "").strip())


def _fault(column: Column, columns: list[Column]) -> str | None:
    known = list(_known_columns(Well, ""))
    if not column.path:
        return f"column {column.number + 1} has no name; expected one of {', '.join(known)}"
    if column.path not in known:
        return f"unknown column{did_you_mean(column.path, known) or '; expected one of ' + ', '.join(known)}"
    if any(other.path == column.path for other in columns[: column.number]):
        return "a column stated twice; expected each once"
    return _fault_of_unit(column.unit, dimension(follow(column.path.split("."), Well)))


def _fault_of_unit(unit: str, measured: Dimension | None) -> str | None:
    if not unit:
        return None
    if measured is None:
        return f"unit {shown(unit)} in a column that measures nothing; expected no unit"
    try:
        parse(f"1 {unit}", measured)
    except PydanticCustomError as refusal:
        return refusal.message()
    return None


def _known_columns(kind: Any, prefix: str) -> Iterator[str]:
    for key, field in keys(kind).items():
        if is_section_kind(typed(field)):
            yield from _known_columns(typed(field), f"{prefix}{key}.")
        else:
            yield prefix + key


def _well(row: Row, columns: list[Column], file: str) -> Node:
    """The row as an entry of `wells`, placed cell by cell."""
    well: dict[str, Node] = {}
    for number, path, unit in columns:
        section, place = well, Place(file, row.line, (path,))
        *outer, last = path.split(".")
        if row.cells[number]:
            for key in outer:
                section = section.setdefault(key, Node({}, place._replace(steps=(key,)))).value
            section[last] = Node(_stated(row.cells[number], unit), place)
    name = well["name"].value if "name" in well else f"row {row.line}"
    return Node(well, Place(file, row.line, (name,)))


def _stated(cell: str, unit: str) -> str | int:
    """The cell as it would stand in a scenario file."""
    if not _NUMBER.fullmatch(cell):
        return cell
    if unit:
        return f"{cell} {unit}"
    return 0 if float(cell) == 0 else cell
