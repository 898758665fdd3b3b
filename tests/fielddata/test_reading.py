"""Reading a stage log: what is used as it stands, and what is left out and named, row by row."""

from __future__ import annotations

from pathlib import Path

import pytest

from analysis.field.reading import read_log
from sim.scenario import ScenarioError
from tests.fielddata.logs import read, small_pad, told

FIRST = "2027-03-01 06:00,2027-03-01 14:00,Preparation crew,nipple up,Curlew 1,,,fine"
SECOND = "2027-03-01 14:00,2027-03-01 18:00,Preparation crew,pressure test,Curlew 1,,,fine"


def test_sound_rows_are_used_as_they_stand(tmp_path: Path) -> None:
    log = read(tmp_path, FIRST, SECOND)
    assert (log.read, log.left_out, log.findings) == (2, 0, ())
    assert log.rows[["start_h", "end_h"]].to_numpy().tolist() == [[0, 8], [8, 12]]
    assert log.until_h == 12


def test_text_that_looks_like_a_formula_is_text(tmp_path: Path) -> None:
    log = read(tmp_path, FIRST.replace("fine", '"=1+1, said the foreman"'))
    assert log.rows["remarks"].tolist() == ["=1+1, said the foreman"]


@pytest.mark.parametrize(
    ("row", "column", "message"),
    [
        (SECOND.replace("14:00,2027-03-01 18:00", "18:00,2027-03-01 14:00"), "end", "ends 4.0 h before it starts"),
        (SECOND.replace("Curlew 1", "Curlew1"), "well", "not known in this plan; did you mean 'Curlew 1'"),
        (SECOND.replace("Preparation crew", "Crew"), "unit", "not known in this plan"),
        (
            SECOND.replace("pressure test", "presure test"),
            "activity",
            "not known in this plan; did you mean 'pressure test'",
        ),
        (SECOND.replace("Curlew 1", ""), "well", "missing"),
        (SECOND.replace("2027-03-01 14:00", ""), "start", "missing"),
        (SECOND.replace("2027-03-01 14:00", "01/03/2027 14:00"), "start", "a date format other than that of the log"),
        (SECOND.replace("2027-03-01 14:00", "2027-03-01"), "start", "a date without a time of day"),
        (SECOND.replace("2027-03-01 14:00", "after lunch"), "start", "not a date and time"),
        (SECOND.replace("2027-03-01 14:00", "2027-02-30 14:00"), "start", "no such date or time"),
        (SECOND.replace("14:00,", "14:00-07:00,"), "start", "with a time zone, but the column map states no time_zone"),
        (SECOND.replace("2027-03-01 18:00", "2057-03-01 18:00"), "end", "more than ten years from the start"),
        (FIRST, "", "the same as row 2"),
        ("2027-03-01 14:00,2027-03-01 15:00,Wireline,plug and perforate,Curlew 1,,,", "stage", "missing"),
        (
            "2027-03-01 14:00,2027-03-01 15:00,Wireline,plug and perforate,Curlew 1,6,,",
            "stage",
            "Curlew 1 has 5 stages",
        ),
        (
            "2027-03-01 14:00,2027-03-01 15:00,Wireline,plug and perforate,Curlew 1,toe,,",
            "stage",
            "expected a whole number",
        ),
        (FIRST + ",a comma too many", "", "1 more cells than headings"),
    ],
)
def test_a_row_that_cannot_be_right_is_left_out_and_named(tmp_path: Path, row: str, column: str, message: str) -> None:
    log = read(tmp_path, FIRST, row)
    assert (log.read, len(log.rows)) == (2, 1)
    assert [(finding.row, finding.column, finding.left_out) for finding in log.findings] == [(3, column, True)]
    assert log.findings[0].message.startswith(message)
    with pytest.raises(ScenarioError, match=r"log\.csv:3"):
        read(tmp_path, FIRST, row, strict=True)


def test_an_end_may_be_missing_only_while_the_job_goes_on(tmp_path: Path) -> None:
    going_on = SECOND.replace("2027-03-01 18:00", "")
    assert read(tmp_path, FIRST, going_on).findings == ()
    later = "2027-03-02 06:00,2027-03-02 08:00,Preparation crew,toe preparation,Curlew 1,,,"
    log = read(tmp_path, FIRST, going_on, later)
    assert (3, "missing, although the unit goes on to other work", True) in told(log)


def test_of_rows_that_overlap_the_later_is_left_out(tmp_path: Path) -> None:
    log = read(tmp_path, FIRST, SECOND.replace("14:00,", "13:00,"))
    assert told(log) == [(3, "overlaps other rows of the same unit", True)]


