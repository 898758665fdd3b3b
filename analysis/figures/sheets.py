"""Which rows go on which sheet where a plan has more of them than a picture can show so that they can be read."""

from __future__ import annotations

from typing import NamedTuple


class Sheet(NamedTuple):
    """A sheet among several, both counted from 1, and its first and last row among all, both shown."""

    number: int
    sheets: int
    first: int
    last: int
    rows: int

    def text(self, what: str) -> str:
        """What stands in the title; nothing where there is but one sheet."""
        if self.sheets == 1:
            return ""
        return f"\nsheet {self.number:,} of {self.sheets:,}: {what} {self.first:,} to {self.last:,} of {self.rows:,}"


def sheets_of(rows: int, most: int) -> list[Sheet]:
    """As few sheets of at most `most` rows as will do, filled evenly."""
    count = max(-(-rows // most), 1)
    ends = [rows * number // count for number in range(count + 1)]
    return [Sheet(number, count, ends[number - 1] + 1, ends[number], rows) for number in range(1, count + 1)]


def sheet_at(rows: int, most: int, number: int) -> Sheet:
    """One of them, refused in words where there is none of that number."""
    sheets = sheets_of(rows, most)
    if not 1 <= number <= len(sheets):
        raise ValueError(f"gantt: sheet: {number}: expected a number from 1 to {len(sheets)}")
    return sheets[number - 1]
