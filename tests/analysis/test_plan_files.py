"""Workbook, calendar and CSV tables as others read them: calamine, and a reader of RFC 5545 of our own."""

from __future__ import annotations

import csv
import io
import re
from datetime import date, datetime, timedelta
from functools import cache
from typing import Any

import pytest
from calendar_reader import events_of, unfolded
from priced import log_of, played, priced_pad
from python_calamine import CalamineWorkbook

from analysis.forecasting.forecast import TABLES, Forecast, forecast, representative
from analysis.forecasting.summary import Summary, summarise
from analysis.handing_on.calendar_file import calendar_bytes
from analysis.handing_on.plan_files import made_of
from analysis.handing_on.sheets import Sheet
from analysis.handing_on.workbook import workbook_bytes
from analysis.pricing.ledger import reckon
from analysis.wording import BEYOND, full_date
from sim.pad import simulate


@cache
def summary() -> Summary:
    return summarise(played())


@cache
def files() -> dict[str, Any]:
    return made_of(summary(), reckon(played()), log_of(representative(played())))


def tables(content: bytes) -> dict[str, list[list[Any]]]:
    """Sheets of a workbook by name, as calamine reads them."""
    book = CalamineWorkbook.from_filelike(io.BytesIO(content))
    return {name: book.get_sheet_by_name(name).to_python() for name in book.sheet_names}


def moment(cell: Any) -> datetime:
    """A date and time; calamine gives midnight as a date."""
    return cell if isinstance(cell, datetime) else datetime(cell.year, cell.month, cell.day)


def test_sheets_that_planners_rework() -> None:
    """Milestones, units, stages, costs, cash, production, fuel, and what it is."""
    found = tables(files()["plan.xlsx"])
    assert list(found) == [
        "Milestones", "Units", "Stages of one run", "Costs", "Cash", "Production", "Fuel", "About",
    ]  # fmt: skip
    assert all(len(row) == len(rows[0]) for rows in found.values() for row in rows)
    assert found["About"][-1][0] == "caution"
    assert len(found["Stages of one run"]) == 1 + 12


def test_dates_of_the_workbook_are_dates() -> None:
    """P10, P50 and P90 of each milestone to the minute, as in the summary; the heading says what P90 is."""
    headings, *rows = tables(files()["plan.xlsx"])["Milestones"]
    assert headings[4] == "P90 date (90 % chance done by)"
    milestone = summary().milestone("Every well on production")
    row = next(row for row in rows if row[:2] == ["the pad", milestone.name])
    scenario = summary().forecast.scenario
    exact = [scenario.moment_at(quantile.value) for quantile in milestone.quantiles]
    assert [moment(cell) for cell in row[2:5]] == [each.replace(second=0, microsecond=0) for each in exact]
    assert {type(cell) for row in rows for cell in row[2:6]} <= {datetime, date}


def test_stages_of_the_workbook_are_those_of_the_log() -> None:
    """Each stage once, with the hours of its rows, its water and its proppant."""
    headings, *rows = tables(files()["plan.xlsx"])["Stages of one run"]
    log = log_of(representative(played()))
    pumped = sum(
        row.end_h - row.start_h for row in log.intervals if row.activity == "pump stage" and row.kind == "work"
    )
    column = {name: [row[place] for row in rows] for place, name in enumerate(headings)}
    assert {(well, stage) for well, stage, *_ in rows} == {(f"w{n}", k) for n in (1, 2, 3) for k in range(1, 3 + n)}
    assert sum(column["pumping, h"]) == pytest.approx(pumped)
    assert set(column["water, bbl"]) == {2000}
    assert set(column["proppant, lb"]) == {100_000}
    starts = [moment(cell) for cell in column["pumping starts"]]
    assert starts == sorted(starts)
    csv_rows = list(csv.reader(io.StringIO(files()["stages.csv"])))
    assert csv_rows[0] == headings
    assert len(csv_rows) == 1 + len(rows)


def test_text_never_becomes_a_formula() -> None:
    """A title, a name or a note that begins with an equals sign, looks like a number or an address stays text."""
    hostile = ["=1+1", '=HYPERLINK("http://x")', "+1", "-1", "@a", "007", "1e5", "http://a.b/c"]
    found = tables(workbook_bytes([Sheet("S", ("a",), [(text,) for text in hostile])], "=t", datetime(2027, 1, 1)))
    assert [row[0] for row in found["S"][1:]] == hostile


