"""Setting any single value of a scenario by its path, from anywhere."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from sim.scenario import Document, Place, Scenario, ScenarioError, paths, read, set_path, stated, validate
from sim.scenario.durations import DesignDuration
from sim.scenario.shapes import Pert, Triangular
from tests.scenario.files import FULL, PAD, changed, said

HERE = Place("sweep", 0)


@pytest.fixture
def document(tmp_path: Path) -> Document:
    """The valid pad as read."""
    file = tmp_path / "pad.yaml"
    file.write_text(PAD)
    return read(file)


def value_at(scenario: Scenario, path: str) -> Any:
    """What stands in a scenario at a path, entries by their number."""
    here: Any = scenario
    for step in path.split("."):
        here = here[int(step)] if step.isdigit() else getattr(here, step)
    return here


@pytest.mark.parametrize(
    ("path", "value", "found_at", "found"),
    [
        ("horizon", "100 day", "horizon", 2400),
        ("wells.Heron 3.toe.method", "toe sleeve", "wells.2.toe.method", "toe sleeve"),
        ("wells.Heron 3.toe", "toe sleeve", "wells.2.toe.time", 5),
        ("well_defaults.toe.time", "7 h", "wells.0.toe.time", 7),
        ("well_defaults.toe.time", "7 h", "wells.2.toe.time", 5),
        ("well_defaults.stage_length", "100 ft", "wells.0.stage_count", 100),
        ("well_defaults.stage_length", "100 ft", "wells.2.stage_count", 40),
        ("wells.Heron 1.injection_test.volume", "9 bbl", "wells.0.injection_test.volume", 9),
        ("wells.Heron 2.injection_test", None, "wells.1.injection_test", None),
        ("units.pumping_fleets.rate_limit", "9 bbl/min", "units.pumping_fleets.0.rate_limit", 540),
        ("units.pumping_fleets.Fleet A.count", 2, "units.pumping_fleets.0.count", 2),
        ("units.milling_rigs.per_plug", "6 min", "units.milling_rigs.0.per_plug", 0.1),
        ("units.milling_rigs.per_plug.pert", ["1 h", "2 h", "3 h"], "units.milling_rigs.0.per_plug", Pert(1, 2, 3)),
        ("strategy.swap.time", "1 h", "strategy.swap.time", 1),
        ("strategy.wells_in_rotation", [1, 3], "strategy.wells_in_rotation", (1, 3)),
    ],
)
def test_any_value_can_be_set(document: Document, path: str, value: object, found_at: str, found: object) -> None:
    """Stated or not, below a list, a default or a short form: the path leads there."""
    assert value_at(validate(set_path(document, path, value, HERE)), found_at) == found


@pytest.mark.parametrize(
    ("path", "value", "found_at", "found"),
    [
        ("trouble_factor", 0, "trouble_factor", 0),
        ("facility.limit", "1200 bbl/h", "facility.limit", 1200),
        ("shifts.every", "12 h", "shifts.changes_at", [6.5, 18.5]),
        ("weather.spells.march.bad", "1 day", "weather.spells.march.bad", 24),
        ("weather.stand_down", "1 h", "weather.stand_down", 1),
        ("well_defaults.pressure.margin", "8 %", "wells.0.pressure.margin", 0.08),
        ("well_defaults.pressure.stack_rating", "12000 psi", "wells.2.pressure.stack_rating", 15_000),
        ("well_defaults.production.peak", "9 bbl/h", "wells.0.production.peak", 9),
        ("units.frac_stacks", None, "units.frac_stacks", None),
        ("units.preparation_crews.Testers.does", ["toe preparation", "injection test", "nipple up"],
         "units.preparation_crews.1.does", ("toe preparation", "injection test", "nipple up")),
        ("units.pumping_fleets.Fleet A.learning.doubling", "90 %", "units.pumping_fleets.0.learning.doubling", 0.9),
        ("units.flowback_spreads.choke_steps", ["1 h", "2 h"], "units.flowback_spreads.0.choke_steps", (1, 2)),
        ("strategy.keep_clear_distance", "31 ft", "strategy.wells_between", 1),
    ],
)  # fmt: skip
def test_any_value_of_the_field_can_be_set(
    tmp_path: Path, path: str, value: object, found_at: str, found: object
) -> None:
    """Also in sections that only some scenarios have."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL)
    assert path in paths(read(file))
    assert value_at(validate(set_path(read(file), path, value, HERE)), found_at) == found


