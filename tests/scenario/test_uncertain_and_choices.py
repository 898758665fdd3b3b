"""What is uncertain and what can be chosen: sections that hold paths, checked like the rest of the scenario."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import get_args

import pytest

from analysis.forecasting.summary import PAD_MILESTONES
from sim.scenario import ScenarioError, load, read, validate
from sim.scenario.choices import MilestoneName, Money, parse_money
from sim.scenario.document import Place
from sim.scenario.patches import set_path
from sim.scenario.path_kinds import spot_at
from sim.scenario.shapes import Empirical, Lognormal, Pert, Triangular, Uniform
from sim.scenario.uncertain import uncertain_inputs
from tests.scenario.files import FULL, PAD, said

GOOD = """\
uncertain:
  water.sources.River intake.rate: {uniform: [36 kbbl/day, 60 kbbl/day]}
  trouble_factor: {lognormal: {P10: 0.7, P90: 1.8}}
  troubles.screen-out.chance: {triangular: [1 %, 2 %, 5 %]}
  units.wireline_units.count: {empirical: [1, 2, 2]}
  units.milling_rigs.per_plug: {pert: [4 min, 8 min, 20 min]}
  wells.Heron 4.stage_design.pump_time.lognormal.P90: {uniform: [200 min, 4 h]}
choices:
  promise: {by: 2027-07-01}
  cheapest_of:
    water.storage.capacity: [{value: 60 kbbl}, {value: 90 kbbl, cost: 60000 USD}]
    strategy.drill_out: [{value: after the pad}, {value: after the group, cost: 0.2 million USD}]
"""


def test_distributions_are_read_in_the_units_of_their_fields(tmp_path: Path) -> None:
    """Each as a plain shape in internal units; drawn values are written as the distribution was."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL + GOOD)
    load(file)
    rate, factor, chance, count, plug, late = uncertain_inputs(read(file))
    assert rate.shape == Uniform(1500, 2500)
    assert rate.value(2000.0) == "48 kbbl/day"
    assert isinstance(factor.shape, Lognormal)
    assert factor.value(1.25) == 1.25
    assert chance.shape == Triangular(0.01, 0.02, 0.05)
    assert chance.value(0.03) == "3 %"
    assert count.shape == Empirical((1, 2, 2))
    assert count.value(2.0) == 2
    assert isinstance(plug.shape, Pert)
    assert plug.value(0.1) == "6 min"
    assert late.value(3.5) == "210 min"


