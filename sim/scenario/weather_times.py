"""The times of a weather table: when each row begins, how far rows are apart, and whether any is missing.

Times are local, and standard time throughout: a clock put back makes an hour twice, and that is refused.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from datetime import datetime, time, timedelta
from itertools import pairwise

from sim.scenario.csv_rows import Complaints, Row
from sim.scenario.weather_columns import Column
from sim.scenario.written import shown

HOUR, DAY = timedelta(hours=1), timedelta(days=1)
LONGEST_FILLED = timedelta(days=7)

_YEARS = range(1950, 2200)
_MOMENT = re.compile(r"(\d{4})[-/](\d{1,2})[-/](\d{1,2})(?:[T ](\d{1,2}):(\d{2})(?::(\d{2}))?)?")
_ZONE = re.compile(r".*:\d{2}\s*(Z|[-+]\d{2}:?\d{2})")

Begin = tuple[int, datetime | None]  # line of a row, and when it begins, where that can be read


def moment_of(row: Row, columns: Sequence[Column], complaints: Complaints) -> datetime | None:
    """When a row begins."""
    cells = [row.cells[column.number] for column in columns]
    moment = _moment(cells)
    if moment is None:
        where = ", ".join(column.name for column in columns)
        complaints.add(row.line, where, _not_a_date(cells), shown(" ".join(cells)))
    return moment


def _moment(cells: list[str]) -> datetime | None:
    """The time in one cell; or in cells of year, month, day and perhaps hour."""
    parts: Sequence[str | None] = cells
    if len(cells) == 1:
        match = _MOMENT.fullmatch(cells[0])
        parts = match.groups() if match else ()
    try:
        year, month, day, *clock = (int(part) for part in parts if part is not None)
        hour, minute, second = (*clock, 0, 0, 0)[:3]
        moment = datetime(year, month, day, hour, minute, second)
    except (ValueError, OverflowError):
        return None
    return moment if year in _YEARS else None


def _not_a_date(cells: list[str]) -> str:
    if len(cells) == 1 and _ZONE.fullmatch(cells[0]):
        return "carries a time zone; expected the local time of the location, without"
    return "not a date; expected year, month, day and perhaps time, in 1950 to 2199: 2015-03-01 or 2015-03-01 06:00"


def spacing(begins: Sequence[Begin], header_line: int, complaints: Complaints) -> timedelta:
    """How far apart rows are, as a rule: a day or an hour. Raises ScenarioError where they are neither."""
    moments = [moment for _, moment in begins]
    steps = Counter(b - a for a, b in pairwise(moments) if a and b and b > a)
    if not steps:
        complaints.give_up(header_line, "fewer than two rows in order of time; expected one every day or every hour")
    every = steps.most_common(1)[0][0]
    if every not in {HOUR, DAY}:
        complaints.give_up(header_line, f"rows {_said(every)} apart; expected one every day or every hour")
    line, moment = next(begin for begin in begins if begin[1])
    if every == DAY and moment and moment.time() != time.min:
        complaints.add(line, "", "a row a day, not from midnight on; expected the date alone", str(moment))
    return every


def _said(span: timedelta) -> str:
    hours = span / HOUR
    return f"{hours / 24:,.4g} days" if hours > 24 else f"{hours:.4g} h"


def check_order(begins: Sequence[Begin], every: timedelta, filling: bool, complaints: Complaints) -> None:
    """Complain of times that do not go on row by row; behind one that cannot be read the count begins anew."""
    line, last = 0, None
    for each, moment in begins:
        fault = _fault(line, last, moment, every, filling) if last and moment else None
        if fault:
            complaints.add(each, "", fault, str(moment))
        if moment is None or last is None or moment > last:
            line, last = each, moment


def _fault(line: int, last: datetime, moment: datetime, every: timedelta, filling: bool) -> str | None:
    row = "day" if every == DAY else "hour"
    if moment == last:
        hint = "" if every == DAY else " (a clock put back? tables are in standard time)"
        return f"the same time as line {line}{hint}; expected each {row} once"
    if moment < last:
        return f"earlier than line {line}; expected rows in order of time"
    if (moment - last) % every:
        return f"{_said(moment - last)} after line {line}; expected one row every {row}"
    return _fault_of_gap(line, moment - last - every, every, filling)


def _fault_of_gap(line: int, hole: timedelta, every: timedelta, filling: bool) -> str | None:
    if not hole or (filling and hole <= LONGEST_FILLED):
        return None
    told = f"rows missing since line {line}: {hole // every:,}"
    if filling:
        return f"{told}; expected at most {LONGEST_FILLED.days} days to be filled as the day before"
    return f"{told}; expected them in the table, or gaps: as the day before"
