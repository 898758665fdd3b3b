"""The list of defaults that a scenario rests on."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from sim.scenario import defaults_used, load
from sim.scenario.defaults import DefaultUsed
from tests.scenario.files import BASE, FULL, PAD, changed

YEAR = "".join(f"{date(2020, 1, 1) + timedelta(days=day)},0\n" for day in range(366))


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


@pytest.mark.parametrize(
    "default",
    [
        DefaultUsed("troubles.screen-out.chance", "1.5 %", "common practice", "chance that a job is struck"),
        DefaultUsed("troubles.screen-out.lost", "{triangular: [4 h, 8 h, 30 h]}", "assumption", "hours lost each time"),
        DefaultUsed("troubles.screen-out.then", "resume", "assumption", "then"),
        DefaultUsed("troubles.misrun.then", "repeat", "assumption", "then"),
        DefaultUsed(
            "troubles.pump failure.every",
            "100 h",
            "common practice",
            "mean pumping hours of one pump between failures",
        ),
        DefaultUsed("troubles.pump failure.repair_crews", "2", "assumption", "repair crews"),
        DefaultUsed(
            "units.wireline_units.learning.doubling",
            "95 %",
            "drilling rigs, Redlinger 2015: order of magnitude only",
            "doubling",
        ),
        DefaultUsed(
            "wells.*.pressure.fracture_gradient",
            "0.8 psi/ft",
            "assumption",
            "pressure that opens the rock, per depth",
        ),
        DefaultUsed(
            "wells.*.pressure.stack_rating",
            "10000 psi",
            "common practice",
            "rated pressure of the frac stack (in 3 of 4)",
        ),
        DefaultUsed("wells.*.production.b", "1", "assumption", "Arps exponent: 0 exponential, 1 harmonic"),
    ],
)
def test_a_default_of_the_field_is_listed_with_its_source(tmp_path: Path, default: DefaultUsed) -> None:
    """Also what is usual of a trouble, key by key, unless it is stated."""
    assert default in used(tmp_path, FULL)


@pytest.mark.parametrize(
    "path",
    [
        "troubles",
        "troubles.misrun.every",
        "troubles.misrun.chance",
        "troubles.screen-out.strikes",
        "troubles.pump failure.repair",
        "troubles.power cut.then",
        "wells.*.pressure.margin",
        "wells.*.casing_inside_diameter",
        "wells.*.stage_design.pad",
        "wells.*.stage_design.proppant",
        "units.pumping_fleets.Fleet A.learning",
        "units.pumping_fleets.Fleet A.pump_power",
        "units.milling_rigs.sweep",
        "units.flowback_spreads.duration",
        "weather",
        "weather.stand_down",
        "shifts",
        "shifts.first_at",
        "facility",
    ],
)
def test_what_is_stated_or_counts_for_nothing_is_not_listed(tmp_path: Path, path: str) -> None:
    """What is stated in full, what other figures take the place of, and what nothing asks for."""
    assert path not in {default.path for default in used(tmp_path, FULL)}


def test_a_section_that_is_not_stated_is_one_default(tmp_path: Path) -> None:
    """Nothing of what would stand in it is listed, nor what only counts beside it."""
    paths = [default.path for default in used(tmp_path, BASE)]
    for section in ("shifts", "weather", "facility", "wells.*.pressure", "wells.*.production"):
        assert [path for path in paths if path == section or path.startswith(f"{section}.")] == [section]
    assert not [path for path in paths if path.startswith("troubles")]
    for path in ("wells.*.casing_inside_diameter", "wells.*.stage_design.pad", "units.milling_rigs.sweep"):
        assert path not in paths
    assert "strategy.well_spacing" not in paths


@pytest.mark.parametrize(
    ("section", "default"),
    [
        (
            "weather: {table: weather.csv, stops: {everything: lightning}}",
            DefaultUsed(
                "weather.stand_down",
                "30 min",
                "OSHA-NOAA, Lightning Safety When Working Outdoors",
                "added after an hour with lightning",
            ),
        ),
        ("shifts: {}", DefaultUsed("shifts.crew_change", "30 min", "common practice", "crew change")),
        ("shifts: {}", DefaultUsed("shifts.every", "12 h", "common practice", "every")),
        (
            "troubles: {stuck bit: {chance: 8 %}}",
            DefaultUsed(
                "troubles.stuck bit.lost",
                "{triangular: [12 h, 30 h, 60 h]}",
                "30 h of a trip to change tools: common practice; spread: assumption",
                "hours lost each time",
            ),
        ),
        (
            "troubles: {power cut: {strikes: trip in, chance: 2 %, lost: 2 h}}",
            DefaultUsed("troubles.power cut.then", "resume", "assumption", "then"),
        ),
    ],
)
def test_a_section_lists_what_it_leaves_open(tmp_path: Path, section: str, default: DefaultUsed) -> None:
    """As soon as it is stated at all."""
    (tmp_path / "weather.csv").write_text("date,lightning\n" + YEAR)
    assert default in used(tmp_path, f"{BASE}{section}\n")
