"""What the horizon cuts short: rows end there, what was not reached is at infinity, and nothing gets lost."""

from __future__ import annotations

from math import inf, isnan
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from analysis.measures import measure
from sim.audit import violations
from sim.pad import simulate
from sim.scenario.loading import load_stated
from sim.scenario.scenario import Scenario
from tests.pads import NOW, minutes, units, well
from tests.sim.playing import LATE_FLOWBACK, planned, play, rows_of
from tests.sim.stated_times import Stated
from tests.sim.strategies import sampled, stated_pads

SEQUENTIAL = {"wells_in_rotation": 1}
DAY_SHIFT = {"hours": "day shift"}
FLEET = {"rig_up": NOW, "rig_down": NOW}


def one_well(horizon: str, *, pump: str = "8 h", **more: Any) -> Scenario:
    """A well of two stages: pumped, an hour of wireline, pumped again; then an hour of milling and one of turn in."""
    stated = well("A", 2, minutes(60), pump, toe=True, fluid="100 bbl", **more.pop("of_the_well", {}))
    return planned([stated], SEQUENTIAL, horizon=horizon, **more)


def test_job_under_way_ends_at_the_horizon() -> None:
    """The second stage is pumped from 9 h on: its row ends at the horizon, and the stage counts as not pumped."""
    scenario = one_well("12 h")
    log = simulate(scenario)
    assert rows_of(log, "Fleet")[-1] == (9, 12, "pump stage", "")
    assert violations(log, scenario) == []
    measures = measure(log)
    assert (measures.pad.stages_pumped, measures.pad.pumping_h) == (1, 11)
    assert (measures.wells[0].fracturing_start_h, measures.wells[0].fracturing_end_h) == (0, inf)
    assert log.cut_short == 1  # nobody has called the rig and the spread yet, and wireline has gone home


def test_waits_end_at_the_horizon_too() -> None:
    """Too little water for the second stage: the fleet's wait lasts to the horizon, and names its cause."""
    source = {"name": "Creek", "rate": "1 bbl/h"}
    water = {"sources": [source], "storage": {"capacity": "150 bbl", "erect": NOW, "on_hand": "150 bbl"}}
    log = simulate(one_well("30 h", water=water))
    assert rows_of(log, "Fleet")[-1] == (9, 30, "pump stage", "water: source")
    assert log.cut_short == 1


def test_what_ends_with_the_horizon_is_not_reached() -> None:
    """On production at hour 18 and a few minutes: not yet at that hour, but an instant later."""
    whole = simulate(one_well("100 h"))
    end_h = measure(whole).wells[0].on_production_h
    assert 18 < end_h < 19
    at_the_end, after = (simulate(one_well(f"{hours!r} h")) for hours in (end_h, end_h + 1e-6))
    assert measure(at_the_end).wells[0].on_production_h == inf
    assert measure(after).wells[0].on_production_h == end_h
    assert (at_the_end.cut_short, after.cut_short, whole.cut_short) == (1, 0, 0)


@pytest.mark.parametrize("water", [None, {"sources": [{"name": "Pond", "rate": "1 bbl/h"}]}])
def test_stage_that_pauses_at_the_horizon_is_not_pumped(water: Stated | None) -> None:
    """A fleet on day shift stops at 18:00 in the middle of a stage; the horizon comes in the night."""
    storage = {"storage": {"capacity": "300 bbl", "on_hand": "300 bbl", "erect": NOW}}
    more = {"water": water | storage} if water else {}
    log = simulate(one_well("20 h", units=units(pumping_fleets=FLEET | DAY_SHIFT), **more))
    assert rows_of(log, "Fleet")[-2:] == [(15, 18, "pump stage", ""), (18, 20, "pump stage", "outside hours")]
    measures = measure(log)
    assert (measures.pad.stages_pumped, measures.pad.fracturing_end_h) == (1, inf)


def test_nothing_reached_is_all_infinity_and_no_rates() -> None:
    """A pad of which nothing happens before the horizon: no zero dates, no NaN, nothing dropped."""
    measures = measure(simulate(one_well("2 h", of_the_well={"preparation": {"nipple_up": "5 h", "pressure_test": 0}})))
    assert measures.wells[0][2:] == (inf,) * 6
    pad = measures.pad
    assert (pad.first_production_h, pad.all_on_production_h, pad.fracturing_start_h) == (inf, inf, inf)
    assert (pad.wells_on_production, pad.stages_pumped, pad.pumping_h) == (0, 0, 0)
    assert (pad.stages_per_day, pad.pumping_h_per_day) == (0, 0)


@pytest.mark.slow
@sampled(100)
@given(stated_pads(), st.integers(1, 60))
def test_shorter_horizon_changes_no_date_before_it(stated: Stated, days: int) -> None:
    """Milestones up to the horizon are those of a run without end; all others are at infinity, none is missing.

    But for the first, of which a log cannot always tell: it is right, or missing.
    """
    assume(all_begin_by(stated, days))
    whole = load_stated(stated)
    scenario = whole.model_copy(update={"horizon": 24.0 * days})
    found, expected = measure(play(scenario)).wells, measure(play(whole)).wells
    assert len(found) == len(expected)
    for cut, uncut in zip(found, expected, strict=True):
        milestones = [at_h if at_h < scenario.horizon else inf for at_h in uncut[3:]]
        assert cut[3:] == pytest.approx(milestones, abs=1e-6), cut.well
        assert cut.prepared_h == inf or cut.prepared_h == pytest.approx(uncut.prepared_h, abs=1e-6), cut.well
        assert not any(map(isnan, cut[2:]))


