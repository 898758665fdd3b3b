"""A simulated log split at any moment and played on: what must hold, on random small pads with every option on and off.

The theory is that of SimPy's own clock: a state from which everything follows may be taken over at any moment.
"""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.measures import measure
from sim.activities import PLUG_AND_PERFORATE, PUMP_STAGE
from sim.audit import CLOSE, violations
from sim.log import Log
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.standing import NOTHING_YET, standing_of
from tests.sim.playing import play
from tests.sim.stated_times import Stated
from tests.sim.strategies import sampled, stated_pads

SHARES = st.floats(0.001, 0.999)
ROOM_H = 0.05  # a well is turned in line to 0.01 h of the moment at which there is room for it


def ends_h(log: Log) -> float:
    return max(row.end_h for row in log.intervals)


@sampled(15)
@given(stated_pads())
def test_nothing_done_yet_is_the_forecast_to_the_bit(stated: Stated) -> None:
    """An update at hour zero, with an empty log, changes nothing."""
    scenario = load_stated(stated)
    log = play(scenario, 3, seed=7)
    for since in (NOTHING_YET, standing_of(log, 0.0)):
        again = simulate(scenario, 3, 7, since)
        assert repr(again.intervals) == repr(log.intervals)
        assert repr(again.levels) == repr(log.levels)


@sampled(15)
@given(stated_pads())
def test_all_done_is_what_happened(stated: Stated) -> None:
    """An update after the last event returns the actual dates; nothing is added."""
    scenario = load_stated(stated)
    log = play(scenario)
    again = simulate(scenario, 5, 9, standing_of(log, ends_h(log) + 1.0))
    assert again.intervals == log.intervals
    assert again.cut_short == 0


@pytest.mark.slow
@sampled(80)
@given(stated_pads(), SHARES, st.integers(0, 3))
def test_played_on_is_sound(stated: Stated, share: float, replication: int) -> None:
    """Whatever luck follows: no violation, no stage lost or repeated, every well on production, the past untouched."""
    scenario = load_stated(stated)
    log = play(scenario)
    at_h = share * ends_h(log)
    on = simulate(scenario, replication, 0, standing_of(log, at_h))
    assert violations(on, scenario) == []
    assert all(well.on_production_h < inf for well in measure(on).wells)
    assert [row for row in on.intervals if row.end_h < at_h] == [
        row._replace(after=after) for row, after in _ended(log, on, at_h)
    ]


def _ended(log: Log, on: Log, at_h: float) -> list[tuple]:
    """Rows that ended by a moment, each with the `after` that it has in the other log."""
    rows = [row for row in log.intervals if row.end_h < at_h]
    others = [row.after for row in on.intervals if row.end_h < at_h]
    return list(zip(rows, others, strict=True))


@pytest.mark.slow
@sampled(80)
@given(stated_pads(certain=True), SHARES)
def test_certain_pad_ends_when_it_did(stated: Stated, share: float) -> None:
    """Where nothing is uncertain, every well comes on production exactly when it did, wherever the log is split."""
    if "water" in stated:  # how far a stock that has run dry has slowed a stage cannot be read from rows
        stated["water"]["start_rule"] = "full stage on hand"
    scenario = load_stated(stated)
    log = play(scenario)
    on = simulate(scenario, 0, 0, standing_of(log, share * ends_h(log)))
    within_h = ROOM_H if "facility" in stated else CLOSE
    for before, after in zip(measure(log).wells, measure(on).wells, strict=True):
        assert after.on_production_h == pytest.approx(before.on_production_h, abs=within_h), before.well


@sampled(40)
@given(stated_pads(calm=True), SHARES)
def test_stages_to_come_meet_the_luck_that_they_would_have_met(stated: Stated, share: float) -> None:
    """Hours of every stage that has not begun are those of the forecast it is split from."""
    for kind in ("pumping_fleets", "wireline_units"):  # all alike, without learning: the hours are those of the stage
        stated["units"][kind] = [{"rig_up": "3 h"}]
    stated["strategy"]["pumped_together"] = 1
    stated.pop("water", None)
    stated.pop("shifts", None)
    scenario = load_stated(stated)
    log = play(scenario)
    at_h = share * ends_h(log)
    on = simulate(scenario, 0, 0, standing_of(log, at_h))
    before, after = _hours(log, at_h), _hours(on, at_h)
    assert after == pytest.approx(before, abs=CLOSE)


def _hours(log: Log, since_h: float) -> dict[tuple, float]:
    """Hours worked on each stage begun since a moment."""
    found: dict[tuple, float] = {}
    for row in log.intervals:
        if row.activity in {PUMP_STAGE, PLUG_AND_PERFORATE} and row.kind == "work":
            what = (row.activity, row.well, row.stage)
            found[what] = found.get(what, 0.0) + row.end_h - row.start_h
    begun = {(row.activity, row.well, row.stage) for row in log.intervals if row.start_h < since_h}
    return {what: hours for what, hours in found.items() if what not in begun}