def test_troubles_are_set_together(tmp_path: Path) -> None:
    """What the value says of one lies on what the scenario says of it; the others stay."""
    file = tmp_path / "pad.yaml"
    file.write_text(FULL)
    patched = validate(set_path(read(file), "troubles", {"screen-out": {"chance": "4 %"}, "stuck bit": {}}, HERE))
    assert list(patched.troubles) == ["screen-out", "misrun", "pump failure", "power cut", "stuck bit"]
    assert [trouble.chance for trouble in patched.activity_troubles.values()] == [0.04, None, 0.03, 0.05]


def test_a_part_of_a_default_keeps_the_rest(document: Document) -> None:
    """Varying the factor of a duration that nobody stated leaves what is added to it as it was."""
    patched = validate(set_path(document, "wells.Heron 1.stage_design.pump_time.from_design.factor", 1.3, HERE))
    time = patched.wells[0].stage_design.pump_time
    assert isinstance(time, DesignDuration)
    assert time.from_design.factor == 1.3
    assert time.from_design.plus == Triangular(10 / 60, 12 / 60, 20 / 60)


def test_a_short_form_opens_for_a_path(tmp_path: Path) -> None:
    """What is stated as 'from design' has a factor all the same."""
    file = tmp_path / "pad.yaml"
    file.write_text(changed(("{lognormal: {P10: 90 min, P90: 210 min}}", "from design")))
    path = "wells.Heron 4.stage_design.pump_time.from_design.factor"
    time = validate(set_path(read(file), path, 1.3, HERE)).wells[3].stage_design.pump_time
    assert isinstance(time, DesignDuration)
    assert (time.from_design.factor, time.from_design.plus) == (1.3, 0)


def test_a_bare_entry_goes_by_its_name_too(tmp_path: Path) -> None:
    """One fleet may be stated without a list; a path with its name stays right."""
    file = tmp_path / "pad.yaml"
    file.write_text(changed(("  pumping_fleets:\n    - {name: Fleet A", "  pumping_fleets:\n    {name: Fleet A")))
    document = read(file)
    for path in ("units.pumping_fleets.Fleet A.count", "units.pumping_fleets.count"):
        assert validate(set_path(document, path, 3, HERE)).units.pumping_fleets[0].count == 3


def test_a_document_is_never_changed(document: Document) -> None:
    """Setting a value gives another document."""
    before = stated(document)
    set_path(document, "wells.Heron 1.stages", 3, HERE)
    assert stated(document) == before


def test_a_path_to_nowhere_is_told(document: Document) -> None:
    """The place is the path itself."""
    with pytest.raises(ScenarioError) as refused:
        set_path(document, "wells.Heron 1.stagges", 3, HERE)
    assert str(refused.value).startswith(
        "sweep: wells.Heron 1.stagges: unknown path: nothing there is called 'stagges'; did you mean 'stages';"
    )


def test_a_path_through_something_else_is_told(tmp_path: Path) -> None:
    """A path cannot lead through what is not there to be gone through."""
    file = tmp_path / "pad.yaml"
    file.write_text(changed(("{count: 2, run_in: 250 ft/min}", "two")))
    with pytest.raises(ScenarioError, match=r"sweep: units\.wireline_units\.count: unknown path: 'two' has no"):
        set_path(read(file), "units.wireline_units.count", 3, HERE)


def test_entries_without_a_name_cannot_be_told_apart(tmp_path: Path) -> None:
    """The message says what is missing."""
    text = changed(("{count: 2, run_in: 250 ft/min}", "[{count: 2}, {count: 1}]"))
    assert said(tmp_path, text) == [
        "pad.yaml:40: alternatives.fewer stages.units.wireline_units.count: unknown path: nothing there is called"
        " 'count'; no entry there has a name to go by"
    ]


def test_every_listed_path_can_be_set(document: Document) -> None:
    """Each path leads somewhere; setting it to what no field takes is refused there or nearby, never silently lost."""
    listed = paths(document)
    assert len(listed) == len(set(listed)) > 150
    for expected in (
        "horizon",
        "well_defaults.stage_design.fluid",
        "wells.Heron 2.injection_test.volume",
        "wells.Heron 1.stage_design.pump_time.from_design.factor",
        "wells.Heron 4.stage_design.pump_time.lognormal.P90",
        "units.pumping_fleets.Fleet A.rate_limit",
        "units.wireline_units.count",
        "water.sources.River intake.rate",
        "strategy.swap.time",
    ):
        assert expected in listed
    assert not any(path.startswith("alternatives") for path in listed)
    for path in listed:
        with pytest.raises(ScenarioError, match=r"sweep: "):
            validate(set_path(document, path, {"no such key": 3.5}, HERE))
