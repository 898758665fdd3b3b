"""Looking back: plan against field on small cases worked out by hand, and forecasts that are right by construction."""

from __future__ import annotations

from functools import cache
from math import inf
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from analysis.field.lookback import Lookback, look_back
from analysis.field.lookback_answer import answer
from analysis.field.milestones import on_forecast, place_of
from analysis.field.played import play
from analysis.field.reading import FieldLog, read_log, up_to
from analysis.figures.reliability import CHANCES
from analysis.statistics import quantile
from sim.pad import simulate
from tests.fielddata.logs import read, small_pad, written

REPLICATIONS = 60


@cache
def field(replication: int, seed: int = 9) -> FieldLog:
    """A log that is one more replication of the very plan."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "log.csv"
        file.write_text(written(small_pad(), simulate(small_pad(), replication, seed)), encoding="utf-8")
        return read_log(file, small_pad(), strict=True)


@cache
def looked_back(replication: int = 0) -> Lookback:
    log = field(replication)
    return look_back(log, small_pad(), play(small_pad(), REPLICATIONS, 1, 1, log.until_h))


def test_place_of_a_date_by_hand() -> None:
    """One earlier and two at the same moment, of four: (1 + 2 / 2 + 1 / 2) / 5; before all 0.1, after all 0.9."""
    forecast_h = np.array([1.0, 2.0, 2.0, 3.0])
    assert [place_of(hour, forecast_h) for hour in (2.0, 0.0, 4.0)] == pytest.approx([0.5, 0.1, 0.9])


def test_places_of_right_forecasts_are_uniform() -> None:
    """200 dates and their forecasts of 99 from one distribution: Kolmogorov's test (Dawid 1984)."""
    rng = np.random.default_rng(3)
    places = [place_of(rng.gamma(3), rng.gamma(3, size=99)) for _ in range(200)]
    assert stats.kstest(places, "uniform").pvalue > 0.01
    early = [place_of(1.4 * rng.gamma(3), rng.gamma(3, size=99)) for _ in range(200)]
    assert stats.kstest(early, "uniform").pvalue < 0.001


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.lists(st.integers(0, 9), min_size=1, max_size=30), st.integers(0, 9), st.integers(0, 9))
def test_dates_are_past_and_met_as_their_quantiles_are(forecast: list[int], actual: int, until: int) -> None:
    """By the quantiles themselves, at each chance, ties and all."""
    forecast_h = np.array(forecast, dtype=float)
    found = on_forecast(("", ""), float(actual), forecast_h, float(until))
    for chance in CHANCES[:-1]:
        date_h = quantile(forecast_h, chance)
        assert found.is_due(chance) == (date_h <= until)
        assert found.is_met(chance) == (actual <= date_h)


def test_right_forecasts_are_not_called_safe_for_what_is_still_to_come() -> None:
    """1200 dates drawn as their forecasts of 99 are, looked back on early: nine in ten of those past their P90
    by the exact test, and of those reached nearly all."""
    rng = np.random.default_rng(5)
    scale, until_h = rng.uniform(0.2, 3.0, 1200), 3.0
    drawn = [(size * rng.gamma(3), size * rng.gamma(3, size=99)) for size in scale]
    found = [on_forecast(("", ""), hours if hours <= until_h else inf, law, until_h) for hours, law in drawn]
    due, reached = [each for each in found if each.is_due(0.9)], [each for each in found if each.reached]
    by_p90 = [sum(each.is_met(0.9) for each in some) for some in (due, reached)]
    assert len(due) < len(reached)
    assert stats.binomtest(by_p90[0], len(due), 0.9).pvalue > 0.01
    assert stats.binomtest(by_p90[1], len(reached), 0.9).pvalue < 0.01


def test_a_log_of_the_plan_itself_lies_where_it_is_forecast() -> None:
    """One milestone of each of many logs, so that they are independent: 80 % from P10 to P90, by the exact test."""
    plays = play(small_pad(), 60, 1, 1, 1e9)
    inside = []
    for replication in range(12):
        found = look_back(field(replication), small_pad(), plays)
        last = next(
            each for each in found.milestones if (each.well, each.milestone) == ("Curlew 2", "fracturing_end_h")
        )
        inside.append(last.inside)
    test = stats.binomtest(sum(inside), len(inside), 0.8)
    assert test.pvalue > 0.01


