"""When units come, work, pause and leave: arrivals, shifts, jobs that must fit in, crew changes, several of a kind."""

from __future__ import annotations

from typing import Any

import pytest

from sim.activities import NIPPLE_UP, PUMP_STAGE
from sim.log import Log
from sim.pad import simulate
from tests.pads import NOW, minutes, units, well
from tests.sim.playing import LATE_FLOWBACK, planned, rows_of, work

FLEET = {"rig_up": NOW, "rig_down": NOW}
CREW = "Preparation crew"


def prepared(jobs: dict[str, Any], crews: Any, names: str = "A", pump_min: float = 60, **more: Any) -> Log:
    """Wells of one stage, nippled up and tested by crews; everybody else is quick. The start is midnight."""
    preparation = {"nipple_up": NOW, "pressure_test": NOW} | jobs
    of = [well(name, 1, minutes(30), minutes(pump_min), toe=True, preparation=preparation) for name in names]
    stated = units(preparation_crews=crews, flowback_spreads=LATE_FLOWBACK)
    return simulate(planned(of, {"wells_in_rotation": 1}, units=stated, **more))


def test_unit_on_call_is_there_when_it_is_needed() -> None:
    """Nobody has stated when the crew arrives: it comes when the well is released, at 5 h, and leaves when done."""
    of = [well("A", 1, minutes(30), minutes(60), toe=True, rig_release="2027-03-01 05:00")]
    of[0]["preparation"]["nipple_up"] = "2 h"
    log = simulate(planned(of, {"wells_in_rotation": 1}))
    assert rows_of(log, CREW) == [(0, 5, "arrive", "on call"), (5, 7, "nipple up", "")]


def test_unit_that_arrives_early_waits_on_location() -> None:
    """It stands by from its arrival at 3 h to the rig release at 5 h."""
    of = [well("A", 1, minutes(30), minutes(60), toe=True, rig_release="2027-03-01 05:00")]
    of[0]["preparation"]["nipple_up"] = "2 h"
    stated = units(preparation_crews={"arrives": "2027-03-01 03:00"}, flowback_spreads=LATE_FLOWBACK)
    log = simulate(planned(of, {"wells_in_rotation": 1}, units=stated))
    assert rows_of(log, CREW) == [
        (0, 3, "arrive", "arrival"),
        (3, 5, "stand by", "rig release"),
        (5, 7, "nipple up", ""),
    ]


def test_unit_that_arrives_late_keeps_the_well_waiting() -> None:
    """The crew is there at 30 h only, though the well was released before the start."""
    log = prepared({"nipple_up": "2 h"}, {"arrives": "2027-03-02 06:00"})
    assert rows_of(log, CREW) == [(0, 30, "arrive", "arrival"), (30, 32, "nipple up", "")]
    assert work(log, PUMP_STAGE)[0].start_h == 32


def test_units_nobody_needs() -> None:
    """Of three rigs for one well, two on call never show up; those that came all the same go again at once."""
    of = [well("A", 1, minutes(30), minutes(60), toe=True)]
    rigs = {"count": 3, "rig_up": "1 h", "rig_down": NOW, "per_plug": NOW}
    on_call, there = (
        simulate(planned(of, {"wells_in_rotation": 1}, units=units(milling_rigs=rigs | arrives)))
        for arrives in ({}, {"arrives": "2027-03-01"})
    )
    for log in (on_call, there):
        assert {row.unit for row in log.intervals if row.unit.startswith("Milling")} == {"Milling rig 1"}


def test_names_of_several_units() -> None:
    """Those without a name are numbered through all entries of their kind, those with one within their entry."""
    crews = [{"count": 2}, {"name": "Night crew", "count": 2, "hours": "18:00 - 06:00"}, {"name": "Joe"}, {}]
    log = prepared({"nipple_up": "4 h"}, crews, names="ABCDEF")
    assert {row.unit for row in work(log, NIPPLE_UP)} == {
        *(f"Preparation crew {number}" for number in (1, 2, 3)),
        *(f"Night crew {number}" for number in (1, 2)),
        "Joe",
    }


def test_crews_share_the_wells_in_order() -> None:
    """Two crews, five wells of 4 h: pairs at 0 and 4 h, the last at 8 h by whoever is free first."""
    log = prepared({"nipple_up": "4 h"}, {"count": 2}, names="ABCDE")
    found = [(row.start_h, row.well) for row in sorted(work(log, NIPPLE_UP), key=lambda row: (row.start_h, row.well))]
    assert found == [(0, "A"), (0, "B"), (4, "C"), (4, "D"), (8, "E")]


@pytest.mark.parametrize(
    ("hours", "stretches"),
    [
        ("around the clock", [(0, 20)]),
        ("day shift", [(6, 18), (30, 38)]),
        ("18:00 - 06:00", [(0, 6), (18, 30), (42, 44)]),
        ("22:00 - 02:00", [(0, 2), (22, 26), (46, 50), (70, 74), (94, 98), (118, 120)]),
        ("07:30 - 19:00", [(7.5, 19), (31.5, 40)]),
    ],
)
def test_long_jobs_pause_outside_hours(hours: str, stretches: list[tuple[float, float]]) -> None:
    """Twenty hours of work from midnight on, within the windows of each day, also across midnight."""
    log = prepared({"nipple_up": "20 h"}, {"hours": hours})
    assert [(row.start_h, row.end_h) for row in work(log, NIPPLE_UP)] == stretches
    waits = [row for row in rows_of(log, CREW) if row[3]]
    assert {cause for *_, cause in waits} <= {"outside hours", "on call"}


