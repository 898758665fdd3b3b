"""Networks of water that lead nowhere, hold too little or may not deliver enough: named with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.scenario import ScenarioError, defaults_used, load
from sim.scenario.network_checks import open_hours
from sim.supplies.mean_flow import hours_to_bring, inflow_bbl_per_h
from tests.scenario.files import PAD, changed

SYSTEM = """water:
  sources:
    - {name: River intake, rate: 55 kbbl/day, daily_limit: 40 kbbl, outages: {up: 20 day, down: 10 h}, to: Pond}
    - {name: Wells, rate: 24 kbbl/day, hours: 06:00-18:00, to: Trunk}
    - {name: Produced, rate: 10 kbbl/day, stopped: {from: 2027-03-20, until: 2027-03-22}}
  ponds:
    - {name: Pond, capacity: 300 kbbl, on_hand: 100 kbbl, outlet: 60 kbbl/day, losses: 300 bbl/day, to: Trunk}
    - {name: Recycle, capacity: 50 kbbl, outlet: 20 kbbl/day, blend_limit: 30 %}
  lines:
    - {name: Trunk, limit: 48 kbbl/day}
  transfer: {limit: 70 kbbl/day}
  storage: {capacity: 60 kbbl, fill_to: 50 kbbl, working_minimum: 2 kbbl}
  flowback_to: Recycle
other_supplies:
  chemicals: {per_stage: 20 bbl, rate: 200 bbl/day, capacity: 100 bbl}
