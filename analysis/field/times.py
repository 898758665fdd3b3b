"""Dates and times of a stage log as hours from the scenario's start.

Hours are hours that really passed: where a time zone is stated, a clock change in the middle of a job makes it
neither longer nor shorter. Without one, times are taken as local and the clock as never changed.
"""

from __future__ import annotations

import re
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    import pandas as pd

    Text = pd.Series[str]
    Hours = pd.Series[float]

ISO = r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?"
_ZONED = r".*\d{2}:\d{2}(?::\d{2}(?:\.\d+)?)?\s?(?:Z|[+-]\d{2}:?\d{2})"
_OTHER = r"(?:\d{1,2}[/.-]\d{1,2}[/.-]\d{2,4}|\d{4}[/.-]\d{1,2}[/.-]\d{1,2}|\d{1,2}[ -]?[A-Za-z]{3,9}[ -]?\d{2,4})\b.*"
_DATE_ONLY = r"\d{1,4}[/.-]\d{1,2}[/.-]\d{1,4}"
EXAMPLE = datetime(2027, 3, 31, 14, 30)


class Clock(NamedTuple):
    """How times are written, and the moment from which hours count."""

    start: datetime
    date_format: str | None = None
    time_zone: str | None = None

    @property
    def example(self) -> str:
        """A time as it is expected."""
        return EXAMPLE.strftime(self.date_format) if self.date_format else "2027-03-31 14:30"


def hours_of(cells: Text, clock: Clock) -> tuple[Hours, Text]:
    """Hours from the start, NaN where a cell is empty or wrong; and what is wrong with each cell, '' if nothing."""
    import pandas as pd

    zoned = cells.str.fullmatch(_ZONED)
    naive = _naive(cells.mask(zoned, ""), clock)
    zone = clock.time_zone or "UTC"
    start = pd.Timestamp(clock.start).tz_localize(zone)
    known = naive.dt.tz_localize(zone, ambiguous="NaT", nonexistent="NaT").dt.tz_convert("UTC")
    if clock.time_zone is not None and zoned.any():
        with_zone = cells.where(zoned, None)
        known = known.fillna(pd.to_datetime(with_zone, format="ISO8601", utc=True, errors="coerce"))
    hours = (known - start).dt.total_seconds() / 3600
    return hours, _faults(cells, zoned, naive, hours, clock)


def moment_h(text: str, clock: Clock) -> tuple[float, str]:
    """Hours of one moment, written as in the log or as ISO, a date alone being its midnight; and what is wrong."""
    import pandas as pd

    whole = f"{text} 00:00" if re.fullmatch(r"\d{4}-\d{2}-\d{2}", text) else text
    for each in dict.fromkeys((clock._replace(date_format=None), clock)):
        hours, faults = hours_of(pd.Series([whole.strip()], dtype="str"), each)
        if not faults[0] and not pd.isna(hours[0]):
            return float(hours[0]), ""
    return float("nan"), str(faults[0]) or f"not a date and time; expected such as {clock.example}"


def _naive(cells: Text, clock: Clock) -> pd.Series[pd.Timestamp]:
    """Times without a zone; real dates of a workbook are ISO with a T, whatever the format of its text."""
    import pandas as pd

    iso = cells.where(cells.str.fullmatch(ISO), None)
    if clock.date_format is None:
        return pd.to_datetime(iso, format="ISO8601", errors="coerce").astype("datetime64[us]")
    stated = pd.to_datetime(cells, format=clock.date_format, errors="coerce").astype("datetime64[us]")
    real = pd.to_datetime(iso.where(cells.str.contains("T", regex=False), None), format="ISO8601", errors="coerce")
    return stated.fillna(real.astype("datetime64[us]"))


def _faults(cells: Text, zoned: pd.Series[bool], naive: pd.Series[pd.Timestamp], hours: Hours, clock: Clock) -> Text:
    import pandas as pd

    bad = hours.isna() & (cells != "")
    said = pd.Series("", index=cells.index, dtype="str")
    expected = f"expected such as {clock.example}"
    other = cells.str.fullmatch(_OTHER) | cells.str.fullmatch(ISO)
    said = said.mask(bad, f"not a date and time; {expected}")
    said = said.mask(bad & other, f"a date format other than that of the log; {expected}")
    alike = cells.str.replace(r"\d", "0", regex=True) == re.sub(r"\d", "0", clock.example)
    said = said.mask(bad & alike, f"no such date or time; {expected}, day and month perhaps the other way round")
    said = said.mask(bad & cells.str.fullmatch(_DATE_ONLY), f"a date without a time of day; {expected}")
    no_zone = "with a time zone, but the column map states no time_zone to turn it into"
    said = said.mask(bad & zoned & (clock.time_zone is None), no_zone)
    twice = "an hour that is there twice or not at all when clocks change; write it with its offset, such as -06:00"
    return said.mask(bad & naive.notna(), twice)


def swapped(hours: Hours, start: datetime) -> Hours:
    """The same times with day and month the other way round; NaN where that gives no date. Clock changes ignored."""
    import pandas as pd

    moments = pd.Timestamp(start) + pd.to_timedelta(hours, unit="h")
    parts = {"year": moments.dt.year, "month": moments.dt.day, "day": moments.dt.month}
    days = pd.to_datetime(pd.DataFrame(parts), errors="coerce")
    back = days + (moments - moments.dt.normalize())
    return (back - pd.Timestamp(start)).dt.total_seconds() / 3600