def test_windows_follow_the_time_of_day_of_the_start() -> None:
    """A scenario that begins at 15:00 finds the day shift open for three more hours."""
    log = prepared({"nipple_up": "5 h"}, {"hours": "day shift"}, start="2027-03-01 15:00")
    assert [(row.start_h, row.end_h) for row in work(log, NIPPLE_UP)] == [(0, 3), (15, 17)]


JOBS = {"nipple_up": "9 h", "pressure_test": "5 h"}
FIT = {"at_shift_end": "fit the job in"}


def stretches_of_work(log: Log) -> list[tuple[float, float, str]]:
    return [row[:3] for row in rows_of(log, CREW) if not row[3]]


def test_job_that_would_not_fit_waits_for_the_next_shift() -> None:
    """After 9 h of a 12 h shift, a test of 5 h is not begun; a crew that may pause begins it and goes on next day."""
    fits, pauses = (prepared(JOBS, {"hours": "day shift"} | manner) for manner in (FIT, {}))
    assert stretches_of_work(fits) == [(6, 15, "nipple up"), (30, 35, "pressure test")]
    assert stretches_of_work(pauses) == [
        (6, 15, "nipple up"),
        (15, 18, "pressure test"),
        (30, 32, "pressure test"),
    ]


def test_job_longer_than_any_shift_cannot_but_pause() -> None:
    """Fifteen hours fit into no day shift: the job pauses, as it would without the rule."""
    log = prepared({"nipple_up": {"lognormal": {"mean": "15 h", "cv": 0.001}}}, {"hours": "day shift"} | FIT)
    first, second = stretches_of_work(log)
    assert first == (6, 18, "nipple up")
    assert (second[0], second[2]) == (30, "nipple up")


def test_shift_that_is_too_short_is_the_cause_of_the_wait() -> None:
    """From 15 to 18 h nothing keeps the crew but the end of its shift; no weather is stated."""
    log = prepared(JOBS, {"hours": "day shift"} | FIT)
    assert {row.cause for row in log.intervals if row.unit == CREW and row.kind == "wait"} == {
        "on call",
        "outside hours",
    }


CHANGES = {"crew_change": "30 min", "first_at": "06:00", "every": "12 h"}


def test_crew_change_stops_work_but_not_a_stage() -> None:
    """Changes at 06:00 and 18:00: a pressure test of 13 h is not begun in one and pauses in the next.

    Nobody stops a stage for one: a stage of 13 h goes on through the change at 06:00.
    """
    jobs = {"nipple_up": "6 h", "pressure_test": "13 h"}
    log = prepared(jobs, {}, shifts=CHANGES, pump_min=780)
    assert rows_of(log, CREW) == [
        (0, 6, "nipple up", ""),
        (6, 6.5, "pressure test", "crew change"),
        (6.5, 18, "pressure test", ""),
        (18, 18.5, "pressure test", "crew change"),
        (18.5, 20, "pressure test", ""),
    ]
    assert [(row.start_h, row.end_h) for row in work(log, PUMP_STAGE)] == [(20, 33)]


def test_long_job_of_a_crew_around_the_clock_is_begun_in_spite_of_crew_changes() -> None:
    """Fifteen hours of work, crews around the clock that must fit their jobs in, changes every 12 h."""
    log = prepared({"nipple_up": "15 h"}, FIT, shifts=CHANGES)
    assert log.cut_short == 0
    assert sum(row.end_h - row.start_h for row in work(log, NIPPLE_UP)) == pytest.approx(15)


def test_long_job_of_a_day_shift_with_crew_changes_is_begun() -> None:
    """Eleven hours between no two changes of a day shift: the last shift of all is no longer than the others."""
    log = prepared(
        {"nipple_up": "11 h"}, {"hours": "day shift"} | FIT, shifts=CHANGES | {"every": "8 h"}, horizon="200 h"
    )
    assert log.cut_short == 0
    assert work(log, NIPPLE_UP)[-1].end_h < 48


def test_pumping_pauses_with_the_shift_of_the_fleet() -> None:
    """Stages of 8 h on a day shift: the second is pumped from 14:30 to 18:00 and from 06:00 to 10:30."""
    of = [well("A", 2, minutes(30), "8 h", toe=True)]
    stated = units(pumping_fleets=FLEET | {"hours": "day shift"}, flowback_spreads=LATE_FLOWBACK)
    log = simulate(planned(of, {"wells_in_rotation": 1}, units=stated))
    found = [(row.start_h, row.end_h, row.stage) for row in work(log, PUMP_STAGE)]
    assert found == [(6, 14, 1), (14.5, 18, 2), (30, 34.5, 2)]
