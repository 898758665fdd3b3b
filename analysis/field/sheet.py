"""The cells of a sheet as text, from CSV or from a workbook, each row with the number it has in the sheet.

Text is never taken for a formula, whatever it begins with; a workbook is read for its values.
"""

from __future__ import annotations

from datetime import date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from analysis.field.columns import LogMap
from analysis.field.findings import Finding
from sim.scenario.csv_rows import csv_rows
from sim.scenario.problems import Problem, ScenarioError, did_you_mean
from sim.scenario.text_file import read_text

if TYPE_CHECKING:
    import pandas as pd

MOST_MEGABYTES = 200
WHAT = "a stage log, as csv or xlsx"
NumberedRow = tuple[int, list[str]]


def cells_of(file: Path, told: LogMap) -> tuple[pd.DataFrame, list[Finding]]:
    """Cells by our own column names, with `row`, and what of the sheet is not looked at.

    Raises ScenarioError where the sheet cannot be read or lacks a column.
    """
    import pandas as pd

    rows = _workbook(file) if file.suffix.lower() == ".xlsx" else _csv(file)
    if not rows:
        raise ScenarioError([Problem(str(file), 0, "", f"empty; expected {WHAT}, with headings")])
    (heading_row, headings), *body = rows
    places = _places(file, heading_row, headings, told)
    width = len(headings)
    fitting = [(number, [*cells, *[""] * (width - len(cells))]) for number, cells in body if len(cells) <= width]
    table = pd.DataFrame({"row": [number for number, _ in fitting]}, dtype="int64")
    for name in (*LogMap().columns.headings, "duration"):
        column = [cells[places[name]] for _, cells in fitting] if name in places else [""] * len(fitting)
        table[name] = pd.Series(column, dtype="str").str.strip()
    unread = _unread(heading_row, headings, set(places.values()))
    return table, unread + [_too_wide(number, cells, width) for number, cells in body if len(cells) > width]


def _csv(file: Path) -> list[NumberedRow]:
    text = read_text(file, MOST_MEGABYTES, WHAT)
    return [(row.line, row.cells) for row in csv_rows(text, str(file))]


def _workbook(file: Path) -> list[NumberedRow]:
    from python_calamine import CalamineWorkbook

    if not file.is_file():
        what = "a folder" if file.is_dir() else "no such file"
        raise ScenarioError([Problem(str(file), 0, "", f"{what}; expected {WHAT}")])
    if file.stat().st_size > MOST_MEGABYTES * 1_000_000:
        raise ScenarioError([Problem(str(file), 0, "", f"larger than {MOST_MEGABYTES} MB; expected {WHAT}")])
    try:
        values = CalamineWorkbook.from_path(file).get_sheet_by_index(0).to_python(skip_empty_area=False)
    except Exception as error:  # whatever the library stumbles over is no workbook
        raise ScenarioError([Problem(str(file), 0, "", f"not a workbook ({error}); expected {WHAT}")]) from error
    timed = {column for row in values for column, value in enumerate(row) if isinstance(value, datetime)}
    rows = [
        (number, [_text(_moment(value) if column in timed else value) for column, value in enumerate(row)])
        for number, row in enumerate(values, start=1)
    ]
    return [(number, cells) for number, cells in rows if any(cells)]


def _moment(value: Any) -> Any:
    """A date among moments is one at midnight: a workbook keeps no hours of nought."""
    midnight = isinstance(value, date) and not isinstance(value, datetime)
    return datetime.combine(value, time()) if midnight else value


def _text(value: Any) -> str:
    """A cell of a workbook as text; one that holds a real date reads as ISO, whatever the sheet shows."""
    if isinstance(value, (datetime, date, time)):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value).strip()


def _places(file: Path, row: int, headings: list[str], told: LogMap) -> dict[str, int]:
    """Number of each column to be read. Raises ScenarioError where one is missing or there twice."""
    wanted, problems = told.columns.headings, []
    for name, heading in wanted.items():
        if headings.count(heading) != 1:
            what = "there more than once" if heading in headings else f"missing{did_you_mean(heading, headings)}"
            message = f"the column '{heading}' ({name}) is {what}; headings: {', '.join(headings)}"
            problems.append(Problem(str(file), row, "", message))
    if problems:
        raise ScenarioError(problems)
    return {name: headings.index(heading) for name, heading in wanted.items()}


def _unread(row: int, headings: list[str], used: set[int]) -> list[Finding]:
    rest = [heading for number, heading in enumerate(headings) if number not in used and heading]
    return [Finding(row, "", f"columns not looked at: {', '.join(rest)}", "columns", left_out=False)] if rest else []


def _too_wide(row: int, cells: list[str], width: int) -> Finding:
    extra = len(cells) - width
    message = f"{extra} more cells than headings; perhaps a comma in a text without quotes"
    return Finding(row, "", message, "shape", ", ".join(cells[width:]))
