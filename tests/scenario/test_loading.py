"""From file to scenario: what wells share, and one plain line for everything that is wrong."""

from __future__ import annotations

import json
import pickle
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from sim.scenario import Place, Scenario, ScenarioError, load, load_stated, read, set_path, stated, validate
from sim.scenario.durations import DesignDuration
from sim.scenario.shapes import Lognormal
from sim.scenario.wells import Well
from tests.scenario.files import FULL, PAD, changed, said

ROOT = Path(__file__).parents[2]


@pytest.fixture
def pad(tmp_path: Path) -> Path:
    """The valid pad as a file."""
    file = tmp_path / "pad.yaml"
    file.write_text(PAD)
    return file


def nested(levels: int) -> object:
    """A list in a list in a list."""
    return [nested(levels - 1)] if levels else 1


def test_what_wells_share_lies_under_each(pad: Path) -> None:
    """A well takes over what it does not state, key by key; its own word counts."""
    wells = load(pad).wells
    assert [well.stage_count for well in wells] == [50, 50, 40, 50]
    assert {well.toe.method for well in wells} == {"wet shoe"}
    assert [well.toe.time for well in wells] == [None, None, 5.0, None]
    assert {well.stage_design.fluid for well in wells} == {9500.0}
    assert isinstance(wells[3].stage_design.pump_time, Lognormal)


def test_a_duration_is_replaced_as_a_whole(tmp_path: Path) -> None:
    """A well that states another distribution does not inherit parts of the shared one."""
    shared = ("rate: 90 bbl/min}", "rate: 90 bbl/min, pump_time: {from_design: {plus: 12 min}}}")
    file = tmp_path / "pad.yaml"
    file.write_text(changed(shared))
    wells = load(file).wells
    assert isinstance(wells[0].stage_design.pump_time, DesignDuration)
    assert isinstance(wells[3].stage_design.pump_time, Lognormal)


def test_hour_zero_is_the_start(pad: Path) -> None:
    """Dates are local times; hours count from the start."""
    scenario = load(pad)
    assert scenario.hours_at(datetime(2027, 3, 8)) == 162
    assert scenario.horizon == 5760


@pytest.mark.parametrize(
    ("text", "alternative"),
    [(PAD, name) for name in (None, "sequential", "simultaneous", "bigger tank", "fewer stages")]
    + [(FULL, name) for name in (None, "simultaneous", "stormy")],
)
def test_plain_data_states_the_same_scenario(tmp_path: Path, text: str, alternative: str | None) -> None:
    """What a run writes down of its scenario, through JSON and back, is the scenario."""
    file = tmp_path / "pad.yaml"
    file.write_text(text)
    written = json.loads(json.dumps(stated(read(file, alternative))))
    assert load_stated(written) == load(file, alternative)


