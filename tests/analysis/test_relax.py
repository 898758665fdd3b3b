"""What lifting limits buys: worked out by hand, exactly nothing where a limit never binds, and pairs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.comparing.pairs import chance, quantile_between
from analysis.goals import ALL_ON_PRODUCTION, goal_of
from analysis.measures import well_rows
from analysis.relaxing.multiple_tests import paired_p_value
from analysis.relaxing.relax import AS_STATED, Measure, Played, days_to, unreached
from analysis.relaxing.relax_answer import gained_text, relax_answer
from analysis.relaxing.relaxed_plans import lifted, limits_asked, plans_of
from analysis.relaxing.relaxed_plays import play_with
from analysis.relaxing.savings import Saving, Savings, pair_name, pair_of, ranked, savings_of, worth_pairing
from analysis.statistics import mean_interval
from sim.log import Log
from sim.pad import simulate
from sim.replications import chunks_of
from sim.scenario import Scenario, load, read

SCENARIOS = Path(__file__).parents[2] / "scenarios"
BY_HAND, EXAMPLE = SCENARIOS / "one_well_by_hand.yaml", SCENARIOS / "six_well_pad.yaml"
HAND_H = {
    "pumping fleet a day earlier": 8.0,  # ready at hour 12, but the well and the water only at 28, not at 36
    "water without limit": 0.4 + 1.35 + 1.45,  # all the waits for water
    "twice the storage": 0.4 + 1.35 + 1.45,  # 24000 bbl by hour 36 are enough for all stages
    "stages start as their water comes": 2.0,  # stages 3 and 4 need not wait, stage 5 takes 1.2 h longer
}


def fleet_hours(log: Log) -> float:
    """Hours that the fleets are on location: what a price might stand on."""
    return sum(row.end_h - row.start_h for row in log.intervals if row.unit == "Fleet" and row.activity != "arrive")


def play_limits(file: Path, n: int, measures: Sequence[Measure] = (), also: Sequence[str] = ()) -> Played:
    scenario, document = load(file), read(file)
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    plans, _ = plans_of(document, limits_asked(scenario, document, also), len(also))
    played = Played((days_to(goal), unreached(goal), *measures))
    play_with(played, scenario, {AS_STATED: scenario, **plans}, chunks_of(n))
    return played


def days(scenario: Scenario) -> str:
    return days_to(goal_of(scenario, ALL_ON_PRODUCTION)).name


@pytest.fixture(scope="module")
def by_hand() -> Played:
    return play_limits(BY_HAND, 2, [Measure("fleet hours", fleet_hours)], ["water.storage.capacity=12 kbbl"])


def test_gains_on_the_well_worked_out_by_hand(by_hand: Played) -> None:
    """Four limits bind, each by known hours; all others, and a change that changes nothing, gain exactly nothing."""
    scenario = load(BY_HAND)
    for plan in by_hand.chunks:
        gained = by_hand.gains(plan, days(scenario))
        if plan in HAND_H:
            assert gained * 24 == pytest.approx([HAND_H[plan]] * 2), plan
        else:
            assert not gained.any(), plan
    assert set(HAND_H) < set(by_hand.chunks)


def test_another_measure_stands_beside_the_days(by_hand: Played) -> None:
    """Days gained and fleet hours gained are of the same replications, so one can be had in terms of the other."""
    water = by_hand.gains("water without limit", "fleet hours")
    assert water == pytest.approx([0.4 + 1.35 + 1.45] * 2)
    earlier = by_hand.gains("pumping fleet a day earlier", "fleet hours")
    assert earlier == pytest.approx([-16] * 2)  # 24 hours more on location, 8 of them saved at the end


def test_limits_that_never_bind_gain_exactly_nothing_under_common_luck() -> None:
    """On the uncertain example: whatever nobody waits for changes no replication, to the bit."""
    scenario, document = load(EXAMPLE), read(EXAMPLE)
    idle = {"twice the storage", "no injection test", "one more preparation crew", "water without limit"}
    idle |= {"pumping fleets without a limit of rate", "no failed pressure test", "every rig release a day earlier"}
    plans, _ = plans_of(document, [each for each in limits_asked(scenario, document, ()) if each.name in idle], 0)
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    played = Played((days_to(goal), unreached(goal)))
    play_with(played, scenario, {AS_STATED: scenario, **plans}, chunks_of(2))
    assert len(plans) == len(idle)
    for plan in plans:
        assert not played.gains(plan, days(scenario)).any(), plan
    found = ranked(played, goal_of(scenario, ALL_ON_PRODUCTION), list(plans))
    assert all(saving.never_binds and not saving.is_sure for saving in found)


def test_what_the_horizon_cuts_short_has_bounds_and_no_mean() -> None:
    """A horizon of 233 h cuts the plan off at the last hour: lifting water gains what lies before it, 2.2 h or more."""
    document = read(BY_HAND)
    scenario = lifted(document, [limits_asked(load(BY_HAND), document, ["horizon=233 h"])[-1]])
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    limits = limits_asked(scenario, document, ["horizon=233 h"])
    water = lifted(document, [limits[-1], next(each for each in limits if each.name == "water without limit")])
    played = Played((days_to(goal), unreached(goal)))
    play_with(played, scenario, {AS_STATED: scenario, "water": water}, chunks_of(2))
    gained = played.gained("water", goal)
    assert gained.low * 24 == pytest.approx([2.2, 2.2])
    assert np.isinf(gained.high).all()
    told = savings_of(scenario, goal, 0, 2, played, ranked(played, goal, ["water"]), (), ())
    assert (told.unreached, told.days) == (2, None)
    assert [quantile.value for quantile in told.chances] == [np.inf] * 3
    saving = told.of("water")
    assert (saving.days, saving.adjusted_p, saving.unfinished, saving.is_sure) == (None, None, 0, False)
    assert gained_text(saving) == "median above 0.1"
    said = " ".join(relax_answer(told))
    assert "In 2 of 2 replications it is not reached by the horizon" in said
    assert "could not be chance" not in said


def with_cuts(**dates: Sequence[float]) -> Savings:
    """What is said of plans by the day of the milestone in each replication, cut short at day 40."""
    scenario = load(BY_HAND)
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    played = Played((days_to(goal), unreached(goal)))
    for plan, day in dates.items():
        played.add(AS_STATED if plan == "stated" else plan, 0, [(min(d, 40.0), float(d >= 40)) for d in day])
    n = len(dates["stated"])
    found = ranked(played, goal, [plan for plan in dates if plan != "stated"])
    return savings_of(scenario, goal, 0, n, played, found, (), ())


def test_a_lifted_plan_that_is_cut_short_has_no_mean_either_and_is_counted() -> None:
    """The plan as stated is always done; the longer flowback is not, in half of the replications."""
    stated = np.linspace(25, 35, 20)
    found = with_cuts(stated=stated, longer=stated + 10, earlier=stated - 1)
    longer, earlier = found.of("longer"), found.of("earlier")
    assert (longer.days, longer.adjusted_p, longer.unfinished) == (None, None, 10)
    assert (longer.week.surely, longer.week.perhaps) == (0, 0)
    assert longer.median_h.most == pytest.approx(-240)
    assert earlier.days is not None
    assert earlier.days.mean == pytest.approx(1.0)
    assert earlier.is_sure
    said = relax_answer(found)[1]
    assert "As stated it is always reached by the horizon" in said
    assert "but not in 10 of 20 with longer. Where" in said


@settings(derandomize=True, max_examples=60)
@given(st.lists(st.tuples(st.integers(20, 60), st.integers(20, 60)), min_size=2, max_size=30))
def test_bounds_under_the_horizon_hold_what_a_longer_one_shows(pairs: list[tuple[int, int]]) -> None:
    """Median and share of weeks lie within what is said, and a mean is only given where nothing is cut."""
    stated, lifted_days = (np.array(each, dtype=float) for each in zip(*pairs, strict=True))
    gained = stated - lifted_days
    saving = with_cuts(stated=stated, limit=lifted_days).of("limit")
    assert saving.week.surely <= (gained >= 7).sum() <= saving.week.surely + saving.week.perhaps
    assert saving.median_h.least <= 24 * np.sort(gained)[-(-len(gained) // 2) - 1] <= saving.median_h.most
    whole = max(stated.max(), lifted_days.max()) < 40
    assert (saving.days is not None) == (saving.adjusted_p is not None) == whole
    if saving.days is not None:
        assert saving.days.mean == pytest.approx(gained.mean())


def test_a_week_bought_in_any_line_is_told_even_where_the_line_may_be_chance() -> None:
    """A sure day, and a rare trouble less that gains nine days once in forty."""
    generator = np.random.default_rng(0)
    base = generator.uniform(25, 30, 40)
    rare = base - generator.normal(0, 0.1, 40)
    rare[3] = base[3] - 9
    found = with_cuts(stated=base, day=base - 1, rare=rare)
    assert not found.of("rare").is_sure
    said = " ".join(relax_answer(found))
    assert "Nothing alone surely buys a week on average; rare does in 2 % of the replications." in said
    assert "in any replication" not in said


def test_days_count_from_the_start_of_the_plan_as_stated() -> None:
    """A plan whose hour zero is a day earlier gains what its date gains, not the day itself."""
    document = read(BY_HAND)
    scenario = load(BY_HAND)
    start = f"{scenario.start - timedelta(days=1):%Y-%m-%d %H:%M}"
    limits = limits_asked(scenario, document, [f"start={start}"])
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    other = lifted(document, limits[-1:])
    played = Played((days_to(goal), unreached(goal)))
    play_with(played, scenario, {AS_STATED: scenario, "other": other}, chunks_of(1))
    moments = [plan.moment_at(well_rows(simulate(plan))[0].on_production_h) for plan in (scenario, other)]
    assert played.gained("other", goal).low * 24 == pytest.approx([(moments[0] - moments[1]) / timedelta(hours=1)])


def made_up(**gains: Sequence[float]) -> Played:
    """Played plans of which only the days are known."""
    goal = goal_of(load(BY_HAND), ALL_ON_PRODUCTION)
    played = Played((days_to(goal), unreached(goal)))
    n = len(next(iter(gains.values())))
    played.add(AS_STATED, 0, [(50.0, 0.0)] * n)
    for plan, gained in gains.items():
        played.add(plan, 0, [(50.0 - each, 0.0) for each in gained])
    return played


def test_ranking_says_how_sure_it_is_of_each() -> None:
    """Largest first; what changes nothing last; p-values adjusted for all; weeks counted."""
    goal = goal_of(load(BY_HAND), ALL_ON_PRODUCTION)
    gains = {"small": [1.0, 1.1, 0.9, 1.0], "none": [0.0] * 4, "doubtful": [9.0, -1.0, 8.0, -3.0], "later": [-2.0] * 4}
    found = {saving.limit: saving for saving in ranked(made_up(**gains), goal, list(gains))}
    assert list(found) == ["doubtful", "small", "later", "none"]
    assert [saving.is_sure for saving in found.values()] == [False, True, True, False]
    week = found["doubtful"].week
    assert (week.surely, week.perhaps, week.replications) == (2, 0, 4)
    assert found["small"].days == pytest.approx(mean_interval(gains["small"]))
    assert found["small"].adjusted_p == pytest.approx(3 * paired_p_value(gains["small"]))
    assert [saving.never_binds for saving in found.values()] == [False, False, False, True]


def test_pairs_are_made_of_the_three_that_surely_gain_most() -> None:
    """None that is a sum of others, is doubtful, or makes it later."""
    never = np.zeros(4)
    week, median = chance(never > 0, never > 0, 0.95), quantile_between(never, never, 0.5)
    listed = [
        ("all", 9.0, 0.0),
        ("a", 5.0, 0.0),
        ("maybe", 4.0, 0.2),
        ("b", 3.0, 0.0),
        ("c", 2.0, 0.0),
        ("d", 1.0, 0.0),
    ]
    listed.append(("later", -1.0, 0.0))
    savings = [Saving(name, mean_interval([gain, gain]), median, week, p, False) for name, gain, p in listed]
    assert worth_pairing(savings, ["all"]) == [("a", "b"), ("a", "c"), ("b", "c")]


def test_pair_says_what_one_gains_once_the_other_is_lifted() -> None:
    """Two days and three alone, four together: the first still gains one, the second two."""
    goal = goal_of(load(BY_HAND), ALL_ON_PRODUCTION)
    played = made_up(**{"a": [2.0, 2.0], "b": [3.0, 3.0], pair_name("a", "b"): [4.0, 4.0]})
    pair = pair_of(played, goal, "a", "b")
    means = (pair.together, pair.one_after_other, pair.other_after_one)
    assert [None if each is None else each.mean for each in means] == [4.0, 1.0, 2.0]


def test_gains_stand_on_chunks_that_both_plans_have() -> None:
    """A stopped run has played some plans further than others."""
    played = made_up(a=[2.0, 2.0])
    played.add("a", 1, [(1.0, 0.0)])
    assert list(played.gains("a", days(load(BY_HAND)))) == [2.0, 2.0]
    assert len(played.gains("not begun", days(load(BY_HAND)))) == 0
