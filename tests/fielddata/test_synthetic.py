"""An invented log: reproducible, labelled, and wrong only where it says so."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from analysis.field.hidden_truth import truth_of
from analysis.field.synthetic import invented_log, rounded
from sim.scenario import read
from tests.fielddata.logs import SIX_WELLS, six_wells, small_pad


def test_same_seed_same_log() -> None:
    assert invented_log(six_wells(), 1) == invented_log(six_wells(), 1)
    assert invented_log(six_wells(), 1).rows != invented_log(six_wells(), 2).rows


def test_every_row_says_that_it_is_invented() -> None:
    log = invented_log(small_pad(), 1)
    assert all("invented" in row[-1] for row in log.rows)
    assert any(row[-1].startswith("=") for row in log.rows)
    assert any("," in row[-1] for row in log.rows)


def test_times_are_rounded_to_five_minutes_and_rows_last() -> None:
    for row in invented_log(small_pad(), 1, slips=False).rows:
        start, end = (datetime.fromisoformat(cell) for cell in row[:2])
        assert end - start >= timedelta(minutes=5)
        assert (start.minute % 5, end.minute % 5) == (0, 0)
    assert rounded(datetime(2027, 12, 31, 23, 58)) == datetime(2028, 1, 1)


def test_each_slip_is_made_where_it_says() -> None:
    """Told by comparison with the same log without slips; rows are counted as in the sheet, its headings first."""
    clean, dirty = (invented_log(six_wells(), 5, slips=slips) for slips in (False, True))
    changed = {n + 2 for n, (a, b) in enumerate(zip(clean.rows, dirty.rows, strict=False)) if a != b}
    assert changed | {len(dirty.rows) + 1} == {slip.row for slip in dirty.slips}
    assert len(dirty.slips) == 5
    assert len(dirty.rows) == len(clean.rows) + 1


def test_until_leaves_what_goes_on_without_an_end() -> None:
    """By 10 March the first well is being watched or worked on; no row begins later."""
    until = datetime(2027, 3, 10)
    rows = invented_log(six_wells(), 1, until, slips=False).rows
    assert all(datetime.fromisoformat(row[0]) < until for row in rows)
    assert all(datetime.fromisoformat(row[1]) <= until for row in rows if row[1])
    assert any(not row[1] for row in rows)


def test_the_truth_differs_from_the_plan_and_is_reproducible() -> None:
    document = read(SIX_WELLS)
    truth = truth_of(six_wells(), document, 3)
    assert truth == truth_of(six_wells(), document, 3)
    assert truth != truth_of(six_wells(), document, 4)
    assert truth["strategy.swap.time"]["lognormal"]["cv"] == pytest.approx(0.165, abs=0.005)
