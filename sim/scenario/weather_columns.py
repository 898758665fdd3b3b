"""Which column of a weather table holds what, and in which unit: header and scenario taken together."""

from __future__ import annotations

import re
from typing import NamedTuple

from pydantic_core import PydanticCustomError

from sim.scenario.csv_rows import Complaints, Row
from sim.scenario.problems import did_you_mean
from sim.scenario.weather_limits import KINDS, LIGHTNING, Measured, Unit, unit_of
from sim.scenario.weather_record import Table
from sim.scenario.written import shortened, shown

MEASURES: dict[str, Measured] = {
    "wind": "wind",
    "rain": "rain",
    "temperature": "temperature",
    "temp_min": "temperature",
    "temp_max": "temperature",
}
"""What each reading measures; lightning is counted."""

_HEADER = re.compile(r"(?P<name>[^\[\]]*?)\s*(\[(?P<unit>[^\[\]]*)\])?")


class Column(NamedTuple):
    """A column of the file: its number from 0, its name there, the unit in its header, and that of its numbers."""

    number: int
    name: str
    header_unit: str = ""
    unit: Unit | None = None


class Layout(NamedTuple):
    """The columns that are read: one of the time, or year, month, day and perhaps hour; and those of readings."""

    time: tuple[Column, ...]
    readings: dict[str, Column]


class Header:
    """The columns of a table by name, and what is said of them in the scenario."""

    def __init__(self, row: Row, table: Table, complaints: Complaints) -> None:
        self._line = row.line
        self._table = table
        self._complaints = complaints
        self._columns = [_column(number, cell) for number, cell in enumerate(row.cells)]

    def layout(self) -> Layout:
        """What is read from where; what is wrong with it is complained of."""
        found = {reading: self._reading(reading) for reading in (*MEASURES, LIGHTNING)}
        readings = {reading: column for reading, column in found.items() if column is not None}
        self._refuse_idle_units(readings)
        return Layout(self._time(), readings)

    def _complain(self, where: str, message: str) -> None:
        self._complaints.add(self._line, shortened(where), message)

    def _find(self, name: str) -> Column | None:
        named = [column for column in self._columns if column.name == name]
        if len(named) > 1:
            self._complain(name, f"{len(named)} columns of this name; expected one")
        return named[0] if named else None

    def _named(self, name: str) -> Column | None:
        """The column that the scenario says is there."""
        column = self._find(name)
        if column is None:
            known = [each.name for each in self._columns]
            there = ", ".join(shortened(each) for each in known)
            self._complain("", f"no column {shown(name)}{did_you_mean(name, known)}; the columns are {there}")
        return column

    def _time(self) -> tuple[Column, ...]:
        stated = self._table.columns.time
        if stated is not None:
            column = self._named(stated)
            return (column,) if column else ()
        for names in (("time",), ("date",), ("year", "month", "day", "hour"), ("year", "month", "day")):
            columns = [self._find(name) for name in names]
            if all(columns):
                return tuple(column for column in columns if column)
        self._complain("", "no column of the time; expected time, date, or year, month and day; or state columns.time")
        return ()

    def _reading(self, reading: str) -> Column | None:
        """The column of a reading, if there is one whose unit is stated."""
        stated: str | None = getattr(self._table.columns, reading)
        column = self._named(stated) if stated else self._find(reading)
        if column is None or reading == LIGHTNING:
            return column
        unit = self._unit(column, MEASURES[reading])
        if unit is None and stated:
            kind = KINDS[MEASURES[reading]]
            example = next(iter(kind.units))
            self._complain(
                column.name, f"no unit; expected it in the header, '{column.name} [{example}]', or under units"
            )
        return column._replace(unit=unit) if unit else None

    def _unit(self, column: Column, measured: Measured) -> Unit | None:
        stated: str | None = getattr(self._table.units, measured)
        if stated and column.header_unit not in {"", stated}:
            two = f"{shown(column.header_unit)} in the header and {shown(stated)} under units"
            self._complain(column.name, f"{two}; expected one of them")
        try:
            return unit_of(measured, stated or column.header_unit) if stated or column.header_unit else None
        except PydanticCustomError as refusal:
            self._complain(column.name, refusal.message())
            return unit_of(measured, next(iter(KINDS[measured].units)))

    def _refuse_idle_units(self, readings: dict[str, Column]) -> None:
        """A unit stated for what the table does not have."""
        measured = {MEASURES[reading] for reading in readings if reading in MEASURES}
        for kind in KINDS:
            named = (getattr(self._table.columns, name) for name, of in MEASURES.items() if of == kind)
            if getattr(self._table.units, kind) and kind not in measured and not any(named):
                self._complain("", f"a unit is stated for {kind}, and there is no column {kind}; state columns.{kind}")


def _column(number: int, cell: str) -> Column:
    match = _HEADER.fullmatch(cell)
    return Column(number, match["name"], (match["unit"] or "").replace(" ", "")) if match else Column(number, cell)