def test_what_is_beyond_the_horizon_says_so() -> None:
    """In words in the workbook; in the calendar it is left out, and no replication is lost."""
    scenario = priced_pad(horizon="3 day", prices=None, fuel=None)
    cut = summarise(forecast(scenario, 3))
    made = made_of(cut, reckon(cut.forecast), simulate(scenario, 0))
    rows = tables(made["plan.xlsx"])["Milestones"]  # type: ignore[arg-type] # bytes
    late = next(row for row in rows if row[:2] == ["the pad", "Every well on production"])
    assert late[2:5] == [BEYOND] * 3
    assert late[7] == 3
    names = [event["SUMMARY"] for event in events_of(calendar_bytes(cut))]
    assert not any("every well on production" in name for name in names)
    assert any("fracturing starts" in name for name in names)


def test_calendar_by_the_letter() -> None:
    """Every milestone and every stay at its P50, with P10 and P90 in the text; times are local, of no zone."""
    events = events_of(files()["plan.ics"])
    scenario, found = summary().forecast.scenario, summary()
    assert len(events) == 4 + 6 * 3 + len(found.visits)
    assert len({event["UID"] for event in events}) == len(events)
    milestone = found.milestone("First production")
    event = next(each for each in events if each["SUMMARY"] == f"{scenario.title}: first production")
    assert event["DTSTART"] == f"{scenario.moment_at(milestone.quantiles[1].value):%Y%m%dT%H%M}00"
    for quantile in milestone.quantiles:
        assert full_date(scenario, quantile.value) in event["DESCRIPTION"]
    assert "90 % chance done by that date; P10" in event["DESCRIPTION"]
    for each in events:
        assert re.fullmatch(r"\d{8}T\d{6}Z", each["DTSTAMP"])
        assert each["DTSTART"] < each["DTEND"]


def test_calendar_text_is_escaped_and_folded() -> None:
    """Names with commas, semicolons, backslashes and letters of several octets come back as they were."""
    name = 'Heron, "the 1st"; b\\n é' + "ö" * 30
    scenario = priced_pad(1, title=f"Ünit {name}")
    found = summarise(forecast(scenario, 2))
    content = calendar_bytes(found)
    assert any(event["SUMMARY"] == f"Ünit {name}: first production" for event in events_of(content))
    assert unfolded(content)[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]


def test_calendar_with_a_zone_defines_it() -> None:
    """Times name the zone of the scenario, and the calendar holds its definition (RFC 5545, 3.6.5)."""
    zoned = priced_pad(time_zone="America/Denver")
    content = calendar_bytes(summarise(Forecast(zoned, 0, 6, **_tables_of(played()))))
    lines = unfolded(content)
    assert "BEGIN:VTIMEZONE" in lines
    assert "TZID:America/Denver" in lines
    starts = [line for line in lines if line.startswith("DTSTART;TZID=America/Denver:2")]
    assert len(starts) == len(events_of(content))


def _tables_of(done: Forecast) -> dict[str, Any]:
    return {name: getattr(done, name) for name in TABLES}


def test_an_event_keeps_its_identity() -> None:
    """Another forecast of the same plan moves events instead of adding new ones."""
    first = {event["UID"]: event for event in events_of(files()["plan.ics"])}
    again = {event["UID"]: event for event in events_of(calendar_bytes(summarise(forecast(priced_pad(), 6, seed=5))))}
    assert first.keys() == again.keys()
    assert any(first[uid]["DTSTART"] != again[uid]["DTSTART"] for uid in first)


def test_equal_runs_leave_equal_bytes() -> None:
    """Made twice from the same tables: workbook, calendar and every CSV, with no clock in them."""
    again = made_of(summary(), reckon(played()), log_of(representative(played())))
    assert again == files()
    assert set(again) == {
        "plan.xlsx", "plan.ics", "stages.csv", "production.csv", "costs.csv", "cash.csv", "cost_lines.csv", "fuel.csv",
    }  # fmt: skip


def test_cash_of_the_workbook_sums_up() -> None:
    """Net is earned less paid, month after month, and so is its sum."""
    _, *rows = tables(files()["plan.xlsx"])["Cash"]
    so_far = 0.0
    for month, paid, earned, net, total in rows:
        so_far += net
        assert net == pytest.approx(earned - paid)
        assert total == pytest.approx(so_far)
        assert moment(month).day == 1
    assert moment(rows[1][0]) - moment(rows[0][0]) == timedelta(days=31)


def test_lines_of_the_representative_run_sum_to_its_cost() -> None:
    """What `cost_lines.csv` lists is what that replication cost."""
    rows = list(csv.DictReader(io.StringIO(files()["cost_lines.csv"])))
    money = reckon(played()).money
    assert money is not None
    number = representative(played())
    assert {row["replication"] for row in rows} == {str(number)}
    assert sum(float(row["cost"]) for row in rows) == pytest.approx(money.cash.paid[number].sum())