def test_a_row_that_overlaps_with_several_is_itself_left_out(tmp_path: Path) -> None:
    """13 February instead of 2 March."""
    late = "2027-03-02 06:00,2027-03-02 10:00,Preparation crew,nipple up,Curlew 2,,,"
    wrong = "2027-02-13 10:00,2027-03-02 12:00,Preparation crew,pressure test,Curlew 2,,,"
    log = read(tmp_path, FIRST, SECOND, late, wrong)
    rows = {row: message for row, message, left_out in told(log) if left_out}
    assert rows == {5: "overlaps other rows of the same unit"}


@pytest.mark.parametrize("by_date", [False, True], ids=["as written", "sorted by date"])
def test_a_date_beyond_all_others_is_left_out_where_it_would_fit_the_other_way_round(
    tmp_path: Path, by_date: bool
) -> None:
    """11 April written as 4 November: it overlaps with nobody. The sheet may have been sorted since."""
    rows = [f"2027-04-{day:02d} 06:00,2027-04-{day:02d} 09:00,Wireline,stand by,,,pumping," for day in range(8, 24)]
    rows[3] = "2027-11-04 06:00,2027-11-04 09:00,Wireline,stand by,,,pumping,"
    log = read(tmp_path, *(sorted(rows) if by_date else rows))
    left = [(row, message) for row, message, left_out in told(log) if left_out]
    assert left == [(17 if by_date else 5, "far from the other rows; day and month may be the other way round")]


def test_a_date_beyond_all_others_that_fits_no_better_otherwise_is_kept(tmp_path: Path) -> None:
    rows = [f"2027-04-{day:02d} 06:00,2027-04-{day:02d} 09:00,Wireline,stand by,,,pumping," for day in range(8, 24)]
    log = read(tmp_path, *rows, "2027-11-14 06:00,2027-11-14 09:00,Wireline,stand by,,,pumping,")
    assert log.left_out == 0


def test_wells_pumped_together_do_not_overlap(tmp_path: Path) -> None:
    rows = [f"2027-03-01 14:00,2027-03-01 16:00,Fleet A,pump stage,Curlew {k},1,," for k in (1, 2)]
    assert read(tmp_path, *rows).findings == ()


def test_gaps_are_noted_and_nothing_is_left_out(tmp_path: Path) -> None:
    log = read(tmp_path, FIRST, SECOND.replace("01 14:00", "01 16:30"))
    assert told(log) == [(3, "2.5 h before it are missing for Preparation crew", False)]
    assert log.left_out == 0


def test_stages_out_of_order_are_the_fewest_that_mend_it(tmp_path: Path) -> None:
    """Of stages 1, 2, 5, 3, 4 it is the 5 that is wrong, not what comes after it."""
    rows = [
        f"2027-03-0{day} 06:00,2027-03-0{day} 09:00,Wireline,plug and perforate,Curlew 1,{stage},,"
        for day, stage in enumerate((1, 2, 5, 3, 4), start=1)
    ]
    log = read(tmp_path, *rows)
    assert [(row, message) for row, message, left_out in told(log) if left_out] == [(4, "out of order")]


def test_columns_not_looked_at_are_named(tmp_path: Path) -> None:
    log = read(tmp_path, FIRST + ",Smith", headings="start,end,unit,activity,well,stage,cause,remarks,foreman")
    assert told(log) == [(1, "columns not looked at: foreman", False)]


def test_a_missing_column_is_refused_with_the_closest(tmp_path: Path) -> None:
    with pytest.raises(
        ScenarioError, match=r"the column 'stage' .* missing; did you mean 'Stage'; headings: start, end"
    ):
        read(tmp_path, FIRST, headings="start,end,unit,activity,well,Stage,cause,remarks")


@pytest.mark.parametrize(("text", "message"), [("", "empty"), ("start\n", "missing")])
def test_a_sheet_without_rows_is_refused(tmp_path: Path, text: str, message: str) -> None:
    file = tmp_path / "log.csv"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioError, match=message):
        read_log(file, small_pad())


def test_where_no_row_can_be_used_the_reasons_are_told(tmp_path: Path) -> None:
    with pytest.raises(ScenarioError, match="none of its 1 rows can be used"):
        read(tmp_path, FIRST.replace("Curlew 1", "Plover"))


@pytest.mark.parametrize(("minute", "step"), [("00", 60), ("30", 30), ("45", 15), ("20", 10), ("35", 5), ("37", 1)])
def test_rounding_is_seen(tmp_path: Path, minute: str, step: int) -> None:
    """The start of the plan is at a full hour, so minutes of the clock are minutes from the start."""
    assert read(tmp_path, FIRST.replace("06:00", f"06:{minute}"), SECOND).rounded_to_min == step
