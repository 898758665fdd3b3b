"""Pumping and wireline that need water: the three start rules, pauses, and who goes first, worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from sim.activities import PLUG_AND_PERFORATE, PUMP_STAGE
from sim.log import Log
from sim.scenario.problems import ScenarioError
from tests.pads import NOW, minutes, units, well
from tests.sim.playing import LATE_FLOWBACK, planned, play, rows_of, water_bbl, work

SEQUENTIAL = {"wells_in_rotation": 1}
FLEET = {"rig_up": NOW, "rig_down": NOW}


def pond(rate_bbl_per_h: float, rule: str = "full stage on hand", **storage: Any) -> dict:
    """A source, and storage that holds something from the start and need not be filled first."""
    return {
        "start_rule": rule,
        "sources": [{"name": "Pond", "rate": f"{rate_bbl_per_h} bbl/h"}],
        "storage": {"erect": NOW, "fill_to": 0} | storage,
    }


def two_stages(rule: str) -> Log:
    """Stages of 1000 bbl in 1 h, half an hour of wireline between them; 1000 bbl on hand, 200 bbl/h flowing in."""
    of = [well("A", 2, minutes(30), minutes(60), toe=True, fluid="1000 bbl")]
    water = pond(200, rule, capacity="1500 bbl", on_hand="1000 bbl")
    return play(planned(of, SEQUENTIAL, water=water))


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        # 300 bbl at 1.5 h; 700 bbl short of a stage, at 200 bbl/h
        ("full stage on hand", [(1.5, 5, "water: source"), (5, 6, "")]),
        # 200 bbl flow in while the stage is pumped: 500 bbl short
        ("enough to finish", [(1.5, 4, "water: source"), (4, 5, "")]),
        # 300 bbl less 800 bbl/h: empty at 1.875 h with 625 bbl to go, at 200 bbl/h until 5 h: 2.5 h lost
        ("as it comes", [(1.5, 1.875, ""), (1.875, 4.375, "water: source"), (4.375, 5, "")]),
    ],
)
def test_start_rules(rule: str, expected: list[tuple[float, float, str]]) -> None:
    """The first stage is on hand; what the second waits for, and how long it works, depends on the rule."""
    rows = [row for row in rows_of(two_stages(rule), "Fleet") if row[2] == PUMP_STAGE]
    assert [row[3] for row in rows] == ["", *(cause for *_, cause in expected)]
    assert [row[0] for row in rows] == pytest.approx([0, *(start_h for start_h, *_ in expected)])
    assert [row[1] for row in rows] == pytest.approx([1, *(end_h for _, end_h, _ in expected)])


@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish", "as it comes"])
def test_every_rule_draws_the_same_water(rule: str) -> None:
    """Two stages of 1000 bbl, and an hour of work each, whatever the waits."""
    log = two_stages(rule)
    assert water_bbl(log, "outflow") == pytest.approx(2000)
    assert sum(row.end_h - row.start_h for row in work(log, PUMP_STAGE)) == pytest.approx(2)


def by_day(rule: str) -> list[tuple[float, float, str]]:
    """A fleet on day shift, stages of 8000 bbl in 8 h; 9000 bbl on hand, 500 bbl/h flowing in. Its second stage."""
    of = [well("A", 2, minutes(30), "8 h", toe=True, fluid="8000 bbl")]
    fleet = FLEET | {"hours": "day shift"}
    stated = units(pumping_fleets=fleet, flowback_spreads=LATE_FLOWBACK)
    water = pond(500, rule, capacity="9000 bbl", on_hand="9000 bbl")
    log = play(planned(of, SEQUENTIAL, units=stated, water=water))
    assert [row[:2] for row in rows_of(log, "Fleet")[:2]] == [(0, 6), (6, 14)]
    return [(start_h, end_h, cause) for start_h, end_h, activity, cause in rows_of(log, "Fleet") if start_h >= 14.5]


def test_wait_for_water_ends_with_the_shift() -> None:
    """5250 bbl at 14:30, 8000 wanted: not there by 18:00, but in the morning."""
    assert by_day("full stage on hand") == [(14.5, 18, "water: source"), (18, 30, "outside hours"), (30, 38, "")]


def test_stage_that_pauses_draws_the_rest_in_the_morning() -> None:
    """3500 bbl are pumped by 18:00, the other 4500 from 06:00 on."""
    assert by_day("as it comes") == [(14.5, 18, ""), (18, 30, "outside hours"), (30, 34.5, "")]


def test_large_draw_does_not_hold_up_a_small_one() -> None:
    """At 1 h B's stage wants 1000 bbl of 100; A's run gets its 60 bbl at once, and B waits 36 minutes longer for it."""
    of = [well(name, 2, minutes(60), minutes(60), toe=True, fluid="1000 bbl") for name in "AB"]
    of[0]["stage_design"]["pump_down"] = "60 bbl"
    water = pond(100, capacity="1500 bbl", on_hand="1000 bbl")
    log = play(planned(of, {"swap": {"time": NOW}}, water=water))
    assert (work(log, PLUG_AND_PERFORATE)[0].start_h, work(log, PLUG_AND_PERFORATE)[0].well) == (1, "A")
    assert [row.start_h for row in work(log, PUMP_STAGE)][:2] == pytest.approx([0, 10.6])


@pytest.mark.parametrize(
    ("limit", "begins_h"), [("500 bbl/h", 7), ("900 bbl/h", 5 + 1000 / 600), (None, 2 + 1000 / 600)]
)
def test_line_limits_what_the_sources_deliver(limit: str | None, begins_h: float) -> None:
    """Line laid in 5 h, storage up in 2 h, then filled to 1000 bbl from two sources of 300 bbl/h."""
    of = [well("A", 1, minutes(60), minutes(60), toe=True, fluid="1000 bbl")]
    sources = [{"name": name, "rate": "300 bbl/h"} for name in ("Pond", "River")]
    water = {"sources": sources, "storage": {"capacity": "1500 bbl", "erect": "2 h", "fill_to": "1000 bbl"}}
    if limit is not None:
        water["transfer"] = {"limit": limit, "lay": "5 h"}
    log = play(planned(of, SEQUENTIAL, water=water))
    assert work(log, PUMP_STAGE)[0].start_h == pytest.approx(begins_h)


def test_full_storage_turns_water_away() -> None:
    """1500 bbl of room, 200 bbl/h: full at 1.5 h of the five until wireline is done; 700 bbl find no room."""
    of = [well("A", 1, "5 h", minutes(60), toe=False, fluid="1000 bbl")]
    log = play(planned(of, SEQUENTIAL, water=pond(200, capacity="1500 bbl", on_hand="1200 bbl")))
    assert work(log, PUMP_STAGE)[0].start_h == 5
    assert water_bbl(log, "turned_away") == pytest.approx(5 * 200 - 300)


def test_storage_that_holds_just_one_stage_is_enough() -> None:
    """No rounding keeps a full storage from being a full stage, however often it is filled and emptied."""
    of = [well(name, 8, minutes(47), minutes(53), toe=True, fluid="8500 bbl") for name in "ABC"]
    for rate in (137, 211, 733):
        log = play(planned(of, {"wells_in_rotation": 3}, water=pond(rate, capacity="8500 bbl")))
        assert len(work(log, PUMP_STAGE)) == 24


@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish"])
def test_waiting_draw_survives_another_that_ends_a_hair_before_the_shift(rule: str) -> None:
    """The fleet, on day shift, waits for water; runs of 444, 623 and 13 min end at 18:00 less a rounding error."""
    runs = {"A": 444, "C": 623, "D": 13}
    of = [well("B", 1, minutes(60), minutes(60), toe=True, fluid="900 bbl")]
    of += [well(name, 1, minutes(run), minutes(60), toe=False, fluid="900 bbl") for name, run in runs.items()]
    for each in of:
        each["stage_design"]["pump_down"] = "10 bbl"
    stated = units(pumping_fleets=FLEET | {"hours": "day shift"}, flowback_spreads=LATE_FLOWBACK)
    strategy = {"wells_in_rotation": 4, "swap": {"time": NOW}}
    water = pond(20, rule, capacity="1000 bbl", on_hand="100 bbl")
    log = play(planned(of, strategy, units=stated, water=water))
    assert log.cut_short == 0


def test_run_that_wants_more_than_the_storage_holds_is_refused() -> None:
    """With a full stage on hand as the rule, a run of 150 bbl never starts beside storage of 120."""
    of = [well("A", 2, minutes(60), minutes(60), toe=True, fluid="100 bbl")]
    of[0]["stage_design"]["pump_down"] = "150 bbl"
    with pytest.raises(ScenarioError, match="capacity"):
        planned(of, SEQUENTIAL, water=pond(50, capacity="120 bbl"))


def enough(capacity: str, pump: Any = "1 h", rate: float = 200) -> Log:
    """A stage of 1000 bbl that starts once there will be enough to finish it."""
    of = [well("A", 1, minutes(30), pump, toe=True, fluid="1000 bbl")]
    return play(planned(of, SEQUENTIAL, water=pond(rate, "enough to finish", capacity=capacity)))


def test_storage_that_holds_just_enough_to_finish_is_enough() -> None:
    """200 bbl flow in during the hour of a stage of 1000 bbl: 800 bbl of storage will do, and fill in four hours."""
    assert work(enough("800 bbl"), PUMP_STAGE)[0].start_h == pytest.approx(4)


@pytest.mark.parametrize("pump", ["1 h", {"triangular": ["10 min", "20 min", "1 h"]}, {"by_stage": ["1 h"]}])
def test_stage_that_there_is_never_enough_to_finish_is_refused(pump: Any) -> None:
    """Of 1000 bbl no more than 200 flow in meanwhile, and 790 is all that the storage holds."""
    expected = r"capacity: too little for stage 1 of A, which takes 1,000 bbl, of which at most 200 flow in meanwhile; "
    with pytest.raises(ScenarioError, match=expected + "expected at least 800 bbl, or start_rule 'as it comes'"):
        enough("790 bbl", pump)


def test_pumping_of_any_length_may_have_enough_some_day() -> None:
    """A duration without a bound now and then is long enough, so nothing is refused beforehand."""
    of = [well("A", 1, minutes(30), {"exponential": "1 h"}, toe=True, fluid="1000 bbl")]
    assert planned(of, SEQUENTIAL, water=pond(200, "enough to finish", capacity="100 bbl")).water is not None


def test_runs_of_any_length_need_no_inflow_where_all_is_on_hand() -> None:
    """Nothing flows in, however long a run may last: no more than the storage holds is needed."""
    of = [well("A", 2, {"exponential": "1 h"}, minutes(60), toe=True, fluid="100 bbl")]
    of[0]["stage_design"]["pump_down"] = "100 bbl"
    play(planned(of, SEQUENTIAL, water=pond(0, "enough to finish", capacity="400 bbl", on_hand="300 bbl")))


def test_times_from_the_design_count_at_their_longest() -> None:
    """1000 bbl at 10 bbl/min are 100 min, times 1.5 at most, plus 30 min: 3 h, in which 600 bbl flow in."""
    pump = {"from_design": {"factor": {"uniform": [1, 1.5]}, "plus": {"uniform": ["0 h", "30 min"]}}}
    of = [well("A", 1, minutes(30), pump, toe=True, fluid="1000 bbl")]
    of[0]["stage_design"]["rate"] = "10 bbl/min"
    assert planned(of, SEQUENTIAL, water=pond(200, "enough to finish", capacity="401 bbl")).water is not None
    with pytest.raises(ScenarioError, match="at most 600 flow in meanwhile; expected at least 400 bbl"):
        planned(of, SEQUENTIAL, water=pond(200, "enough to finish", capacity="399 bbl"))


def test_run_that_there_is_never_enough_to_finish_is_refused() -> None:
    """150 bbl in an hour, of which 20 flow in: not beside storage of 120 bbl, but beside 130."""
    of = [well("A", 2, minutes(60), minutes(60), toe=True, fluid="100 bbl")]
    of[0]["stage_design"]["pump_down"] = "150 bbl"
    play(planned(of, SEQUENTIAL, water=pond(20, "enough to finish", capacity="130 bbl")))
    with pytest.raises(ScenarioError, match=r"too little for the wireline run to stage 2 of A.* at least 130 bbl"):
        planned(of, SEQUENTIAL, water=pond(20, "enough to finish", capacity="120 bbl"))


def test_water_on_hand_must_do_for_the_runs_too() -> None:
    """Nothing flows in: 300 bbl for two stages of 100 and a run of 100 are enough, 299 are not."""
    of = [well("A", 2, minutes(60), minutes(60), toe=True, fluid="100 bbl")]
    of[0]["stage_design"]["pump_down"] = "100 bbl"
    play(planned(of, SEQUENTIAL, water=pond(0, capacity="400 bbl", on_hand="300 bbl")))
    with pytest.raises(ScenarioError, match="299 bbl on hand are less than the 300 bbl for all stages, wireline"):
        planned(of, SEQUENTIAL, water=pond(0, capacity="400 bbl", on_hand="299 bbl"))


def test_pressure_that_cannot_be_comes_before_water_that_is_not_there() -> None:
    """Without a rate that can be held nobody can say how long a stage takes: only the pressure is refused."""
    of = [well("A", 1, minutes(30), minutes(60), toe=True, fluid="1000 bbl")]
    of[0]["stage_design"].pop("pump_time")
    of[0]["pressure"] = {"true_vertical_depth": "19000 ft"}
    with pytest.raises(ScenarioError) as refused:
        planned(of, SEQUENTIAL, water=pond(1, "enough to finish", capacity="100 bbl"))
    assert [problem.where for problem in refused.value.problems] == ["wells.A.pressure.true_vertical_depth"]
