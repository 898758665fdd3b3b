"""Units, stacks and policies that are not enough for the wells: one line each, at the place to change."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.operations.proppant_storage import PROPPANT_STORAGE
from sim.operations.water_system import LINE, STORAGE
from sim.scenario.field_checks import NAMES_IN_THE_LOG
from tests.scenario.files import BASE, Changes, accepted, changed, said

CREW = "  preparation_crews: {count: 1, hours: day shift}\n"
FLEET = "rate_limit: 120 bbl/min}"
MILLING = "- {kind: coiled tubing, per_plug: {pert: [5 min, 9 min, 25 min]}}"
HERON_1 = "{name: Heron 1,"
SHARED = "  stages: 50\n"
ROTATION = "  wells_in_rotation: 2\n"


def fleet(stated: str) -> tuple[str, str]:
    """The fleet with something more stated."""
    return (FLEET, f"rate_limit: 120 bbl/min, {stated}}}")


@pytest.mark.parametrize(
    ("changes", "lines"),
    [
        (
            [(CREW, "  preparation_crews: {does: nipple up}\n")],
            [
                f"16: units.preparation_crews: no crew does the {job}; expected it under `does` of one of them"
                for job in ("pressure test", "toe preparation", "injection test")
            ],
        ),
        (
            [(CREW, f"  frac_stacks: 1\n{CREW}")],
            ["16: units.frac_stacks: too few: the largest group needs its own; expected at least 2 (got 1)"],
        ),
        (
            [(CREW, f"  frac_stacks: 3\n{CREW}"), (ROTATION, f"{ROTATION}  drill_out: after the pad\n")],
            [
                "16: units.frac_stacks: too few: every well keeps its own until the pad is fractured;"
                " expected at least 4 (got 3)"
            ],
        ),
        (
            [fleet("pumps: 18, spare_pumps: 18")],
            ["18: units.pumping_fleets.Fleet A.spare_pumps: 18 spare pumps of 18 leave none at work; expected fewer"
             " (got 18)"],
        ),
        (
            [fleet("pumps: 2")],
            ["18: units.pumping_fleets.Fleet A: 2 spare pumps of 2 leave none at work; expected fewer"],
        ),
        (
            [(MILLING, "- {reach: 9999 ft}")],
            [
                "21: units.milling_rigs[item 1].reach: less than the lateral of Heron 1, 10,000 ft; expected a rig that"
                " reaches its toe, such as a workover rig (got '9999 ft')"
            ],
        ),
        (
            [(MILLING, "- {name: Short, reach: 5000 ft}\n    - {name: Long, reach: 9000 ft}")],
            [
                "22: units.milling_rigs.Long.reach: less than the lateral of Heron 1, 10,000 ft; expected a rig that"
                " reaches its toe, such as a workover rig (got '9000 ft')"
            ],
        ),
        (
            [("strategy:\n", "facility: {limit: 1000 bbl/day}\nstrategy:\n"),
             (SHARED, f"{SHARED}  production: {{peak: 900 bbl/day}}\n"),
             (HERON_1, f"{HERON_1} production: {{peak: 1001 bbl/day}},")],
            [
                "12: wells.Heron 1.production.peak: more than the facility's limit, 1,000 bbl/day; expected less"
                " (got '1001 bbl/day')"
            ],
        ),
        (
            [("strategy:\n", "facility: {limit: 1000 bbl/day}\nstrategy:\n")],
            [
                f"{line}: wells.Heron {number}: production is not stated, but the facility has a limit; expected the"
                " peak rate of the well"
                for line, number in ((11, 1), (12, 2), (13, 3), (14, 4))
            ],
        ),
        (
            [("fluid: 9500 bbl, ", "")],
            [
                f"{where}.stage_design: expected either fluid, all water of a stage, or fluid_per_length"
                for where in ("9: well_defaults", "14: wells.Heron 4")
            ],
        ),
        (
            [("fluid: 9500 bbl, ", "fluid: 9500 bbl, fluid_per_length: 40 bbl/ft, ")],
            [
                "9: well_defaults.stage_design.fluid_per_length: stands beside fluid; expected one of the two"
                " (got '40 bbl/ft')"
            ],
        ),
        (
            [("fluid: 9500 bbl, ", "fluid: 9500 bbl, pad: 500 bbl, ")],
            [
                "9: well_defaults.stage_design.pad: counts only on top of fluid_per_length; expected it within fluid"
                " (got '500 bbl')"
            ],
        ),
        (
            [("proppant: 440 klb, ", "proppant: 440 klb, proppant_per_length: 2200 lb/ft, ")],
            [
                "9: well_defaults.stage_design.proppant_per_length: stands beside proppant; expected one of the two"
                " (got '2200 lb/ft')"
            ],
        ),
        (
            [("strategy:\n", "troubles:\n  pump failure: {}\n  fluid end: {strikes: pumps}\nstrategy:\n")],
            ["32: troubles.fluid end: strikes the pumps, as pump failure does; expected one trouble that does"],
        ),
        (
            [("strategy:\n", "shifts: {every: 7 h}\nstrategy:\n")],
            ["30: shifts.every: does not divide a day evenly; expected for example 24 h, 12 h or 8 h (got '7 h')"],
        ),
        (
            [("strategy:\n", "shifts: {every: 2 day}\nstrategy:\n")],
            ["30: shifts.every: does not divide a day evenly; expected for example 24 h, 12 h or 8 h (got '2 day')"],
        ),
        (
            [("strategy:\n", "shifts: {crew_change: 12 h}\nstrategy:\n")],
            [
                "30: shifts.crew_change: leaves no time for work between changes, which are 12 h apart; expected less"
                " (got '12 h')"
            ],
        ),
        (
            [("{name: Fleet A,", "{name: Water line,")],
            [
                "18: units.pumping_fleets.Water line.name: 'Water line' is what logs call a part of the supplies;"
                " expected another name (got 'Water line')"
            ],
        ),
        (
            [(MILLING, "- {name: Water storage}")],
            [
                "21: units.milling_rigs.Water storage.name: 'Water storage' is what logs call a part of the supplies;"
                " expected another name (got 'Water storage')"
            ],
        ),
    ],
)  # fmt: skip
def test_what_is_not_enough_is_one_plain_line(tmp_path: Path, changes: Changes, lines: list[str]) -> None:
    """Each shortcoming is told where one would make up for it."""
    assert said(tmp_path, changed(*changes, text=BASE)) == [f"pad.yaml:{line}" for line in lines]


@pytest.mark.parametrize(
    "changes",
    [
        [(CREW, "  preparation_crews:\n    - {does: [pressure test, toe preparation, injection test]}\n"
          "    - {does: nipple up}\n")],
        [(CREW, "  preparation_crews: {does: [nipple up, pressure test, toe preparation]}\n"),
         ("injection_test: {volume: 20 bbl}", "stages: 40")],
        [(CREW, f"  frac_stacks: 2\n{CREW}")],
        [(CREW, f"  frac_stacks: 4\n{CREW}"), (ROTATION, f"{ROTATION}  drill_out: after the pad\n")],
        [fleet("pumps: 3")],
        [(MILLING, "- {reach: 10000 ft}")],
        [(MILLING, "- {reach: 500 ft}\n    - {kind: workover rig}")],
        [("strategy:\n", "facility: {limit: 1000 bbl/day}\nstrategy:\n"),
         (SHARED, f"{SHARED}  production: {{peak: 1000 bbl/day}}\n")],
        [("strategy:\n", "shifts: {crew_change: 11.9 h, every: 12 h}\nstrategy:\n")],
        [("strategy:\n", "shifts: {every: 1 day}\nstrategy:\n")],
        [("{name: Fleet A,", "{name: Water line, count: 2,")],
    ],
)  # fmt: skip
def test_what_is_just_enough_is_accepted(tmp_path: Path, changes: Changes) -> None:
    """The edge of what can be done is not beyond it."""
    assert accepted(tmp_path, changes)


def test_names_that_the_log_uses_itself() -> None:
    """They are those under which the units of the supplies write."""
    assert {LINE, STORAGE, PROPPANT_STORAGE} == NAMES_IN_THE_LOG