def all_begin_by(stated: Stated, days: int) -> bool:
    """Whether every date of a pad is before a horizon of so many days, which a scenario must not contradict."""
    scenario = load_stated(stated)
    units_of = [unit for entries in scenario.units.kinds.values() for unit in entries]
    dates = [each.arrives for each in units_of] + [each.rig_release for each in scenario.wells]
    return all(date is None or scenario.hours_at(date) < 24 * days for date in dates)


def test_well_between_two_jobs_is_not_prepared() -> None:
    """B, first in order, is released while the crew nipples up A: A's pressure test comes later, after the horizon."""
    preparation = {"nipple_up": "4 h", "pressure_test": "4 h"}
    of = [well(name, 1, minutes(30), minutes(60), toe=True, preparation=preparation) for name in "BA"]
    of[0]["rig_release"] = "2027-03-01 02:00"
    log = simulate(planned(of, SEQUENTIAL, horizon="10 h"))
    assert rows_of(log, "Preparation crew")[0][:3] == (0, 4, "nipple up")
    assert [each.prepared_h for each in measure(log).wells] == [inf, inf]


def test_well_prepared_before_the_horizon_has_its_date_though_nobody_came() -> None:
    """Nipple up, pressure test and toe take 9 h; the fleet is still rigging up at the horizon."""
    preparation = {"nipple_up": "4 h", "pressure_test": "4 h"}
    stated = well("A", 1, minutes(60), "8 h", toe=True, preparation=preparation)
    stated["toe"]["time"] = "1 h"
    fleet = FLEET | {"arrives": "2027-03-01 19:00", "rig_up": "5 h"}
    measures = measure(simulate(planned([stated], SEQUENTIAL, horizon="20 h", units=units(pumping_fleets=fleet))))
    assert (measures.wells[0].prepared_h, measures.wells[0].fracturing_start_h) == (9, inf)


def test_job_that_outlasts_the_last_shift_is_cut_short() -> None:
    """Two hundred hours of flowback on day shift, and a horizon of three days: cut short, like any other job."""
    flowback = LATE_FLOWBACK | DAY_SHIFT | {"duration": "200 h"}
    scenario = one_well("3 day", pump="1 h", units=units(flowback_spreads=flowback))
    log = simulate(scenario)
    assert log.cut_short == 1
    assert violations(log, scenario) == []


@pytest.mark.parametrize(
    "waits",
    [
        pytest.param({"rig_release": "2027-03-02"}, id="for its rig release"),
        pytest.param({"injection_test": {"set_up": "1 h", "watch": "100 h"}}, id="for its pressure to fall"),
    ],
)
def test_pad_on_which_nobody_is_yet_is_cut_short_too(waits: Stated) -> None:
    """A log without a single stage is no complete one, and the audit does not take it for one that lost stages."""
    scenario = one_well("1 day", of_the_well=waits)
    log = simulate(scenario)
    assert violations(log, scenario) == []
    assert log.cut_short > 0


def under_way(**water: Any) -> Scenario:
    """Water that is not set up when the horizon comes."""
    storage = {"capacity": "100 bbl", "erect": "3 h"}
    return one_well("1 day", water={"sources": [{"name": "Creek", "rate": "10 bbl/h"}], "storage": storage} | water)


def test_line_that_is_being_laid_is_cut_short() -> None:
    """Laying the water line takes two days; up to the horizon that is a day of work."""
    log = simulate(under_way(transfer={"limit": "10 bbl/h", "lay": "48 h"}))
    assert rows_of(log, "Water line") == [(0, 24, "lay water line", "")]


def test_storage_that_waits_for_the_line_says_so() -> None:
    """The storage is up after three hours, and waits for the line to the horizon."""
    log = simulate(under_way(transfer={"limit": "10 bbl/h", "lay": "48 h"}))
    assert rows_of(log, "Water storage")[-1] == (3, 24, "stand by", "water system")


def test_pumping_that_is_slowed_has_waited_for_water_by_the_horizon() -> None:
    """100 bbl on hand, a stage of 1000 bbl in 1 h, 10 bbl/h flowing in: 310 bbl by 21 h, 0.31 h of work."""
    stated = well("A", 1, minutes(60), "1 h", toe=True, fluid="1000 bbl")
    storage = {"capacity": "100 bbl", "erect": NOW, "on_hand": "100 bbl"}
    water = {"start_rule": "as it comes", "sources": [{"name": "Creek", "rate": "10 bbl/h"}], "storage": storage}
    measures = measure(simulate(planned([stated], SEQUENTIAL, horizon="21 h", water=water)))
    assert measures.pad.pumping_h == pytest.approx(0.31)
