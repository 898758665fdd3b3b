"""What must hold in every log, whatever the pad: checked on random small pads with every option on and off."""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from itertools import pairwise
from math import inf, isnan

import pytest
from hypothesis import given

from analysis.measures import measure
from sim.activities import PLUG_AND_PERFORATE, PUMP_STAGE, supply_of
from sim.audit import CLOSE, violations
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from tests.sim.playing import chain, last_row, length_h, play, water_bbl, work
from tests.sim.stated_times import Stated
from tests.sim.strategies import SHORT_DAYS, sampled, stated_pads

WAITED_FOR = {"arrival", "on call", "rig release", "rig up", "rig down", "preparation", "water system", "wireline"}
WAITED_FOR |= {"pumping", "fracturing", "drill-out", "flowback", "facility", "water", "outside hours", "crew change"}
WAITED_FOR |= {"weather", "frac stack"}


@pytest.mark.slow
@sampled(200)
@given(stated_pads())
def test_log_is_sound_when_all_gets_done(stated: Stated) -> None:
    """No violation; nobody is stuck; every well comes on production with all its stages pumped (invariants 1-5)."""
    scenario = load_stated(stated)
    log = play(scenario)
    assert violations(log, scenario) == []
    assert log.cut_short == 0
    measures = measure(log)
    assert measures.pad.wells_on_production == len(scenario.wells)
    assert measures.pad.stages_pumped == sum(well.stage_count for well in scenario.wells)
    assert all(well.on_production_h < inf for well in measures.wells)


@pytest.mark.slow
@sampled(200)
@given(stated_pads(days=SHORT_DAYS))
def test_log_is_sound_when_cut_short(stated: Stated) -> None:
    """No violation; nothing goes on beyond the horizon; a well that is not on production says so, and is not lost."""
    scenario = load_stated(stated)
    log = play(scenario)
    assert violations(log, scenario) == []
    assert all(row.end_h <= scenario.horizon for row in log.intervals)
    measures = measure(log)
    assert [well.well for well in measures.wells] == [well.name for well in scenario.wells]
    done = [well for well in measures.wells if well.on_production_h < inf]
    assert len(done) == measures.pad.wells_on_production
    assert log.cut_short > 0 or len(done) == len(measures.wells)
    assert not any(isnan(value) for row in (measures.pad, *measures.wells) for value in row if isinstance(value, float))


@sampled(50)
@given(stated_pads())
def test_chain_of_the_last_row_covers_the_span_exactly(stated: Stated) -> None:
    """Walking back along `after` from the end leads to hour zero; the pieces sum to the makespan, to the bit."""
    log = play(load_stated(stated))
    rows = chain(log, last_row(log))
    assert rows[-1].start_h == 0
    assert sum(map(length_h, rows), Fraction(0)) == Fraction(max(row.end_h for row in log.intervals))


@sampled(50)
@given(stated_pads())
def test_hours_of_every_unit_add_up(stated: Stated) -> None:
    """Work, waits and troubles of a unit sum to the time from its arrival to its leaving."""
    measures = measure(play(load_stated(stated)))
    hours: dict[str, float] = defaultdict(float)
    for row in measures.units:
        hours[row.unit] += row.hours
    for visit in measures.visits:
        assert hours[visit.unit] == pytest.approx(visit.leaves_h - visit.arrives_h, abs=CLOSE), visit.unit


@sampled(50)
@given(stated_pads())
def test_water_adds_up(stated: Stated) -> None:
    """What was there and what flowed in is what was used, what is left and what was turned away (invariant 3)."""
    scenario = load_stated(stated)
    log = play(scenario)
    if scenario.water is None:
        assert log.levels == []
        return
    there = scenario.water.storage.on_hand + water_bbl(log, "inflow")
    gone = water_bbl(log, "outflow") + water_bbl(log, "turned_away")
    assert there == pytest.approx(gone + log.levels[-1].level, abs=CLOSE * scenario.water.storage.capacity)


@sampled(50)
@given(stated_pads(calm=True))
def test_every_stage_gets_its_water(stated: Stated) -> None:
    """Used is what the stages are designed for and what carried the tools down, no more and no less."""
    stated["well_defaults"]["stage_design"]["pump_down"] = "60 bbl"
    scenario = load_stated(stated)
    log = play(scenario)
    if scenario.water is not None:
        assert water_bbl(log, "outflow") == pytest.approx(wanted_bbl(scenario), rel=CLOSE)


def wanted_bbl(scenario: Scenario) -> float:
    stages = sum(sum(well.fluid_by_stage) for well in scenario.wells)
    runs = sum(well.stage_count - (well.toe.method != "none") for well in scenario.wells)
    return stages + 60 * runs


@sampled(50)
@given(stated_pads())
def test_wells_go_round_between_wireline_and_fleet(stated: Stated) -> None:
    """Each stage is perforated once its predecessor is pumped, and pumped once it is perforated (invariant 2)."""
    scenario = load_stated(stated)
    jobs: dict[str, list[tuple[float, float, int, str]]] = defaultdict(list)
    for row in play(scenario).intervals:
        if row.activity in {PLUG_AND_PERFORATE, PUMP_STAGE} and row.kind != "wait":
            jobs[row.well].append((row.start_h, row.end_h, row.stage, row.activity))
    for well in scenario.wells:
        rows = sorted(jobs[well.name])
        assert all(start_h >= end_h - CLOSE for (_, end_h, *_), (start_h, *_) in pairwise(rows))
        stages = range(1, well.stage_count + 1)
        round_trip = [(stage, activity) for stage in stages for activity in (PLUG_AND_PERFORATE, PUMP_STAGE)]
        expected = round_trip[well.toe.method != "none" :]
        assert list(dict.fromkeys((stage, activity) for *_, stage, activity in rows)) == expected


@sampled(50)
@given(stated_pads(calm=True))
def test_wells_pumped_together_share_their_hours(stated: Stated) -> None:
    """A fleet pumps as many wells at a time as the plan says and no more, from one moment to the next."""
    scenario = load_stated(stated)
    at_once: dict[tuple[str, float, float], set[str]] = defaultdict(set)
    for row in work(play(scenario), PUMP_STAGE):
        at_once[row.unit, row.start_h, row.end_h].add(row.well)
    assert max(map(len, at_once.values())) <= scenario.strategy.pumped_together
    for (fleet, _, end_h), (following, start_h, _) in pairwise(sorted(at_once)):
        assert fleet != following or start_h >= end_h


@sampled(50)
@given(stated_pads())
def test_every_wait_has_a_cause_that_can_be(stated: Stated) -> None:
    """Work needs no cause; a wait names one of the known; weather and water keep nobody where there are none."""
    log = play(load_stated(stated))
    named = {supply_of(row.cause) for row in log.intervals if row.kind == "wait"}
    assert all((row.cause == "") == (row.kind == "work") for row in log.intervals)
    assert named <= WAITED_FOR | set(stated.get("troubles", ()))  # also for troubles of others
    assert "water" not in named or "water" in stated
    assert "facility" not in named or "facility" in stated
    assert "frac stack" not in named or "frac_stacks" in stated["units"]
    assert "crew change" not in named or "shifts" in stated
    assert {row.cause for row in log.intervals if row.kind == "trouble"} <= set(stated.get("troubles", ()))
