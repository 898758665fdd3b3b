"""What fits its field but not the rest of the scenario: one line each, at the place to change."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import load
from sim.scenario.consistency import inconsistencies
from tests.scenario.files import PAD, changed, said

PREPARATION = "  preparation_crews: {count: 1, hours: day shift}"
FITTING = "  preparation_crews: {hours: day shift, at_shift_end: fit the job in}"
STORAGE = "  storage: {capacity: 60 kbbl, erect: 24 h, fill_to: 50 kbbl}"
SOURCES = "    - {name: River intake, rate: 55 kbbl/day}\n    - {name: Produced water line, rate: 15 kbbl/day}\n"
BASE = PAD[: PAD.index("alternatives:")]


@pytest.mark.parametrize(
    ("changes", "lines"),
    [
        (
            [("{name: Heron 2,", "{name: Heron 1,"), ("  order: [Heron 2, Heron 1, Heron 3, Heron 4]\n", "")],
            ["12: wells.Heron 1.name: an earlier entry has the same name; expected each name once (got 'Heron 1')"],
        ),
        (
            [("name: Produced water line", "name: River intake")],
            [
                "27: water.sources.River intake.name: an earlier entry has the same name; expected each name once"
                " (got 'River intake')"
            ],
        ),
        (
            [("name: Fleet A", "name: Wireline 2")],
            ["19: units.wireline_units: two units would be called 'Wireline 2'; expected another name"],
        ),
        (
            [("{count: 2, run_in: 250 ft/min}", "{name: Fleet A, run_in: 250 ft/min}")],
            [
                "19: units.wireline_units.name: two units would be called 'Fleet A'; expected another name"
                " (got 'Fleet A')"
            ],
        ),
        (
            [("  stages: 50\n", "")],
            [
                f"{line}: wells.Heron {number}: states neither stages nor stage_length; expected one of the two"
                for line, number in ((10, 1), (11, 2), (13, 4))
            ],
        ),
        (
            [("stage_length: 250 ft", "stage_length: 250 ft, stages: 40")],
            ["13: wells.Heron 3.stage_length: stands beside stages; expected one of the two (got '250 ft')"],
        ),
        (
            [("stage_length: 250 ft", "stage_length: 10 ft")],
            [
                "13: wells.Heron 3.stage_length: cuts the lateral of Heron 3 into more than 500 stages;"
                " expected at least 20 ft (got '10 ft')"
            ],
        ),
        (
            [("stage_length: 250 ft", "stage_length: 1e-300 ft")],
            [
                "13: wells.Heron 3.stage_length: cuts the lateral of Heron 3 into more than 500 stages;"
                " expected at least 20 ft (got '1e-300 ft')"
            ],
        ),
        (
            [("lateral_length: 10000 ft", "lateral_length: 20500 ft")],
            [
                "6: well_defaults.lateral_length: not less than the whole measured_depth of 20,500 ft;"
                " expected only the lateral (got '20500 ft')"
            ],
        ),
        (
            [("{lognormal: {P10: 90 min, P90: 210 min}}", "{by_stage: [2 h, 3 h]}")],
            [
                "14: wells.Heron 4.stage_design.pump_time.by_stage: 2 entries for the 50 stages of Heron 4;"
                " expected one for each stage, from the toe to the heel"
            ],
        ),
        (
            [("arrives: 2027-03-08", "arrives: 2027-02-28")],
            [
                "18: units.pumping_fleets.Fleet A.arrives: before the start, 2027-03-01 06:00; expected a later date,"
                " or none (got '2027-02-28')"
            ],
        ),
        (
            [("arrives: 2027-03-08", "arrives: 2028-03-08")],
            [
                "18: units.pumping_fleets.Fleet A.arrives: after the horizon, 2027-10-27 06:00; expected an earlier"
                " date or a longer horizon (got '2028-03-08')"
            ],
        ),
        (
            [
                ("rig_release: 2027-02-10", "rig_release: 2007-02-10"),
                ("rig_release: 2027-02-18", "rig_release: 2127-02-18"),
            ],
            [
                "11: wells.Heron 1.rig_release: more than ten years before the start, 2027-03-01 06:00; expected a"
                " later date, or none (got '2007-02-10')",
                "12: wells.Heron 2.rig_release: after the horizon, 2027-10-27 06:00; expected an earlier date or a"
                " longer horizon (got '2127-02-18')",
            ],
        ),
        (
            [("wells_in_rotation: 2", "wells_in_rotation: 5")],
            ["31: strategy.wells_in_rotation: more than there are wells; expected at most 4 (got 5)"],
        ),
        (
            [("wells_in_rotation: 2", "wells_in_rotation: [2, 5]")],
            ["31: strategy.wells_in_rotation[item 2]: more than there are wells; expected at most 4 (got 5)"],
        ),
        (
            [("wells_in_rotation: 2", "wells_in_rotation: [2, 1]\n  pumped_together: 3")],
            ["32: strategy.pumped_together: more than are in rotation at a time; expected at most 2 (got 3)"],
        ),
        (
            [("order: [Heron 2, Heron 1, Heron 3, Heron 4]", "order: [Heron 2, Heron 2, Herron 3, Heron 4]")],
            [
                "32: strategy.order: leaves out Heron 1, Heron 3; expected every well once",
                "32: strategy.order[item 2]: an earlier entry has the same name; expected each name once"
                " (got 'Heron 2')",
                "32: strategy.order[item 3]: no well is called that; did you mean 'Heron 3'; expected names of wells"
                " (got 'Herron 3')",
            ],
        ),
        (
            [("fill_to: 50 kbbl", "fill_to: 70 kbbl, on_hand: 61 kbbl")],
            [
                "29: water.storage.fill_to: more than the storage holds; expected at most its capacity, 60,000 bbl"
                " (got '70 kbbl')",
                "29: water.storage.on_hand: more than the storage holds; expected at most its capacity, 60,000 bbl"
                " (got '61 kbbl')",
            ],
        ),
        (
            [("capacity: 60 kbbl", "capacity: 18 kbbl"), ("fill_to: 50 kbbl", "fill_to: 9500 bbl"),
             ("wells_in_rotation: 2", "pumped_together: 2")],
            [
                "29: water.storage.capacity: less than one stage of Heron 2 and Heron 1 takes; expected at least"
                " 19,000 bbl, or a start_rule other than 'full stage on hand' (got '18 kbbl')"
            ],
        ),
        (
            [("rate: 55 kbbl/day", "rate: 0"), ("rate: 15 kbbl/day", "rate: 0 bbl/h")],
            [
                "25: water.sources: deliver nothing, and the 0 bbl on hand are less than the 50,000 bbl to begin with;"
                " expected a rate above zero"
            ],
        ),
        (
            [("rate: 55 kbbl/day", "rate: 0"), ("rate: 15 kbbl/day", "rate: 0"),
             ("fill_to: 50 kbbl", "fill_to: 50 kbbl, on_hand: 55 kbbl")],
            [
                "25: water.sources: deliver nothing, and the 55,000 bbl on hand are less than the 1,836,215 bbl for all"
                " stages, wireline runs and drill-outs; expected a rate above zero"
            ],
        ),
        (
            [(PREPARATION, FITTING), ("  toe: wet shoe\n", "  toe: tubing-conveyed perforating\n")],
            [
                "16: units.preparation_crews.at_shift_end: toe.time may take 36 h and would not fit into a shift of"
                " 12 h; expected 'pause', or longer hours (got 'fit the job in')"
            ],
        ),
        (
            [(PREPARATION, FITTING), ("  toe: wet shoe\n", "  preparation: {nipple_up: 13 h}\n")],
            [
                "16: units.preparation_crews.at_shift_end: preparation.nipple_up may take 13 h and would not fit into a"
                " shift of 12 h; expected 'pause', or longer hours (got 'fit the job in')"
            ],
        ),
        (
            [
                (PREPARATION, FITTING),
                ("  toe: wet shoe\n", "  preparation: {pressure_test: {empirical: [2 h, 14 h]}}\n"),
            ],
            [
                "16: units.preparation_crews.at_shift_end: preparation.pressure_test may take 14 h and would not fit"
                " into a shift of 12 h; expected 'pause', or longer hours (got 'fit the job in')"
            ],
        ),
        (
            [("capacity: 60 kbbl", "capacity: 20 kbbl"), ("fill_to: 50 kbbl", "fill_to: 9500 bbl"),
             ("wells_in_rotation: 2", "wells_in_rotation: 4\n  pumped_together: 2\n  pairs: any that are ready"),
             ("{name: Heron 3,", "{name: Heron 3, stage_design: {fluid: 12 kbbl},")],
            [
                "29: water.storage.capacity: less than one stage of Heron 3 and Heron 2 takes; expected at least"
                " 21,500 bbl, or a start_rule other than 'full stage on hand' (got '20 kbbl')"
            ],
        ),
        (
            [("{count: 2, run_in: 250 ft/min}", "{hours: '22:00-04:00', at_shift_end: fit the job in, rig_up: 7 h}")],
            [
                "19: units.wireline_units.at_shift_end: rig_up may take 7 h and would not fit into a shift of 6 h;"
                " expected 'pause', or longer hours (got 'fit the job in')"
            ],
        ),
    ],
)  # fmt: skip
def test_each_contradiction_is_one_plain_line(tmp_path: Path, changes: list[tuple[str, str]], lines: list[str]) -> None:
    """A scenario that contradicts itself is refused where one would change it."""
    assert said(tmp_path, changed(*changes, text=BASE)) == [f"pad.yaml:{line}" for line in lines]


@pytest.mark.parametrize(
    "changes",
    [
        [(PREPARATION, FITTING)],
        [
            (PREPARATION, FITTING.replace("day shift", "around the clock")),
            ("  toe: wet shoe\n", "  preparation: {nipple_up: 30 h}\n"),
        ],
        [(PREPARATION, FITTING), ("  toe: wet shoe\n", "  preparation: {nipple_up: {exponential: 8 h}}\n")],
        [("fill_to: 50 kbbl", "fill_to: 60 kbbl, on_hand: 60 kbbl")],
        [("rate: 55 kbbl/day", "rate: 0")],
        [(SOURCES, "    - {name: Lake, rate: 0}\n"), (STORAGE, "  storage: {capacity: 2000 kbbl, on_hand: 2000 kbbl}")],
        [("capacity: 60 kbbl", "capacity: 9500 bbl"), ("fill_to: 50 kbbl", "fill_to: 9500 bbl")],
        [(STORAGE, "  storage: {capacity: 6 kbbl}"), ("full stage on hand", "as it comes")],
        [("wells_in_rotation: 2", "wells_in_rotation: [1, 3]\n  pumped_together: 3")],
        [("arrives: 2027-03-08", "arrives: 2027-03-01 06:00")],
        [("stage_length: 250 ft", "stage_length: 20 ft")],
    ],
)  # fmt: skip
def test_what_only_looks_odd_is_accepted(tmp_path: Path, changes: list[tuple[str, str]]) -> None:
    """The edge of what can be done is not beyond it."""
    file = tmp_path / "pad.yaml"
    file.write_text(changed(*changes, text=BASE))
    assert inconsistencies(load(file)) == []


def test_a_single_well_needs_no_strategy(tmp_path: Path) -> None:
    """The default of two wells in rotation is no contradiction where there is one well."""
    file = tmp_path / "pad.yaml"
    text = BASE[: BASE.index("strategy:")]
    for number in (2, 3, 4):
        line = next(line for line in text.splitlines(keepends=True) if f"name: Heron {number}" in line)
        text = text.replace(line, "")
    file.write_text(text)
    assert [len(group) for group in load(file).groups] == [1]
