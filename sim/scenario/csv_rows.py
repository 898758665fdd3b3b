"""Lines of a table that somebody keeps in a spreadsheet, saved as CSV with comma, semicolon or tab."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from io import StringIO
from typing import NamedTuple, NoReturn

from sim.scenario.problems import Problem, ScenarioError

TOLD = 20  # faults of one table beyond which another one tells its reader nothing new


class Row(NamedTuple):
    """Cells of one line."""

    line: int
    cells: list[str]


class Complaints:
    """What is wrong with one table; of very many faults the first are told, and the rest counted."""

    def __init__(self, file: str) -> None:
        self.file = file
        self._problems: list[Problem] = []

    def add(self, line: int, where: str, message: str, value: str | None = None) -> None:
        """One fault more."""
        self._problems.append(Problem(self.file, line, where, message, value))

    def give_up(self, line: int, message: str) -> NoReturn:
        """One fault more, with which there is no reading on. Raises ScenarioError."""
        self.add(line, "", message)
        self.refuse()
        raise AssertionError("refused above")

    def refuse(self) -> None:
        """Raises ScenarioError if there was anything to complain of."""
        self._problems.sort(key=lambda problem: problem.line)
        told, rest = self._problems[:TOLD], self._problems[TOLD:]
        if rest:
            told.append(Problem(self.file, rest[0].line, "", f"and {len(rest):,} more faults from this line on"))
        if told:
            raise ScenarioError(told)


def csv_rows(text: str, file: str) -> Iterator[Row]:
    """Lines in which anything stands, each counted from where it begins; cells beyond the header's last are cut off.

    Raises ScenarioError where the text is no table.
    """
    reader = csv.reader(StringIO(text, newline=""), delimiter=_separator(text), strict=True)
    line, width = 1, 0
    try:
        for read in reader:
            cells = [cell.strip() for cell in read]
            while len(cells) > width and not cells[-1]:
                cells.pop()
            if any(cells):
                width = width or len(cells)
                yield Row(line, cells)
            line = reader.line_num + 1
    except csv.Error as error:
        raise ScenarioError([Problem(file, line, "", _not_csv(str(error)))]) from error


def _not_csv(complaint: str) -> str:
    if "unexpected end" in complaint:
        return "a quote that is never closed"
    if "field limit" in complaint:
        return f"a cell of more than {csv.field_size_limit():,} letters; perhaps a quote is never closed"
    if "expected after" in complaint:
        return "text behind a closing quote; expected a separator there"
    return f"not a csv table ({complaint}); expected cells between separators"


def _separator(text: str) -> str:
    """Comma, semicolon or tab, whichever the header has most of."""
    header = re.sub(r'"[^"]*"', "", text.lstrip().partition("\n")[0])
    return max(",;\t", key=header.count)
