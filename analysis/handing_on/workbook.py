"""The plan as a workbook for planners: dates as dates, headings that stay, and no text that turns into a formula."""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from analysis.handing_on.sheets import Cell, Sheet

if TYPE_CHECKING:
    from xlsxwriter import Workbook
    from xlsxwriter.format import Format
    from xlsxwriter.worksheet import Worksheet

DATE, MONTH = "yyyy-mm-dd hh:mm", "yyyy-mm"
NARROWEST, WIDEST = 8, 60  # letters
OPTIONS = {
    "in_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
    "nan_inf_to_errors": False,
}


def workbook_bytes(sheets: Sequence[Sheet], title: str, created: datetime) -> bytes:
    """The workbook as a file. `created` is written as its date, so that equal runs leave equal bytes."""
    import xlsxwriter

    content = io.BytesIO()
    book: Workbook = xlsxwriter.Workbook(content, OPTIONS)
    book.set_properties({"title": title, "created": created, "comments": "made by padtempo"})
    formats = {
        "heading": book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}),
        "date": book.add_format({"num_format": DATE, "align": "left"}),
        "month": book.add_format({"num_format": MONTH, "align": "left"}),
        "count": book.add_format({"num_format": "#,##0"}),
        "number": book.add_format({"num_format": "#,##0.0"}),
        "text": book.add_format({"text_wrap": True, "valign": "top"}),
    }
    for sheet in sheets:
        _write(book.add_worksheet(sheet.name), sheet, formats)
    book.close()
    return content.getvalue()


def _write(page: Worksheet, sheet: Sheet, formats: dict[str, Format]) -> None:
    for column, heading in enumerate(sheet.headings):
        page.write_string(0, column, heading, formats["heading"])
        page.set_column(column, column, _width(sheet, column))
    for number, row in enumerate(sheet.rows, start=1):
        for column, cell in enumerate(row):
            _write_cell(page, (number, column), cell, formats, sheet)
    page.freeze_panes(1, sheet.held)
    page.autofilter(0, 0, max(len(sheet.rows), 1), len(sheet.headings) - 1)
    page.set_landscape()
    page.repeat_rows(0)
    page.fit_to_pages(1, 0)


def _write_cell(page: Worksheet, at: tuple[int, int], cell: Cell, formats: dict[str, Format], sheet: Sheet) -> None:
    match cell:
        case None:
            page.write_blank(*at, None)
        case datetime():
            page.write_datetime(*at, cell, formats["month" if sheet.name == "Cash" else "date"])
        case str():
            page.write_string(*at, cell, *([formats["text"]] if sheet.name == "About" else []))
        case _:
            whole = isinstance(cell, int) or abs(cell) >= 1000
            page.write_number(*at, cell, formats["count" if whole else "number"])


def _width(sheet: Sheet, column: int) -> int:
    """As wide as the widest cell, and as the longest word of the heading."""
    longest = max((len(_shown(row[column])) for row in sheet.rows), default=0)
    words = max(len(word) for word in sheet.headings[column].split())
    return min(max(longest, words, NARROWEST) + 2, WIDEST)


def _shown(cell: Any) -> str:
    if isinstance(cell, datetime):
        return DATE
    return f"{cell:,.1f}" if isinstance(cell, float) else str("" if cell is None else cell)
