"""What a day gained by lifting a limit costs: against the ledger, by hand, and the interval of a quotient."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from scipy import stats

from analysis.cli import main
from analysis.forecasting.forecast import forecast
from analysis.goals import ALL_ON_PRODUCTION, goal_of
from analysis.pricing.ledger import reckon
from analysis.pricing.plan_costs import PlanCosts, amounts_of
from analysis.relaxing.limits import limits_of
from analysis.relaxing.quotient import quotient
from analysis.relaxing.relax import AS_STATED, Played, days_to, unreached
from analysis.relaxing.relaxed_plans import lifted, limits_asked, plans_of
from analysis.relaxing.relaxed_plays import play_with
from analysis.relaxing.savings import Saving, ranked
from sim.pad import simulate
from sim.replications import chunks_of
from sim.scenario import load, read
from tests.analysis.repeats import hits, least_hits, most_hits

SCENARIOS = Path(__file__).parents[2] / "scenarios"
EXAMPLE = SCENARIOS / "six_well_pad.yaml"
PRICES = "\nprices: {units: {pumping_fleets: {day: 24 kUSD/day}}}\n"


@pytest.mark.parametrize("limit", [None, "one more pumping fleet", "one more milling rig"])
def test_costs_are_those_of_the_ledger(limit: str | None) -> None:
    """To rounding, fuel included; a unit that is added is paid what the one that it is like is."""
    plan = load(EXAMPLE)
    if limit is not None:
        plan = lifted(read(EXAMPLE), [each for each in limits_of(plan) if each.name == limit])
    money = reckon(forecast(plan, 2)).money
    assert money is not None
    assert not [path for path in money.missing if "units" in path]
    costs = PlanCosts(plan)
    assert [costs.of(amounts_of(plan, simulate(plan, k))) for k in range(2)] == pytest.approx(
        money.cash.paid.sum(axis=1)
    )


@pytest.fixture(scope="module")
def by_hand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The well worked out by hand, its fleet at a thousand dollars an hour and nothing else priced."""
    file = tmp_path_factory.mktemp("priced") / "well.yaml"
    file.write_text((SCENARIOS / "one_well_by_hand.yaml").read_text(encoding="utf-8") + PRICES, encoding="utf-8")
    return file


def savings(file: Path, n: int) -> dict[str, Saving]:
    scenario, document = load(file), read(file)
    goal = goal_of(scenario, ALL_ON_PRODUCTION)
    plans, _ = plans_of(document, limits_asked(scenario, document, ()), 0)
    played = Played((days_to(goal), unreached(goal)), priced=True)
    play_with(played, scenario, {AS_STATED: scenario, **plans}, chunks_of(n))
    return {each.limit: each for each in ranked(played, goal, list(plans))}


def test_dollars_a_day_by_hand(by_hand: Path) -> None:
    """Without the waits for water the fleet is there 3.2 h less, and all is done as much sooner: 24,000 USD less a day.

    A day earlier it is there 16 h more, and 8 h are gained: 48,000 USD spent a day. What never binds costs nothing.
    """
    found = savings(by_hand, 2)
    for limit, cost, a_day in (("water without limit", -3200, -24e3), ("pumping fleet a day earlier", 16e3, 48e3)):
        saving = found[limit]
        assert saving.cost is not None
        assert saving.cost.mean == pytest.approx(cost)
        assert saving.a_day is not None
        assert saving.a_day[:3] == pytest.approx((a_day, a_day, a_day))
    idle = found["no injection test"] if "no injection test" in found else found["one more wireline unit"]
    assert idle.never_binds
    assert idle.cost is not None
    assert (idle.cost.mean, idle.cost.low, idle.cost.high, idle.a_day) == (0, 0, 0, None)


def test_bounds_are_what_the_paired_t_test_does_not_reject() -> None:
    """Fieller's definition, against SciPy: at each bound the test of x - q y has a p-value of exactly 5 %."""
    generator = np.random.default_rng(3)
    days = generator.normal(2.0, 1.0, 40)
    dollars = -900.0 * days + generator.normal(0.0, 300.0, 40)
    found = quotient(dollars, days)
    assert found is not None
    assert found.value == pytest.approx(dollars.mean() / days.mean())
    assert found.low < found.value < found.high
    for bound in (found.low, found.high):
        assert stats.ttest_1samp(dollars - bound * days, 0.0).pvalue == pytest.approx(0.05)


def test_constant_days_leave_the_interval_of_a_mean() -> None:
    dollars = np.array([100.0, 130.0, 90.0, 140.0])
    found = quotient(dollars, np.full(4, 2.0))
    assert found is not None
    interval = stats.t.interval(0.95, 3, loc=dollars.mean(), scale=stats.sem(dollars))
    assert (found.low, found.high) == pytest.approx((interval[0] / 2, interval[1] / 2))


def test_no_interval_where_days_may_be_none() -> None:
    generator = np.random.default_rng(4)
    assert quotient(generator.normal(5.0, 1.0, 30), generator.normal(0.0, 1.0, 30)) is None
    assert quotient(np.ones(1), np.ones(1)) is None


def test_interval_covers() -> None:
    """Days and dollars normal and dependent: 95 % of 1 000 intervals hold the quotient of the true means."""

    def holds(generator: np.random.Generator) -> bool:
        days = generator.normal(1.0, 1.0, 50)
        found = quotient(40.0 * days + generator.normal(-60.0, 30.0, 50), days)
        return found is not None and found.low <= -20.0 <= found.high

    assert least_hits(0.95) <= hits(11, holds) <= most_hits(0.95)


def told(file: Path, *options: str) -> str:
    done = CliRunner(env={"COLUMNS": "130"}).invoke(
        main, ["relax", str(file), "--replications", "3", "--workers", "1", *options]
    )
    assert done.exit_code == 0, done.output
    return done.output


def test_the_terminal_and_the_summary_say_so(by_hand: Path, tmp_path: Path) -> None:
    """A column for the change of cost and one for each day gained, and what is not in them; none without prices."""
    said = told(by_hand, "--out", str(tmp_path / "out"))
    row = next(line for line in said.splitlines() if line.startswith("pumping fleet a day earlier"))
    assert row.split()[-6:] == ["+16", "±", "0", "+48", "[+48,", "+48]"]
    flat = " ".join(said.split())
    assert "What it costs to lift the limit itself" in flat
    assert "Without a price, and so not in it: prices.units.preparation_crews" in flat
    summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    limits = {each["with"]: each for each in summary["limits"]}
    assert limits["water without limit"]["usd_for_each_day_gained"]["value"] == pytest.approx(-24e3)
    plain = told(SCENARIOS / "one_well_by_hand.yaml")
    assert "USD" not in plain
    assert "for each day gained" not in plain
