"""A company's own sheet: its headings and words, its dates and time zone, its workbook."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
import xlsxwriter

from analysis.field.columns import read_map
from analysis.field.reading import read_log
from sim.scenario import ScenarioError
from tests.fielddata.logs import read, small_pad, told

COLUMNS = (
    "columns: {start: From, end: To, unit: Crew, activity: Job, well: Hole, stage: Stg, cause: Why, remarks: null}\n"
)
WORDS = (
    COLUMNS
    + """\
activities: {NU: nipple up}
units: {Prep 1: Preparation crew}
wells: {C-1: Curlew 1}
causes: {Wx: weather}
date_format: "%d/%m/%Y %H:%M"
"""
)
HEADINGS = "From,To,Crew,Job,Hole,Stg,Why"


def test_their_words_become_ours(tmp_path: Path) -> None:
    log = read(tmp_path, "01/03/2027 07:00,02/03/2027 06:00,Prep 1,NU,C-1,,Wx", headings=HEADINGS, columns=WORDS)
    assert log.findings == ()
    row = log.rows.iloc[0]
    assert (row["unit"], row["activity"], row["well"], row["cause"]) == (
        "Preparation crew",
        "nipple up",
        "Curlew 1",
        "weather",
    )
    assert (row["start_h"], row["end_h"]) == (1, 24)


def test_a_date_in_another_format_is_named(tmp_path: Path) -> None:
    rows = ["01/03/2027 07:00,02/03/2027 06:00,Prep 1,NU,C-1,,", "2027-03-03 07:00,2027-03-03 08:00,Prep 1,NU,C-1,,"]
    log = read(tmp_path, *rows, headings=HEADINGS, columns=WORDS)
    assert {
        row for row, message, _ in told(log) if "other than that of the log; expected such as 31/03/2027" in message
    } == {3}


def test_durations_may_stand_for_ends(tmp_path: Path) -> None:
    columns = "columns: {end: null, duration: Min}\nduration_in: min\n"
    row = "2027-03-01 06:00,90,Preparation crew,nipple up,Curlew 1,,,"
    log = read(tmp_path, row, headings="start,Min,unit,activity,well,stage,cause,remarks", columns=columns)
    assert log.rows["end_h"].tolist() == [1.5]


def test_hours_really_passed_across_a_change_of_clocks(tmp_path: Path) -> None:
    """In Denver clocks went from 02:00 to 03:00 on 14 March 2027 (US Energy Policy Act of 2005)."""
    columns = "time_zone: America/Denver\n"
    row = "2027-03-13 18:00,2027-03-14 06:00,Preparation crew,nipple up,Curlew 1,,,"
    local, zoned = row, row.replace("18:00", "18:00-07:00").replace("06:00", "06:00-06:00")
    utc = row.replace("2027-03-13 18:00", "2027-03-14T01:00Z").replace("2027-03-14 06:00", "2027-03-14T12:00Z")
    for each in (local, zoned, utc):
        rows = read(tmp_path, each, columns=columns).rows
        assert (rows["start_h"][0], rows["end_h"][0] - rows["start_h"][0]) == (12 * 24 + 12, 11)
    assert read(tmp_path, row).rows["end_h"][0] - read(tmp_path, row).rows["start_h"][0] == 12


def test_an_hour_that_does_not_exist_is_named(tmp_path: Path) -> None:
    good = "2027-03-13 18:00,2027-03-13 19:00,Preparation crew,nipple up,Curlew 1,,,"
    gone = "2027-03-14 02:30,2027-03-14 04:00,Preparation crew,pressure test,Curlew 1,,,"
    log = read(tmp_path, good, gone, columns="time_zone: America/Denver\n")
    assert [(row, message[:50]) for row, message, _ in told(log)] == [
        (3, "an hour that is there twice or not at all when clo")
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("columns: {begin: From}\n", "columns.yaml:1: columns.begin: unknown key; known keys: start, end"),
        ("time_zone: Denver\n", "columns.yaml:1: time_zone: no such time zone"),
        ("columns: {duration: Min}\n", "expected duration_in: min, h or day"),
        ("activities: {NU: niple up}\n", "activities.NU: not known here; did you mean 'nipple up'"),
        ("activities: [NU]\n", "expected a mapping"),
        ("colums: {}\n", "unknown key; did you mean 'columns'"),
    ],
)
def test_mistakes_in_the_map_are_told_by_line(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(ScenarioError) as refused:
        read(tmp_path, "2027-03-01 06:00,2027-03-01 07:00,Preparation crew,nipple up,Curlew 1,,,", columns=text)
    assert message in str(refused.value)


def test_no_map_is_our_own_headings() -> None:
    assert read_map(None).columns.headings["cause"] == "cause"


def test_a_workbook_is_read_for_its_values(tmp_path: Path) -> None:
    """Real dates, text that begins with an equals sign, a stage as a number, an empty row, a date as text."""
    file = tmp_path / "log.xlsx"
    with xlsxwriter.Workbook(file, {"strings_to_formulas": False}) as book:
        sheet, date = book.add_worksheet(), book.add_format({"num_format": "dd/mm/yyyy hh:mm"})
        sheet.write_row(0, 0, ["start", "end", "unit", "activity", "well", "stage", "cause", "remarks"])
        sheet.write_row(2, 0, ["", "", "Wireline", "plug and perforate", "Curlew 1", 3, "", "=1+1"])
        sheet.write_datetime(2, 0, datetime(2027, 3, 1, 7, 30), date)
        sheet.write_datetime(2, 1, datetime(2027, 3, 1, 10, 0), date)
        sheet.write_row(3, 0, ["2027-03-01 10:00", "2027-03-01 11:00", "Wireline", "stand by", "", "", "pumping", ""])
    log = read_log(file, small_pad())
    assert log.findings == ()
    assert log.rows["row"].tolist() == [3, 4]
    assert log.rows[["start_h", "end_h", "stage", "remarks"]].iloc[0].tolist() == [1.5, 4.0, 3, "=1+1"]


def test_midnight_in_a_workbook_is_a_moment(tmp_path: Path) -> None:
    """What reads workbooks gives a date alone where a cell holds midnight; in a column of dates alone it stays one."""
    file = tmp_path / "log.xlsx"
    with xlsxwriter.Workbook(file) as book:
        sheet, date = book.add_worksheet(), book.add_format({"num_format": "dd/mm/yyyy hh:mm"})
        sheet.write_row(0, 0, ["start", "end", "unit", "activity", "well", "stage", "cause", "remarks"])
        for number, (start, end) in enumerate([(2, 3), (3, 3.5), (4.25, 5)], start=1):
            sheet.write_row(number, 2, ["Wireline", "stand by", "", "", "pumping", ""])
            for column, day in enumerate((start, end)):
                sheet.write_datetime(number, column, datetime(2027, 3, 1) + timedelta(days=day), date)
    log = read_log(file, small_pad())
    assert log.rows["start_h"].tolist() == [42.0, 66.0, 96.0]
    assert log.rows["end_h"].tolist() == [66.0, 78.0, 114.0]


def test_what_is_no_workbook_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "log.xlsx"
    file.write_text("start,end\n", encoding="utf-8")
    with pytest.raises(ScenarioError, match="not a workbook"):
        read_log(file, small_pad())
    with pytest.raises(ScenarioError, match="no such file"):
        read_log(tmp_path / "other.xlsx", small_pad())
    (tmp_path / "folder.xlsx").mkdir()
    with pytest.raises(ScenarioError, match="a folder"):
        read_log(tmp_path / "folder.xlsx", small_pad())