def test_a_scenario_travels_to_workers(tmp_path: Path) -> None:
    """A copy that went through a pickle is the same scenario."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL)
    assert pickle.loads(pickle.dumps(load(file))) == load(file)


def test_alternatives_of_plain_data(pad: Path) -> None:
    """Also written down, an alternative patches what all wells share before they take it over."""
    written = json.loads(json.dumps(stated(read(pad))))
    assert load_stated(written, "fewer stages") == load(pad, "fewer stages")


def test_reading_and_validating_is_loading(pad: Path) -> None:
    """The two steps may be taken apart."""
    assert validate(read(pad)) == load(str(pad))


def test_dates_as_dates_are_taken_as_well(pad: Path) -> None:
    """Plain data may hold dates as dates."""
    data = stated(read(pad)) | {"start": datetime(2027, 3, 1, 6)}
    assert load_stated(data) == load(pad)


def test_problems_of_plain_data_have_no_line(pad: Path) -> None:
    """What was never in a file is placed by its path alone."""
    with pytest.raises(ScenarioError) as refused:
        load_stated(stated(read(pad)) | {"start": "soon"})
    assert str(refused.value) == (
        "scenario: start: not a date; expected for example 2027-03-01 or 2027-03-01 06:00 (got 'soon')"
    )


@pytest.mark.parametrize(
    ("data", "line"),
    [
        ({"wells": {1: "a"}}, "scenario: wells: a key that is not text (got 1)"),
        ({"wells": nested(61)}, "scenario: wells" + "[item 1]" * 60 + ": nested more than 60 levels deep"),
    ],
)
def test_plain_data_is_no_less_plain_than_a_file(data: dict[str, object], line: str) -> None:
    """Keys are text, and nothing nests without end."""
    with pytest.raises(ScenarioError) as refused:
        load_stated(data)
    assert str(refused.value) == line


def test_plain_data_may_lack_the_alternative(pad: Path) -> None:
    """As a file may."""
    with pytest.raises(ScenarioError, match=r"scenario: alternatives: no such alternative; known alternatives: seq"):
        load_stated(stated(read(pad)), "other")


def test_a_slip_in_what_wells_share_is_told_once(tmp_path: Path) -> None:
    """It is one thing to change, in the line where it stands, however many wells take it over."""
    text = changed(("stages: 50", "stagges: 50"), ("measured_depth: 20500 ft", "measured_depth: 20500 bbl"))
    assert said(tmp_path, text)[:2] == [
        "pad.yaml:5: well_defaults.measured_depth: 'bbl' is a volume; expected a length such as '20500 ft' or '6250 m'"
        " (got '20500 bbl')",
        "pad.yaml:7: well_defaults.stagges: unknown key; did you mean 'stages'; known keys:"
        f" {', '.join(Well.model_fields)}",
    ]


def test_a_slip_in_what_no_well_takes_over_is_told_as_well(tmp_path: Path) -> None:
    """No line of the file is ignored in silence."""
    text = changed(
        ("  stages: 50", "  rig_release: soon\n  stages: 50"), ("Heron 4,", "Heron 4, rig_release: 2027-02-26,")
    )
    assert said(tmp_path, text) == [
        "pad.yaml:7: well_defaults.rig_release: not a date; expected for example 2027-03-01 or 2027-03-01 06:00"
        " (got 'soon')"
    ]


def test_what_wells_share_has_keys(tmp_path: Path) -> None:
    """A number is nothing that wells could share."""
    lines = said(tmp_path, changed(("well_defaults:\n", "well_defaults: 3\nold:\n")))
    assert "pad.yaml:4: well_defaults: expected keys with values, as in a well" in lines


def test_a_shared_name_is_refused(tmp_path: Path) -> None:
    """Wells have no name in common."""
    text = changed(("  stages: 50", "  name: Heron\n  stages: 50"))
    assert said(tmp_path, text) == ["pad.yaml:7: well_defaults.name: cannot be shared; expected a name in each well"]


def test_everything_is_told_at_once(tmp_path: Path) -> None:
    """Keys stated twice, slips, contradictions and paths to nowhere come together, in the order of the lines."""
    text = changed(
        ("horizon: 240 day", "horizon: 240 day\nhorizon: 200 day"),
        ("rate_limit: 120 bbl/min", "rate_limit: 120"),
        ("name: Heron 2,", "name: Heron 1,"),
        ("fill_to: 50 kbbl", "fill_to: 70 kbbl"),
        ("strategy.pumped_together: 2", "strategy.pumped_togther: 2"),
    )
    lines = said(tmp_path, text)
    assert [line.split(": ")[:2] for line in lines] == [
        ["pad.yaml:4", "horizon"],
        ["pad.yaml:13", "wells.Heron 1.name"],
        ["pad.yaml:19", "units.pumping_fleets.Fleet A.rate_limit"],
        ["pad.yaml:30", "water.storage.fill_to"],
        ["pad.yaml:33", "strategy.order[item 1]"],
        ["pad.yaml:38", "alternatives.simultaneous.strategy.pumped_togther"],
    ]


def test_a_long_list_of_problems_is_cut(tmp_path: Path) -> None:
    """Nobody reads a thousand lines; how many more there are is said."""
    lines = said(tmp_path, PAD + "".join(f"key{number}: 1\n" for number in range(1000)))
    assert len(lines) == 201
    assert lines[-1] == "and 800 more"


def test_problems_survive_the_way_between_processes(tmp_path: Path) -> None:
    """An error raised in a worker arrives whole."""
    with pytest.raises(ScenarioError) as refused:
        load(tmp_path / "gone.yaml")
    assert pickle.loads(pickle.dumps(refused.value)).problems == refused.value.problems


def test_nothing_in_a_message_obeys_a_terminal(tmp_path: Path) -> None:
    """Control characters and line breaks from the file are shown as question marks, long text is cut."""
    lines = said(tmp_path, changed(("  - {name: Heron 1,", '  - {name: "He\\nron\\e[31m' + "x" * 500 + '",')))
    place = "pad.yaml:11: wells.He?ron?[31m" + "x" * 46 + "....name"
    assert lines[0] == f"{place}: expected text of at most 60 letters (got 'He?ron?[31m{'x' * 46}...')"


def test_workers_need_neither_yaml_nor_units() -> None:
    """A process that only holds a scenario loads nothing that reads or shows one, nor any heavy library but numpy."""
    code = (
        "import sys, sim.scenario.scenario;"
        "heavy = {'ruamel', 'pint', 'pandas', 'scipy', 'matplotlib', 'pyarrow', 'rich'};"
        "print(sorted({name.split('.')[0] for name in sys.modules} & heavy))"
    )
    asked = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert asked.stdout == "[]\n"


def test_the_front_door_is_complete() -> None:
    """Every name that the package promises can be had from it, and no other."""
    import sim.scenario

    for name in sim.scenario.__all__:
        assert getattr(sim.scenario, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'lode'"):
        sim.scenario.lode  # noqa: B018


@pytest.mark.parametrize("file", sorted((ROOT / "scenarios").glob("*.yaml")), ids=lambda file: file.stem)
def test_demo_scenarios_are_valid(file: Path) -> None:
    """Every scenario that comes with the project can be loaded, with all its alternatives."""
    assert isinstance(load(file), Scenario)


def test_a_patched_document_names_its_place(pad: Path) -> None:
    """A value set from elsewhere is refused where it came from."""
    document = set_path(read(pad), "wells.Heron 1.stages", "many", Place("sweep", 0))
    with pytest.raises(ScenarioError) as refused:
        validate(document)
    assert str(refused.value) == "sweep: wells.Heron 1.stages: expected a whole number (got 'many')"
