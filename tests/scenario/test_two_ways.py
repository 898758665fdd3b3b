"""What can be said in two ways is one value: said the other way, a well's own replaces what is shared."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import Scenario, ScenarioError, load
from tests.scenario.files import changed

SHARED = "stage_design: {fluid: 9500 bbl, proppant: 440 klb, rate: 90 bbl/min}"
BY_THE_FOOT = "stage_design: {fluid_per_length: 45 bbl/ft, pad: 300 bbl, proppant_per_length: 2000 lb/ft}"
OWN = "{name: Heron 1, rig_release: 2027-02-10}"


def with_own(folder: Path, own: str, shared: str = SHARED) -> Path:
    """The pad with a stage design of Heron 1's own over the shared one."""
    file = folder / "pad.yaml"
    file.write_text(changed((SHARED, shared), (OWN, f"{{name: Heron 1, stage_design: {own}}}")))
    return file


def designs(scenario: Scenario) -> list[tuple[float | None, ...]]:
    """Fluid, fluid by the foot, pad, proppant and proppant by the foot of the first two wells."""
    of = [well.stage_design for well in scenario.wells[:2]]
    return [(each.fluid, each.fluid_per_length, each.pad, each.proppant, each.proppant_per_length) for each in of]


def test_own_design_by_the_foot_replaces_a_shared_one_by_the_stage(tmp_path: Path) -> None:
    """Of Heron 1 alone; the other wells keep what they share."""
    own = "{fluid_per_length: 40 bbl/ft, proppant_per_length: 2100 lb/ft}"
    assert designs(load(with_own(tmp_path, own))) == [(None, 40, 0, None, 2100), (9500, None, 0, 440_000, None)]


def test_own_design_by_the_stage_replaces_a_shared_one_by_the_foot(tmp_path: Path) -> None:
    """With its pad, which counts only on top of fluid by the foot."""
    found = designs(load(with_own(tmp_path, "{fluid: 9000 bbl, proppant: 400 klb}", BY_THE_FOOT)))
    assert found == [(9000, None, 0, 400_000, None), (None, 45, 300, None, 2000)]


def test_nothing_stated_replaces_nothing(tmp_path: Path) -> None:
    """A blank says nothing of the fluid, so the shared one stays."""
    assert designs(load(with_own(tmp_path, "{fluid_per_length: null}")))[0][:2] == (9500, None)


def test_both_ways_in_one_place_are_still_refused(tmp_path: Path) -> None:
    """Nobody can tell which of two is meant."""
    own = "{fluid: 9000 bbl, fluid_per_length: 40 bbl/ft}"
    with pytest.raises(ScenarioError, match=r"Heron 1\.stage_design\.fluid_per_length: stands beside fluid"):
        load(with_own(tmp_path, own))