def test_all_milestones_are_reached_and_counted() -> None:
    found = looked_back()
    assert (len(found.milestones), found.still_to_come) == (12, 0)
    assert found.untold == ()
    dates = [each.actual_h for each in found.milestones]
    assert dates == sorted(dates)


def test_hours_by_activity_are_those_of_the_log() -> None:
    """Added up here from the rows themselves."""
    rows = field(0).rows
    work = rows[(rows["cause"] == "") & (rows["activity"] != "stand by")]
    hours = (work["end_h"] - work["start_h"]).groupby(work["activity"]).sum()
    found = {each.name: each.actual_h for each in looked_back().activities}
    assert found == pytest.approx(hours.to_dict())


def test_hours_by_unit_and_cause_are_those_of_the_log() -> None:
    rows = field(0).rows
    manned = rows[rows["unit"] != ""]
    hours = manned["end_h"] - manned["start_h"]
    worked = hours[manned["cause"] == ""].groupby(manned["unit"]).sum()
    lost = hours[manned["cause"] != ""].groupby(manned["cause"]).sum()
    found = looked_back()
    assert {each.name: each.actual_h for each in found.units} == pytest.approx(worked.to_dict())
    assert {each.name: each.actual_h for each in found.causes if each.actual_h} == pytest.approx(lost.to_dict())


def test_of_unfinished_work_only_what_is_done_is_compared(tmp_path: Path) -> None:
    """Nipple up is done in 10 h where the plan has about 8.7 h; the pressure test goes on and is left aside."""
    rows = [
        "2027-03-01 06:00,2027-03-01 16:00,Preparation crew,nipple up,Curlew 1,,,",
        "2027-03-01 16:00,,Preparation crew,pressure test,Curlew 1,,,",
    ]
    log = read(tmp_path, *rows)
    found = look_back(log, small_pad(), play(small_pad(), REPLICATIONS, 1, 1, log.until_h))
    assert [(each.name, each.n, each.actual_h) for each in found.activities] == [("nipple up", 1, 10.0)]
    assert found.activities[0].plan_h == pytest.approx(26 / 3, abs=4 * 1.25 / np.sqrt(REPLICATIONS))
    assert found.milestones == ()
    assert found.coverage.share is None
    assert found.units[0].plan_h <= 10
    assert found.still_to_come == 12


def test_a_milestone_on_a_row_that_was_left_out_is_not_told(tmp_path: Path) -> None:
    """A trip out that ends before it starts is left out: when its well was drilled out is not known."""
    rows = written(small_pad(), simulate(small_pad(), 0, 9)).splitlines()[1:]
    place = next(n for n, row in enumerate(rows) if ",trip out,Curlew 1," in row)
    assert "drilled_out_h" in {each.milestone for each in looked_back().milestones if each.well == "Curlew 1"}
    start, _, rest = rows[place].split(",", 2)
    rows[place] = f"{start},2027-03-01 00:00,{rest}"
    log = read(tmp_path, *rows)
    found = look_back(log, small_pad(), play(small_pad(), 5, 1, 1, log.until_h))
    assert "drilled_out_h" not in {each.milestone for each in found.milestones if each.well == "Curlew 1"}
    assert found.still_to_come == 1


def rows_without(*activities: str) -> list[str]:
    """The log of the plan itself, but for what is done of these at Curlew 1."""
    rows = written(small_pad(), simulate(small_pad(), 0, 9)).splitlines()[1:]
    return [row for row in rows if not any(f",{activity},Curlew 1," in row for activity in activities)]


def looked_back_on(log: FieldLog) -> Lookback:
    return look_back(log, small_pad(), play(small_pad(), REPLICATIONS, 1, 1, log.until_h))


