"""A csv table of daily or hourly weather, read into a record without holes, or everything that is wrong with it."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, NamedTuple

from pydantic import ValidationError

from sim.scenario.csv_rows import Complaints, Row, csv_rows
from sim.scenario.document import Document, Node, node_of, plain, problem_at
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.text_file import read_text
from sim.scenario.weather_columns import MEASURES, Column, Header, Layout
from sim.scenario.weather_limits import KINDS
from sim.scenario.weather_record import Record, Table
from sim.scenario.weather_times import DAY, HOUR, LONGEST_FILLED, check_order, moment_of, spacing
from sim.scenario.written import shown

MOST_MEGABYTES = 20
MOST_RAIN_IN_AN_HOUR_MM = 400.0  # more than ever measured: 305 mm in 42 minutes, Holt, Missouri, 1947 (from memory)

_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?")
_BLANK = {"", "na", "n/a", "nan", "null", "none"}
_YES_OR_NO = {"yes": 1.0, "true": 1.0, "no": 0.0, "false": 0.0}


class Observation(NamedTuple):
    """What one row says: its line, and its readings; those that are not there are None."""

    line: int
    readings: dict[str, float | None]


def read_weather(file: Path, table: Table) -> Record:
    """The weather in a csv file, laid out as `table` says.

    Raises ScenarioError with everything that is wrong with it: the first twenty faults, and how many more there are.
    """
    complaints = Complaints(str(file))
    rows = list(csv_rows(read_text(file, MOST_MEGABYTES, "a csv table of weather"), str(file)))
    if not rows:
        complaints.give_up(1, "empty; expected a header with names of columns, then weather, a row a day or an hour")
    header, *rows = rows
    layout = _layout(header, table, complaints)
    rows = [row for row in rows if _is_whole(row, header, complaints)]
    begins = [(row.line, moment_of(row, layout.time, complaints)) for row in rows]
    every = spacing(begins, header.line, complaints)
    filling = table.gaps == "as the day before"
    check_order(begins, every, filling, complaints)
    reader = _Cells(every / HOUR, filling, complaints)
    observed = [Observation(row.line, reader.readings(row, layout)) for row in rows]
    complaints.refuse()
    return _record([moment for _, moment in begins if moment], observed, every, complaints)


def _layout(header: Row, table: Table, complaints: Complaints) -> Layout:
    layout = Header(header, table, complaints).layout()
    complaints.refuse()
    if not layout.readings:
        units = ", ".join(f"{name} [{next(iter(kind.units))}]" for name, kind in KINDS.items())
        complaints.give_up(header.line, f"no column of weather with a unit; expected for example {units}, or lightning")
    return layout


def _is_whole(row: Row, header: Row, complaints: Complaints) -> bool:
    whole = len(row.cells) == len(header.cells)
    if not whole:
        complaints.add(row.line, "", f"cells: {len(row.cells)}; expected {len(header.cells)}, as in the header")
    return whole


class _Cells:
    """Reads cells of a table with rows `every_h` apart; what cannot be read is complained of."""

    def __init__(self, every_h: float, filling: bool, complaints: Complaints) -> None:
        self._every_h = every_h
        self._filling = filling
        self._complaints = complaints

    def readings(self, row: Row, layout: Layout) -> dict[str, float | None]:
        """The readings of a row, in the units kept; None where one is to be filled, or cannot be read."""
        readings = {name: self._reading(row, name, column) for name, column in layout.readings.items()}
        low, high = readings.get("temp_min"), readings.get("temp_max")
        if low is not None and high is not None and low > high:
            cells = (row.cells[layout.readings[name].number] for name in ("temp_min", "temp_max"))
            message = "the lowest temperature is above the highest; expected it below"
            self._complaints.add(row.line, "temp_min, temp_max", message, ", ".join(cells))
        return readings

    def _reading(self, row: Row, name: str, column: Column) -> float | None:
        cell = row.cells[column.number]
        value = self._number(cell, column)
        fault = self._missing(cell, column) if value is None else self._impossible(name, value)
        if fault:
            self._complaints.add(row.line, column.name, fault, shown(cell) if value is None else cell)
        return value

    def _number(self, cell: str, column: Column) -> float | None:
        if column.unit is None and cell.casefold() in _YES_OR_NO:
            return _YES_OR_NO[cell.casefold()]
        if not _NUMBER.fullmatch(cell):
            return None
        if column.unit is None:
            return float(cell)
        return column.unit.kept(float(cell)) * (self._every_h / column.unit.per_h if column.unit.per_h else 1.0)

    def _missing(self, cell: str, column: Column) -> str | None:
        if cell.casefold() not in _BLANK:
            return "not a number; expected one such as 3.5" + ("" if column.unit else ", or yes or no")
        return None if self._filling else "blank; expected a number, or gaps: as the day before"

    def _impossible(self, name: str, value: float) -> str | None:
        if name not in MEASURES:
            return None if value >= 0 else "a negative count; expected 0 or more"
        kind = KINDS[MEASURES[name]]
        most = MOST_RAIN_IN_AN_HOUR_MM if name == "rain" and self._every_h == 1 else kind.most
        if kind.least <= value <= most:
            return None
        return f"impossible, {value:.5g} {kind.unit}; expected {kind.name} of {kind.least:g} to {most:g} {kind.unit}"


def _record(begins: list[datetime], observed: list[Observation], every: timedelta, complaints: Complaints) -> Record:
    """The rows in their places, and in each hole what was there the day before."""
    slots: list[Observation | None] = [None] * ((begins[-1] - begins[0]) // every + 1)
    for begin, observation in zip(begins, observed, strict=True):
        slots[(begin - begins[0]) // every] = observation
    filled = {name: list(_filled(name, slots, DAY // every, complaints)) for name in observed[0].readings}
    complaints.refuse()
    holes = sum(slot is None or slot.readings[name] is None for slot in slots for name in filled)
    return Record.model_validate({"first": begins[0], "every": f"{every / HOUR:g} h", **filled, "filled": holes})


def _filled(name: str, slots: list[Observation | None], rows_a_day: int, complaints: Complaints) -> list[float]:
    """One reading in every row; where there is none, as it was at the same time the day before."""
    values: list[float] = []
    line = hole = 0
    for slot in slots:
        line = slot.line if slot else line
        value = slot.readings[name] if slot else None
        hole = hole + 1 if value is None else 0
        if value is None:
            known = len(values) >= rows_a_day
            if not known:
                complaints.add(line, name, "a hole in the first day; expected a day before it to be filled from")
            elif hole == LONGEST_FILLED.days * rows_a_day + 1:
                longest = f"expected at most {LONGEST_FILLED.days} days to be filled as the day before"
                complaints.add(line, name, f"a hole that goes on beyond here; {longest}")
            value = values[-rows_a_day] if known else 0.0
        values.append(value)
    return values


def written_out(record: Record) -> dict[str, Any]:
    """The record as plain data that states it again, a line of text for each reading: fit for a manifest."""
    readings = {name: " ".join(map(repr, values)) for name, values in record.columns()}
    return {
        "first": record.first.isoformat(" "),
        "every": f"{record.every:g} h",
        **readings,
        **({"filled": record.filled} if record.filled else {}),
    }


def with_weather(document: Document) -> Document:
    """The document with the readings of its weather table in the place of the table's name.

    What is wrong with the table stands among the problems of the document; what is wrong with how the table is stated
    is left for the models to say.
    """
    section = document.root.child("weather")
    stated = section.child("table") if section and isinstance(section.value, dict) else None
    table = _as_stated(stated) if stated else None
    if section is None or stated is None or table is None:
        return document
    try:
        record = _beside(document, stated, table)
    except ScenarioError as error:
        problems = (_in_file(problem, stated, table) for problem in error.problems)
        return replace(document, problems=(*document.problems, *problems))
    weather = Node({**section.value, "table": node_of(written_out(record), stated.place)}, section.place)
    return replace(document, root=Node({**document.root.value, "weather": weather}, document.root.place))


def _as_stated(stated: Node) -> Table | None:
    """The table, unless its readings stand there already or it is stated wrongly."""
    value = plain(stated)
    try:
        return Table.model_validate({"file": value} if isinstance(value, str) else value)
    except ValidationError:
        return None


def _beside(document: Document, stated: Node, table: Table) -> Record:
    if document.folder is None:
        message = "a table needs a scenario file beside it; expected its readings"
        raise ScenarioError([problem_at(stated.place, message, shown(table.file))])
    return read_weather(document.beside(table.file, stated), table)


def _in_file(problem: Problem, stated: Node, table: Table) -> Problem:
    """A problem with a table that is not there is a problem with its name."""
    return problem if problem.line else problem_at(stated.place, problem.message, shown(table.file))
