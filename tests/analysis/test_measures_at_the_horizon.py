"""Measures of what the horizon cuts short: it has not ended, is not pumped, has not come."""

from __future__ import annotations

from math import inf

import pytest
from logs_by_hand import TESTED, WHOLE, Row, log_of

from analysis.measures import WellRow, measure
from sim import activities


@pytest.mark.parametrize(
    ("horizon_h", "ended"),
    [
        (184.5, ["prepared_h", "fracturing_end_h", "drilled_out_h", "on_production_h"]),
        (184.0, ["prepared_h", "fracturing_end_h", "drilled_out_h"]),
        (51.0, ["prepared_h", "fracturing_end_h"]),
        (35.5, ["prepared_h"]),
        (12.0, []),
    ],
)
def test_horizon_cuts_what_has_not_ended(horizon_h: float, ended: list[str]) -> None:
    """What ends at the horizon was cut short there: it has no end, and is never dropped."""
    cut: list[Row] = [(*row[:1], min(row[1], horizon_h), *row[2:]) for row in WHOLE if row[0] < horizon_h]  # type: ignore[misc] # a row again
    (row,) = measure(log_of({"A": 2}, cut, horizon_h=horizon_h)).wells
    ends = ("prepared_h", "fracturing_end_h", "drilled_out_h", "on_production_h")
    assert [end for end in ends if getattr(row, end) < inf] == ended


def test_stage_that_the_horizon_cuts_is_not_pumped() -> None:
    """One stage is done and one under way; the hours so far count, the stage does not."""
    cut: list[Row] = [(*row[:1], min(row[1], 35.5), *row[2:]) for row in WHOLE if row[0] < 35.5]  # type: ignore[misc] # a row again
    found = measure(log_of({"A": 2}, cut, horizon_h=35.5))
    assert (found.pad.stages_pumped, found.pad.pumping_h, found.pad.wells_on_production) == (1, 2.5, 0)
    assert (found.pad.fracturing_end_h, found.pad.first_production_h) == (inf, inf)
    assert found.pad.stages_per_day == pytest.approx(24 / 5.5)
    assert {row.unit: row.leaves_h for row in found.visits} == {"Crew": 13.0, "Fleet": inf, "Wireline": 35.0}


def test_nothing_happened_before_the_horizon() -> None:
    """An empty log is all infinities and no rates, not an error."""
    found = measure(log_of({"A": 2}, []))
    assert found.wells == [WellRow(3, "A", *[inf] * 6)]
    assert (found.pad.stages_per_day, found.pad.pumping_h_per_day, found.pad.stages_pumped) == (0.0, 0.0, 0)
    assert (found.units, found.visits) == ([], [])


def test_injection_test_still_watched_at_the_horizon() -> None:
    """The test is done, but until its watching ends the well is not prepared."""
    assert measure(log_of({"A": 2}, TESTED, horizon_h=100.0)).wells[0].prepared_h == inf


def test_unit_still_on_its_way_at_the_horizon_has_not_come() -> None:
    """Nor has it left; but one that has waited on location since hour zero has, and its hours count."""
    waits: list[tuple[Row, str]] = [
        ((0, 50, "Late fleet", activities.ARRIVE, "", 0), activities.ARRIVAL),
        ((0, 50, "Early fleet", activities.ARRIVE, "", 0), "preparation"),
    ]
    found = measure(log_of({"A": 1}, [], waits, horizon_h=50.0))
    assert {row.unit: (row.arrives_h, row.leaves_h) for row in found.visits} == {
        "Late fleet": (inf, inf),
        "Early fleet": (0.0, inf),
    }
    assert [row[1:] for row in found.units] == [("Early fleet", "wait", "preparation", 50.0)]
