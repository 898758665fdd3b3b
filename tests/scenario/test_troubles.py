"""Troubles as stated: usual ones by their name alone, any other in full, and every slip in one of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any, get_args

import pytest

from sim import activities
from sim.scenario import load, load_stated, read, stated
from sim.scenario.shapes import Gamma, Lognormal, Triangular, Uniform
from sim.scenario.troubles import USUAL, AnyTrouble, PumpFailure, Struck, Trouble
from tests.scenario.files import BASE, said

STRUCK = (
    "nipple up, pressure test, toe preparation, injection test, pump stage, plug and perforate, trip in, mill plugs,"
    " trip out, flow back, turn in line, pumps"
)
TIME = "expected a time such as '12 h', '30 min' or '4 day'"
KEYS = "strikes, chance, every, lost, then"
PUMP_KEYS = "strikes, every, repair, repair_crews"


def with_troubles(troubles: str) -> str:
    """The pad with troubles in its line 33."""
    return f"{BASE}troubles: {{{troubles}}}\n"


def loaded(folder: Path, troubles: str) -> dict[str, AnyTrouble]:
    file = folder / "pad.yaml"
    file.write_text(with_troubles(troubles))
    return load(file).troubles


def figures(trouble: AnyTrouble) -> dict[str, Any]:
    """Everything that is known of a trouble."""
    return {key: getattr(trouble, key) for key in type(trouble).model_fields}


@pytest.mark.parametrize(
    ("written", "figures_of_it"),
    [
        (
            "screen-out: {}",
            {"strikes": "pump stage", "chance": 0.015, "every": None, "lost": Triangular(4, 8, 30), "then": "resume"},
        ),
        (
            "misrun: {}",
            {"strikes": "plug and perforate", "chance": 0.02, "every": None, "lost": 1.0, "then": "repeat"},
        ),
        (
            "misrun: {chance: 3 %, lost: {uniform: [1 h, 2 h]}}",
            {"strikes": "plug and perforate", "chance": 0.03, "every": None, "lost": Uniform(1, 2), "then": "repeat"},
        ),
        (
            "misrun: {every: 2 day, then: resume}",
            {"strikes": "plug and perforate", "chance": None, "every": 48.0, "lost": 1.0, "then": "resume"},
        ),
        (
            "misrun: {strikes: trip in}",
            {"strikes": "trip in", "chance": 0.02, "every": None, "lost": 1.0, "then": "repeat"},
        ),
        (
            "misrun: {chance: 0}",
            {"strikes": "plug and perforate", "chance": 0.0, "every": None, "lost": 1.0, "then": "repeat"},
        ),
        (
            "pump failure: {repair: {gamma: {mean: 5 h, cv: 0.5}}}",
            {"strikes": "pumps", "every": 100.0, "repair": Gamma(5, 0.5), "repair_crews": 2},
        ),
        (
            "misrun: {strikes: pumps, every: 90 h, repair: 3 h}",
            {"strikes": "pumps", "every": 90.0, "repair": 3.0, "repair_crews": 2},
        ),
        (
            "pump failure: {strikes: pump stage, chance: 1 %, lost: 3 h}",
            {"strikes": "pump stage", "chance": 0.01, "every": None, "lost": 3.0, "then": "resume"},
        ),
        (
            "power cut: {strikes: flow back, every: 20 day, lost: 6 h, then: give up the rest}",
            {"strikes": "flow back", "chance": None, "every": 480.0, "lost": 6.0, "then": "give up the rest"},
        ),
    ],
)
def test_what_is_stated_lies_on_what_is_usual(tmp_path: Path, written: str, figures_of_it: dict[str, Any]) -> None:
    """A usual name gives what is not stated; `every` takes the place of the usual chance; others are as stated."""
    (trouble,) = loaded(tmp_path, written).values()
    assert figures(trouble) == figures_of_it


def test_pumps_fail_by_a_usual_repair(tmp_path: Path) -> None:
    """Six hours on average with a cv of 0.8: the lognormal of the same mean and spread."""
    trouble = loaded(tmp_path, "pump failure: {}")["pump failure"]
    assert isinstance(trouble, PumpFailure)
    assert isinstance(trouble.repair, Lognormal)
    assert trouble.repair.sigma**2 == pytest.approx(0.4946962418361071)  # ln(1 + 0.8^2)
    assert trouble.repair.mu == pytest.approx(1.7917594692280550 - 0.4946962418361071 / 2)  # ln 6 - sigma^2 / 2


@pytest.mark.parametrize("name", USUAL)
def test_every_usual_name_stands_alone(tmp_path: Path, name: str) -> None:
    """With nothing else stated it is a whole trouble, of which nothing counts as stated."""
    (trouble,) = loaded(tmp_path, f"{name}: {{}}").values()
    assert trouble.strikes == USUAL[name]["strikes"]
    assert trouble.model_fields_set == set()


def test_only_what_is_stated_counts_as_stated(tmp_path: Path) -> None:
    """Even where it is the usual figure."""
    (trouble,) = loaded(tmp_path, "misrun: {chance: 2 %}").values()
    assert trouble.model_fields_set == {"chance"}
    (trouble,) = loaded(tmp_path, "power cut: {strikes: flow back, chance: 2 %, lost: 1 h}").values()
    assert trouble.model_fields_set == {"strikes", "chance", "lost"}


def test_troubles_strike_what_the_log_calls_so() -> None:
    """The names of activities are those of the log."""
    assert set(get_args(Struck)) <= {name for name in vars(activities).values() if isinstance(name, str)}


def test_the_two_kinds_are_told_apart(tmp_path: Path) -> None:
    """Those of activities by name, and the one of the pumps."""
    file = tmp_path / "pad.yaml"
    file.write_text(with_troubles("misrun: {}, pump failure: {}, stuck bit: {}"))
    scenario = load(file)
    assert list(scenario.activity_troubles) == ["misrun", "stuck bit"]
    assert all(isinstance(trouble, Trouble) for trouble in scenario.activity_troubles.values())
    assert scenario.pump_failure == ("pump failure", scenario.troubles["pump failure"])
    assert load_stated(stated(read(file))) == scenario
    file.write_text(BASE)
    assert (load(file).troubles, load(file).pump_failure, load(file).trouble_factor) == ({}, None, 1.0)


HOW_OFTEN = "expected either a chance for each job or `every`, the mean hours of work between strikes"


@pytest.mark.parametrize(
    ("written", "lines"),
    [
        ("misrun: {chance: 0.02}",
         ["misrun.chance: not a share; expected a percentage such as '1.5 %' (got 0.02)"]),
        ("misrun: {chance: 101 %}",
         ["misrun.chance: more than all; expected a percentage from '0 %' to '100 %' (got '101 %')"]),
        ("misrun: {chance: 2 %, every: 40 h}", [f"misrun: {HOW_OFTEN} (got {{chance: 2 %, every: 40 h}})"]),
        ("power cut: {strikes: trip in, lost: 3 h}",
         [f"power cut: {HOW_OFTEN} (got {{strikes: trip in, lost: 3 h}})"]),
        ("misrun: {every: 0 h}", [f"misrun.every: must be more than zero; {TIME} (got '0 h')"]),
        ("misrun: {lost: 3}", [f"misrun.lost: a number without a unit; {TIME} (got 3)"]),
        ("misrun: {then: stop}",
         ["misrun.then: expected 'resume', 'repeat' or 'give up the rest' (got 'stop')"]),
        ("power cut: {strikes: pump stag, chance: 2 %, lost: 3 h}",
         ["power cut.strikes: nothing that a trouble strikes; did you mean 'pump stage'; expected one of"
          f" {STRUCK} (got 'pump stag')"]),
        ("power cut: {strikes: 7, chance: 2 %, lost: 3 h}",
         [f"power cut.strikes: nothing that a trouble strikes; expected one of {STRUCK} (got 7)"]),
        ("misrun: {chanse: 2 %}", [f"misrun.chanse: unknown key; did you mean 'chance'; known keys: {KEYS}"]),
        ("pump failure: {chance: 2 %}", [f"pump failure.chance: unknown key; known keys: {PUMP_KEYS}"]),
        ("pump failure: {repair_crews: 0}", ["pump failure.repair_crews: expected 1 or more (got 0)"]),
        ("misrun: 2 %", [f"misrun: expected keys with values: {KEYS} (got '2 %')"]),
        ("screen out: {}",
         ["screen out: missing: strikes is required (an activity, or pumps); did you mean 'screen-out'",
          "screen out: missing: lost is required (hours lost each time)"]),
        ("power cut: {strikes: trip in, chance: 2 %}",
         ["power cut: missing: lost is required (hours lost each time)"]),
        ("power.cut: {strikes: pumps}",
         ["power.cut: not a usable name; expected printable text without dots (paths use them) or outer spaces"
          " (got 'power.cut')"]),
    ],
)  # fmt: skip
def test_each_slip_in_a_trouble_is_one_plain_line(tmp_path: Path, written: str, lines: list[str]) -> None:
    """Which trouble, which of its keys, and what was expected."""
    assert said(tmp_path, with_troubles(written)) == [f"pad.yaml:33: troubles.{line}" for line in lines]


@pytest.mark.parametrize(
    ("section", "line"),
    [
        ("troubles: [misrun]",
         f"troubles: expected a name for each, with keys and values: {KEYS}, repair, repair_crews (got [misrun])"),
        ("trouble_factor: -1", "trouble_factor: expected 0 or more (got -1)"),
        ("trouble_factor: 101", "trouble_factor: expected at most 100 (got 101)"),
        ("trouble_factor: twice", "trouble_factor: expected a number (got 'twice')"),
    ],
)  # fmt: skip
def test_each_slip_beside_the_troubles_is_one_plain_line(tmp_path: Path, section: str, line: str) -> None:
    """The section itself, and the factor on all of them."""
    assert said(tmp_path, f"{BASE}{section}\n") == [f"pad.yaml:33: {line}"]
