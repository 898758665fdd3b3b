"""The list of defaults that a scenario rests on."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import defaults_used, load
from sim.scenario.defaults import DefaultUsed
from tests.scenario.files import PAD, changed


def used(folder: Path, text: str) -> list[DefaultUsed]:
    file = folder / "pad.yaml"
    file.write_text(text)
    return defaults_used(load(file))


@pytest.mark.parametrize(
    "default",
    [
        DefaultUsed("wells.*.preparation.nipple_up", "{triangular: [6 h, 8 h, 12 h]}", "common practice", "nipple up"),
        DefaultUsed(
            "wells.*.toe.time",
            "{triangular: [1 h, 2 h, 4 h]}",
            "common practice",
            "hours of toe preparation by wet shoe (in 3 of 4)",
        ),
        DefaultUsed("wells.Heron 4.rig_release", "before the start", "assumption", "when the drilling rig is off"),
        DefaultUsed("wells.Heron 2.injection_test.rate", "4 bbl/min", "common practice", "rate"),
        DefaultUsed(
            "units.pumping_fleets.Fleet A.rig_down", "{triangular: [12 h, 24 h, 36 h]}", "assumption", "rig down"
        ),
        DefaultUsed("units.wireline_units.plug_and_perforate", "15 min", "common practice", "plug and perforate"),
        DefaultUsed("water.storage.on_hand", "0 bbl", "empty when erected", "on hand"),
        DefaultUsed("strategy.next_well", "alternate", "assumption", "next well"),
    ],
)
def test_a_default_is_listed_with_its_source(tmp_path: Path, default: DefaultUsed) -> None:
    """Path, value as one would write it, source, meaning; what several entries share is listed once."""
    assert default in used(tmp_path, PAD)


@pytest.mark.parametrize(
    ("old", "new", "path"),
    [
        ("  toe: wet shoe\n", "  toe: {method: wet shoe, time: 3 h}\n", "wells.*.toe.time"),
        ("  toe: wet shoe\n", "  preparation: {nipple_up: 7 h}\n", "wells.*.preparation.nipple_up"),
        ("run_in: 250 ft/min", "plug_and_perforate: 12 min", "units.wireline_units.plug_and_perforate"),
        ("wells_in_rotation: 2", "next_well: alternate", "strategy.next_well"),
    ],
)
def test_what_is_stated_is_not_listed(tmp_path: Path, old: str, new: str, path: str) -> None:
    """Not even where the stated value is the default."""
    assert path in {default.path for default in used(tmp_path, PAD)}
    assert path not in {default.path for default in used(tmp_path, changed((old, new)))}


def test_what_is_left_out_as_a_whole_is_listed(tmp_path: Path) -> None:
    """Without water the plan assumes that it is never short, and that is said."""
    text = PAD[: PAD.index("water:")] + "strategy: {wells_in_rotation: 2}\n"
    assert DefaultUsed("water", "never short", "assumption", "sources, transfer and storage of water") in used(
        tmp_path, text
    )


def test_times_from_the_design_tell_what_is_not_added(tmp_path: Path) -> None:
    """A stated computation without ramp-up is a choice that one should see."""
    text = changed(("{lognormal: {P10: 90 min, P90: 210 min}}", "from design"))
    assert DefaultUsed(
        "wells.Heron 4.stage_design.pump_time.from_design.plus",
        "0 h",
        "nothing added",
        "is added to the computed time",
    ) in used(tmp_path, text)


def test_every_default_has_a_source(tmp_path: Path) -> None:
    """No number without somebody's word for it."""
    listed = used(tmp_path, PAD)
    assert len(listed) > 40
    assert all(default.path and default.value and default.source and default.description for default in listed)
    assert len({default.path for default in listed}) == len(listed)