def test_a_well_that_is_weeks_late_is_a_miss(tmp_path: Path) -> None:
    """Curlew 1 still flows back when the log ends, long past its P90: of twelve dates one is not met."""
    whole = looked_back_on(read(tmp_path, *rows_without(), "2027-05-20 06:00,2027-05-20 07:00,Fleet A,stand by,,,,"))
    rows = rows_without("flow back", "turn in line")
    start = next(row for row in rows_without() if ",flow back,Curlew 1," in row).split(",")
    spread = start[2]
    rows = [row for row in rows if f",{spread}," not in row or row < start[0]]
    log = read(
        tmp_path,
        *(row for row in rows if not (f",{spread},flow back," in row or f",{spread},turn in line," in row)),
        f"{start[0]},,{spread},flow back,Curlew 1,,,",
        "2027-05-20 06:00,2027-05-20 07:00,Fleet A,stand by,,,,",
    )
    found = looked_back_on(log)
    late = next(each for each in found.milestones if (each.well, each.milestone) == ("Curlew 1", "on_production_h"))
    assert not late.reached
    assert late.outside
    assert late.place > 0.95
    assert whole.done_by(0.9).n == 12
    assert found.done_by(0.9).n == 12
    missing = sum(not each.reached for each in found.milestones)
    assert found.done_by(0.9).hits <= 12 - missing
    assert "Not reached although the P90 is past: " in " ".join(answer(found, small_pad()))
    assert "Curlew 1, on production" in " ".join(answer(found, small_pad()))


@pytest.mark.parametrize("share", [0.3, 0.6, 0.9])
def test_at_each_moment_what_is_past_is_counted(share: float) -> None:
    """Milestones whose P10, P50, P90 are past, and what was reached by them, counted here from the dates."""
    log = up_to(field(0), share * field(0).until_h)
    plays, whole = play(small_pad(), REPLICATIONS, 1, 1, log.until_h), looked_back()
    found = look_back(log, small_pad(), plays)
    untold = {(each.well, each.milestone) for each in found.untold}
    for chance in (0.1, 0.5, 0.9):
        dates = {key: quantile(hours, chance) for key, hours in plays.milestones.items() if key not in untold}
        reached_h = {(each.well, each.milestone): each.actual_h for each in whole.milestones}
        due = [key for key, date_h in dates.items() if date_h <= log.until_h]
        met = [key for key in due if reached_h[key] <= dates[key]]
        assert (found.done_by(chance).hits, found.done_by(chance).n) == (len(met), len(due))


def test_a_log_of_the_fleet_alone_tells_of_its_milestones_alone(tmp_path: Path) -> None:
    """Neither early nor late: of who prepares, mills and flows back there is no row."""
    rows = [row for row in rows_without() if ",Fleet A," in row]
    found = looked_back_on(read(tmp_path, *rows, "2027-05-20 06:00,2027-05-20 07:00,Fleet A,stand by,,,,"))
    assert {each.milestone for each in found.milestones} == {"fracturing_start_h", "fracturing_end_h"}
    assert found.done_by(0.9).n == 4
    assert len(found.untold) == found.still_to_come == 8
    assert "The log does not tell of these, whose P90 is past; they are not counted: Curlew 1, prepared" in " ".join(
        answer(found, small_pad())
    )


def test_what_later_work_shows_to_be_reached_is_no_miss(tmp_path: Path) -> None:
    """No row of the trip out of Curlew 1, but its flowback: when it was drilled out is not told."""
    found = looked_back_on(read(tmp_path, *rows_without("trip out")))
    assert [(each.well, each.milestone) for each in found.untold] == [("Curlew 1", "drilled_out_h")]
    assert "drilled_out_h" not in {each.milestone for each in found.milestones if each.well == "Curlew 1"}


def test_without_a_turn_in_line_the_row_of_flow_back_decides_when_a_well_is_on_production(tmp_path: Path) -> None:
    """So where that row was left out, the log does not tell of it."""
    rows = written(small_pad(), simulate(small_pad(), 0, 9)).splitlines()[1:]
    rows = [row for row in rows if ",turn in line,Curlew 1," not in row]
    places = [n for n, row in enumerate(rows) if ",flow back,Curlew 1," in row]
    start, _, rest = rows[places[-1]].split(",", 2)
    assert "on_production_h" in of_one(read(tmp_path, *rows))
    rows.insert(places[-1] + 1, f"{start},2027-03-01 00:00,{rest}")
    assert not {"flowback_start_h", "on_production_h"} & of_one(read(tmp_path, *rows))


def of_one(log: FieldLog) -> set[str]:
    """Milestones of the first well that are told."""
    found = look_back(log, small_pad(), play(small_pad(), 5, 1, 1, log.until_h))
    return {each.milestone for each in found.milestones if each.well == "Curlew 1"}