def test_a_drawn_value_can_stand_at_its_path(tmp_path: Path) -> None:
    """What is written back is taken for what it was."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL + GOOD)
    document = read(file)
    for each in uncertain_inputs(document):
        document = set_path(document, each.path, each.value(0.02 if "chance" in each.path else 2.0), Place("x", 0))
    scenario = validate(document)
    assert scenario.water is not None
    assert scenario.water.sources[0].rate == pytest.approx(2.0)
    assert scenario.units.wireline_units[0].count == 2


def test_choices_are_read_with_their_costs(tmp_path: Path) -> None:
    """Costs default to nothing, the milestone to the last well and the chance to 90 %."""
    file = tmp_path / "pad.yaml"
    file.write_text(PAD + GOOD[GOOD.index("choices") :])
    choices = load(file).choices
    assert choices is not None
    assert choices.promise.milestone == "every well on production"
    assert choices.promise.chance == pytest.approx(0.9)
    assert choices.promise.by == datetime(2027, 7, 1)
    costs = [option.cost for options in choices.cheapest_of.values() for option in options]
    assert costs == [Money(0), Money(60_000, "USD"), Money(0), Money(200_000, "USD")]


UNCERTAIN = "pad.yaml:35: uncertain"
RISING = "expected uniform: [lowest, highest], lowest below highest"


@pytest.mark.parametrize(
    ("entry", "message"),
    [
        (
            "water.sources.River intak.rate: {uniform: [3 kbbl/day, 6 kbbl/day]}",
            ".water.sources.River intak.rate: unknown path: nothing there is called 'River intak'; did you mean"
            " 'water.sources.River intake.rate'; known there: River intake, Produced water line",
        ),
        (
            "storage.capacity: {uniform: [30 kbbl, 60 kbbl]}",
            ".storage.capacity: unknown path: nothing there is called 'storage'; did you mean 'water.storage.capacity'",
        ),
        (
            "units.milling_rigs.per_plug: {uniform: [4 min, 8 bbl]}",
            ".units.milling_rigs.per_plug: 'bbl' is a volume; expected a time such as '12 h', '30 min' or '4 day'"
            " (got {uniform: [4 min, 8 bbl]})",
        ),
        ("units.wireline_units.count: {uniform: [1, 2]}", "a whole number; expected empirical"),
        ("units.wireline_units.count: {empirical: [1.5, 2]}", "expected triangular or pert"),
        ("strategy.drill_out: {uniform: [1, 2]}", "not a single number; expected the path of a quantity or a number"),
        ("water: {uniform: [1, 2]}", "not a single number"),
        ("water.transfer.limit: 3 kbbl/day", "not a distribution; expected one of triangular, pert"),
        ("water.storage.capacity: {uniform: [60 kbbl, 35 kbbl]}", RISING),
        ("water.storage.capacity: {uniform: [60 kbbl]}", "such as '9500 bbl', '60 kbbl' or '1500 m3'"),
        ("trouble_factor: {lognormal: {P10: 0, P90: 2}}", "of numbers such as 1.2"),
        ("alternatives.sequential: {uniform: [1, 2]}", "unknown path"),
    ],
)
def test_each_slip_in_what_is_uncertain_is_one_plain_line(tmp_path: Path, entry: str, message: str) -> None:
    """Placed at its line, with what was expected."""
    lines = said(tmp_path, PAD[: PAD.index("alternatives:")] + f"# line 33\nuncertain:\n  {entry}\n")
    assert len(lines) == 1
    assert lines[0].startswith("pad.yaml:35: uncertain.")
    assert message in lines[0]


@pytest.mark.parametrize(
    ("section", "message"),
    [
        ("uncertain: 3", "uncertain: expected distributions by path, such as water.transfer.limit"),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: 4}",
            "choices.cheapest_of: expected values and costs by path",
        ),
        ("choices: {cheapest_of: {horizon: [{value: 9 day}]}}", "missing: promise is required"),
        ("choices: {promise: {by: soon}, cheapest_of: {horizon: [{value: 9 day}]}}", "not a date"),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: {horizn: [{value: 9 day}]}}",
            "nothing there is called 'horizn'; did you mean 'horizon'",
        ),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: {horizon: [{value: 9 dy}]}}",
            "choices.cheapest_of.horizon[item 1].value: unit 'dy' is not known; expected a time",
        ),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: {strategy.drill_out: [{value: later}]}}",
            "expected 'after the group' or 'after the pad' (got 'later')",
        ),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: {water.storage: [{value: 9}]}}",
            "keys with values of their own; expected the path of a single value",
        ),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: {horizon: [{value: 9 day, cost: 3}]}}",
            "not an amount of money; expected a number with its currency, such as '60000 USD'",
        ),
        (
            "choices: {promise: {by: 2027-06-01}, cheapest_of: {horizon: [{value: 9 day, cost: 3 USD},"
            " {value: 99 day, cost: 4 EUR}]}}",
            "another currency than that of the first cost; expected USD",
        ),
        (
            "choices: {promise: {by: 2027-06-01, chance: 100 %}, cheapest_of: {horizon: [{value: 9 day}]}}",
            "choices.promise.chance: expected less than 100 %",
        ),
    ],
)
def test_each_slip_in_the_choices_is_told(tmp_path: Path, section: str, message: str) -> None:
    """Whatever else there is to say, this is among it."""
    lines = said(tmp_path, PAD[: PAD.index("alternatives:")] + section + "\n")
    assert any(message in line for line in lines), lines


def test_milestones_of_a_promise_are_those_of_the_pad() -> None:
    """The scenario and the answer call them alike."""
    assert list(get_args(MilestoneName)) == [name.lower() for name in PAD_MILESTONES]


@pytest.mark.parametrize("text", ["60000 USD", " 60 thousand USD ", "0.06 million USD"])
def test_money_is_a_number_with_its_currency(text: str) -> None:
    assert parse_money(text) == Money(60_000, "USD")


def test_troubles_are_addressed_by_their_names(tmp_path: Path) -> None:
    """A path into what was only named sets that figure and leaves the other usual ones."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL)
    document = read(file)
    changed = validate(set_path(document, "troubles.screen-out.chance", "9 %", Place("x", 0)))
    trouble = changed.activity_troubles["screen-out"]
    assert trouble.chance == pytest.approx(0.09)
    assert trouble.lost == validate(document).activity_troubles["screen-out"].lost
    with pytest.raises(ScenarioError, match=r"did you mean 'troubles\.screen-out"):
        spot_at(document, "troubles.scren-out.chance", Place("x", 0))


def test_what_stands_at_a_path_now_is_known(tmp_path: Path) -> None:
    """As written, or nothing where nothing is stated."""
    file = tmp_path / "pad.yaml"
    file.write_text(PAD)
    document = read(file)
    assert spot_at(document, "water.storage.capacity", Place("x", 0)).stated == "60 kbbl"
    assert spot_at(document, "units.pumping_fleets.Fleet A.rate_limit", Place("x", 0)).stated == "120 bbl/min"
    assert spot_at(document, "units.milling_rigs.rig_up", Place("x", 0)).stated is None