"""


def with_system(*changes: tuple[str, str]) -> str:
    """The pad of the other tests, with this water instead of its own."""
    begins = PAD.index("water:")
    ends = next(PAD.index(f"\n{key}:", begins) + 1 for key in ("strategy", "troubles") if f"\n{key}:" in PAD[begins:])
    system = SYSTEM
    for old, new in changes:
        assert old in system
        system = system.replace(old, new)
    return PAD[:begins] + system + PAD[ends:]


def loaded(folder: Path, text: str) -> list[str]:
    """What is wrong with the file, as lines."""
    file = folder / "pad.yaml"
    file.write_text(text)
    try:
        load(file)
    except ScenarioError as error:
        return [str(problem) for problem in error.problems]
    return []


def test_a_whole_network_is_sound_and_its_defaults_are_listed(tmp_path: Path) -> None:
    """Everything that can be stated of a water system; what is not stated has a sourced default."""
    assert loaded(tmp_path, with_system()) == []
    scenario = load(tmp_path / "pad.yaml")
    listed = {used.path: used.value for used in defaults_used(scenario)}
    assert listed["water.ponds.Recycle.losses"] == "0 bbl/day"
    assert listed["water.lines.Trunk.lay"] == "{triangular: [12 h, 24 h, 36 h]}"
    assert "water.storage.working_minimum" not in listed


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("to: Pond}", "to: Pnd}", "water.sources.River intake.to: no pond or line is called that; did you mean 'Pond'"),
        ("limit: 48 kbbl/day}", "limit: 48 kbbl/day, to: Pond}", "the water of Pond would come back to it"),
        ("outlet: 60 kbbl/day, ", "", "water.ponds.Pond: missing: outlet is required"),
        ("outlet: 60 kbbl/day, ", "outlet: 0 bbl/day, ", "water.ponds.Pond.outlet: must be more than zero"),
        ("blend_limit: 30 %", "blend_limit: 30 %, to: Trunk", "water.ponds.Recycle.blend_limit: a share of what flows"),
        ("on_hand: 100 kbbl", "on_hand: 400 kbbl", "water.ponds.Pond.on_hand: more than Pond holds"),
        ("2027-03-20, until: 2027-03-22", "2027-03-22, until: 2027-03-20", "water.sources.Produced.stopped"),
        ("{from: 2027-03-20, until: 2027-03-22}", "{from: 2026-03-20, until: 2037-03-22}", "Produced delivers nothing"),
        ("name: Recycle", "name: River intake", "water.ponds.River intake.name: an earlier entry has the same name"),
        ("name: Wells", "name: proppant", "water.sources.proppant.name: 'proppant' is what logs call something else"),
        ("name: Wells", "name: chemicals", "water.sources.chemicals.name: 'chemicals' is the name of a supply"),
        ("flowback_to: Recycle", "flowback_to: Trunk", "water.flowback_to: no pond is called that"),
        ("60 kbbl, fill_to: 50 kbbl", "10 kbbl, fill_to: 9 kbbl", "above its working minimum of 2,000 bbl"),
        ("working_minimum: 2 kbbl", "working_minimum: 60 kbbl", "working_minimum: nothing could be drawn"),
        ("per_stage: 20 bbl", "per_stage: 200 bbl", "chemicals.capacity: less than stage 1 of"),
        ("    - {name: Trunk", "    - {name: Spur, limit: 1 bbl/h}\n    - {name: Trunk", "nothing feeds Spur"),
        ("  flowback_to: Recycle\n", "", "water.ponds.Recycle: nothing feeds Recycle, and it holds nothing to draw"),
    ],
)  # fmt: skip
def test_each_slip_is_named(tmp_path: Path, old: str, new: str, message: str) -> None:
    """With its line, its path and what was expected."""
    said = loaded(tmp_path, with_system((old, new)))
    assert any(message in line for line in said), said
    assert all(line.startswith("pad.yaml:") or "pad.yaml:" in line for line in said)


def test_permits_below_what_the_pad_needs_are_refused(tmp_path: Path) -> None:
    """All permits, rates and ponds together up to the horizon are less than the stages take."""
    permit = ("daily_limit: 40 kbbl", "daily_limit: 1 bbl")
    wells, produced = ("rate: 24 kbbl/day", "rate: 1 bbl/day"), ("rate: 10 kbbl/day", "rate: 1 bbl/day")
    pond, back = ("on_hand: 100 kbbl", "on_hand: 1 kbbl"), ("flowback_to: Recycle", "")
    recycle = ("capacity: 50 kbbl", "capacity: 50 kbbl, on_hand: 1 kbbl")
    said = loaded(tmp_path, with_system(permit, wells, produced, pond, back, recycle))
    assert any(
        "water.sources: deliver at most" in line and "that stages, wireline runs and drill-outs take" in line
        for line in said
    ), said


def mean_kbbl_a_day(folder: Path, text: str, from_day: float = 0, to_day: float = 30, *, ponds: bool = False) -> float:
    """Mean inflow between two days from the start."""
    assert loaded(folder, text) == []
    scenario = load(folder / "pad.yaml")
    return 24 * inflow_bbl_per_h(scenario, 24 * from_day, 24 * to_day, ponds=ponds) / 1000


ALWAYS = (", stopped: {from: 2027-03-20, until: 2027-03-22}", "")  # nothing known beforehand stops any source


def test_mean_flow_of_a_network_by_hand(tmp_path: Path) -> None:
    """River 40 a day by its permit (55 x 20/20.42 is more), less losses 39.7; wells 12; the trunk passes 48; + 10."""
    assert mean_kbbl_a_day(tmp_path, with_system(ALWAYS)) == pytest.approx(48 + 10)
    wide = ("limit: 48 kbbl/day", "limit: 52 kbbl/day")
    assert mean_kbbl_a_day(tmp_path, with_system(ALWAYS, wide)) == pytest.approx(39.7 + 12 + 10)


def test_mean_flow_counts_seasons(tmp_path: Path) -> None:
    """From 1 March, 06:00: produced water stands still for 42 h of the 48 from day 19 on, and for two days of ten."""
    assert mean_kbbl_a_day(tmp_path, with_system(), 14, 24) == pytest.approx(48 + 8)
    assert mean_kbbl_a_day(tmp_path, with_system(), 21, 31) == pytest.approx(48 + 10)
    assert mean_kbbl_a_day(tmp_path, with_system(), 19, 21) == pytest.approx(48 + 10 * 6 / 48)


def test_mean_flow_counts_the_blend_limit(tmp_path: Path) -> None:
    """The recycle pond could pass on 20 a day for ten days; at 20 % of the whole it passes on a fifth of 58 / 0.8."""
    full = ("capacity: 50 kbbl, outlet: 20", "capacity: 500 kbbl, on_hand: 500 kbbl, outlet: 20")
    fifth = ("blend_limit: 30 %", "blend_limit: 20 %")
    wide = ("limit: 70 kbbl/day", "limit: 100 kbbl/day")
    half = ("blend_limit: 30 %", "blend_limit: 50 %")
    assert mean_kbbl_a_day(tmp_path, with_system(ALWAYS, full, fifth, wide), ponds=True) == pytest.approx(58 / 0.8)
    by_outlet = mean_kbbl_a_day(tmp_path, with_system(ALWAYS, full, half, wide), ponds=True, to_day=10)
    assert by_outlet == pytest.approx(58 + 20)


def test_filling_counts_on_ponds_and_seasons(tmp_path: Path) -> None:
    """Trunk 48 and produced 10 a day from the first day on: 50 kbbl in 50 / 58 days; later at the pond's outlet too."""
    text = with_system(ALWAYS, ("limit: 48 kbbl/day", "limit: 100 kbbl/day"))
    assert loaded(tmp_path, text) == []
    scenario = load(tmp_path / "pad.yaml")
    assert hours_to_bring(scenario, 50_000, 0.0) == pytest.approx(24 * 50 / 70)  # the transfer line's limit
    assert hours_to_bring(scenario, 0, 0.0) == 0
    assert hours_to_bring(scenario, 1e9, 0.0) == pytest.approx(scenario.horizon)


def test_open_hours_by_hand(tmp_path: Path) -> None:
    """From the start to the horizon, less two days."""
    assert loaded(tmp_path, with_system()) == []
    scenario = load(tmp_path / "pad.yaml")
    assert scenario.water is not None
    assert open_hours(scenario, scenario.water.sources[2], 0.0, scenario.horizon) == scenario.horizon - 48
    assert changed() == PAD
