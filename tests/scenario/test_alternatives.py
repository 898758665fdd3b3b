"""Alternatives: named patches in the file, each checked with the base."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import ScenarioError, load, read
from sim.scenario.fields import AsWritten
from sim.scenario.strategy import Strategy
from tests.scenario.files import PAD, changed, said


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    """The valid pad as a file."""
    file = tmp_path / "pad.yaml"
    file.write_text(PAD)
    return file


def test_alternatives_change_only_what_they_name(pad: Path) -> None:
    """Each is the base but for its patches."""
    base = load(pad)
    assert load(pad, "sequential").strategy.wells_in_rotation == (1,)
    bigger = load(pad, "bigger tank")
    assert bigger.water is not None
    assert base.water is not None
    assert bigger.water.storage.capacity == 100_000
    assert [source.rate * 24 for source in bigger.water.sources] == pytest.approx([60_000, 15_000])
    assert bigger.wells == base.wells
    simultaneous = load(pad, "simultaneous")
    assert simultaneous.strategy.pumped_together == 2
    assert simultaneous.units.pumping_fleets[0].rate_limit == 180 * 60
    assert simultaneous.units.pumping_fleets[0].rig_up == 48


def test_shared_values_are_patched_before_wells_take_them_over(pad: Path) -> None:
    """A patch on what wells share reaches those that state nothing else; a stated way of counting stages gives way."""
    fewer = load(pad, "fewer stages")
    assert [well.stage_count for well in fewer.wells] == [40, 40, 38, 40]
    assert fewer.wells[2].stage_length is None
    assert fewer.units.wireline_units[0].count == 3


def test_the_name_of_an_alternative_must_be_known(pad: Path) -> None:
    """The known ones are listed."""
    with pytest.raises(ScenarioError) as refused:
        load(pad, "sequental")
    assert str(refused.value) == (
        f"{pad}:33: alternatives: no such alternative; did you mean 'sequential'; known alternatives: sequential,"
        " simultaneous, bigger tank, fewer stages (got 'sequental')"
    )
    with pytest.raises(ScenarioError, match="no such alternative"):
        read(pad, "sequental")


def test_a_file_may_state_no_alternatives(tmp_path: Path) -> None:
    """Then none can be asked for."""
    assert said(tmp_path, PAD[: PAD.index("alternatives:")], "other") == [
        "pad.yaml:1: no such alternative; the scenario states none (got 'other')"
    ]


SEQUENTIAL = "  sequential: {strategy.wells_in_rotation: 1}"
KNOWN = ", ".join(key for key in AsWritten.model_fields if key not in {"alternatives", "uncertain", "choices"})
WHERE = "pad.yaml:34: alternatives.sequential"


@pytest.mark.parametrize(
    ("patch", "lines"),
    [
        (
            "stragegy.wells_in_rotation: 1",
            [
                f"{WHERE}.stragegy.wells_in_rotation: unknown path: nothing there is called 'stragegy'; did you mean"
                f" 'strategy'; known there: {KNOWN}"
            ],
        ),
        (
            "strategy.wells_in_rotaton: 1",
            [
                f"{WHERE}.strategy.wells_in_rotaton: unknown path: nothing there is called 'wells_in_rotaton'; did you"
                " mean 'wells_in_rotation'; known there:"
                f" {', '.join(Strategy.model_fields)}"
            ],
        ),
        (
            "wells.Heron 9.stages: 3",
            [
                f"{WHERE}.wells.Heron 9.stages: unknown path: nothing there is called 'Heron 9'; did you mean"
                " 'Heron 4'; known there: Heron 1, Heron 2, Heron 3, Heron 4"
            ],
        ),
        (
            "water.storage.capacity.big: 3",
            [
                f"{WHERE}.water.storage.capacity.big: unknown path: '60 kbbl' has no 'big'; expected a path to the"
                " whole value"
            ],
        ),
        (
            "wells.Heron 4.stage_design.pump_time.gamma.cv: 3",
            [
                f"{WHERE}.wells.Heron 4.stage_design.pump_time.gamma.cv: unknown path: nothing there is called 'gamma';"
                " known there: lognormal"
            ],
        ),
        (
            "alternatives.fewer stages: 3",
            [
                f"{WHERE}.alternatives.fewer stages: unknown path: nothing there is called 'alternatives'; known there:"
                f" {KNOWN}"
            ],
        ),
        (
            "well_defaults.name: Heron",
            [f"{WHERE}.well_defaults.name: cannot be shared; expected a name in each well"],
        ),
        (
            "strategy.pumped_together: none",
            [f"{WHERE}.strategy.pumped_together: expected a whole number (got 'none')"],
        ),
        (
            "strategy: {pumped_together: 0}",
            [f"{WHERE}.strategy.pumped_together: expected 1 or more (got 0)"],
        ),
        (
            "wells.Heron 1.stages: 3, water.storage.fill_to: 61 kbbl",
            [
                f"{WHERE}.water.storage.fill_to: more than the storage holds; expected at most its capacity, 60,000 bbl"
                " (got '61 kbbl')"
            ],
        ),
        (
            "water.storage.capacity: 40 kbbl",
            [
                "pad.yaml:29: water.storage.fill_to: more than the storage holds; expected at most its capacity,"
                " 40,000 bbl (under alternative 'sequential') (got '50 kbbl')"
            ],
        ),
    ],
)
def test_each_slip_in_a_patch_is_one_plain_line(tmp_path: Path, patch: str, lines: list[str]) -> None:
    """A path to nowhere is told where it is written; so is a value; a contradiction names the alternative."""
    assert said(tmp_path, changed((SEQUENTIAL, f"  sequential: {{{patch}}}"))) == lines


def test_a_slip_of_the_base_is_not_repeated_by_its_alternatives(tmp_path: Path) -> None:
    """Four alternatives on a faulty base make one line, also where they lead through the fault."""
    assert said(tmp_path, changed(("{count: 2, run_in: 250 ft/min}", "[]"))) == [
        "pad.yaml:19: units.wireline_units: an empty list; expected at least one entry"
    ]


def test_a_section_in_a_patch_is_merged(tmp_path: Path) -> None:
    """What a patch does not say stays; a duration is replaced as a whole."""
    file = tmp_path / "pad.yaml"
    patch = "strategy: {pumped_together: 2}, wells.Heron 4: {stage_design: {pump_time: {uniform: [1 h, 2 h]}}}"
    file.write_text(changed((SEQUENTIAL, f"  sequential: {{{patch}}}")))
    patched = load(file, "sequential")
    assert patched.strategy.order == load(file).strategy.order
    assert patched.wells[3].stage_design.fluid == 9500
