"""The limits of a plan: derived from what it states, each a valid plan once lifted, and lifted as its name says."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given

from analysis.relaxing.limits import Limit, limits_of
from analysis.relaxing.limits_written import halved
from analysis.relaxing.relaxed_plans import BadRelaxationError, lifted, limits_asked, plans_of
from sim.scenario import Document, Place, Scenario, ScenarioError, load, read, validate
from sim.scenario.document import node_of
from sim.scenario.equipment import individuals
from sim.scenario.shapes import Triangular
from tests.sim.stated_times import Stated
from tests.sim.strategies import sampled, stated_pads

EXAMPLE = Path(__file__).parents[2] / "scenarios" / "six_well_pad.yaml"
BARE: dict[str, Any] = {
    "start": "2027-03-01",
    "wells": [
        {
            "name": "Heron 1",
            "measured_depth": "15000 ft",
            "lateral_length": "5000 ft",
            "stages": 2,
            "stage_design": {"fluid": "9000 bbl"},
        }
    ],
    "units": {
        "preparation_crews": {},
        "pumping_fleets": {},
        "wireline_units": {},
        "milling_rigs": {},
        "flowback_spreads": {},
    },
}


def document_of(stated: dict[str, Any]) -> Document:
    return Document(node_of(stated, Place("plan", 0)))


def named(limits: list[Limit], name: str) -> Limit:
    return next(limit for limit in limits if limit.name == name)


def with_lifted(stated: dict[str, Any], *names: str) -> Scenario:
    document = document_of(stated)
    limits = limits_of(validate(document))
    return lifted(document, [named(limits, name) for name in names])


def names_of(stated: dict[str, Any]) -> set[str]:
    return {limit.name for limit in limits_of(validate(document_of(stated)))}


def test_bare_plan_is_held_back_by_its_units_only() -> None:
    """No water, weather, shift, trouble or facility is stated, so none is lifted."""
    assert names_of(BARE) == {
        "one more preparation crew",
        "one more pumping fleet",
        "one more wireline unit",
        "one more milling rig",
        "one more flowback spread",
        "pumping fleets without a limit of rate",
    }


@pytest.mark.parametrize(
    ("stated", "limits"),
    [
        ({"shifts": {}}, {"no time lost to crew changes"}),
        ({"troubles": {"misrun": {}}}, {"no misrun"}),
        ({"troubles": {"misrun": {}, "stuck bit": {}}}, {"no misrun", "no stuck bit", "no trouble at all"}),
        ({"troubles": {"misrun": {}}, "trouble_factor": 0}, set()),
        ({"facility": {"limit": "5 kbbl/day"}, "well_defaults": {"production": {"peak": "900 bbl/day"}}},
         {"no limit of the facility"}),
        ({"weather": {"spells": {"other_months": {"good": "90 h", "bad": "9 h"}}, "stops": {"crane": "bad weather"}}},
         {"no weather"}),
        ({"strategy": {"keep_clear": 1}}, {"neighbours need not keep clear"}),
    ],
)  # fmt: skip
def test_each_section_that_is_stated_brings_its_limits(stated: dict[str, Any], limits: set[str]) -> None:
    """And nothing else."""
    assert names_of(BARE | stated) - names_of(BARE) == limits


@sampled(10)
@given(stated_pads())
def test_every_limit_of_any_pad_can_be_lifted(stated: Stated) -> None:
    """Each makes a valid plan that differs from the plan as stated."""
    document = document_of(stated)
    scenario = validate(document)
    limits = limits_of(scenario)
    plans, refused = plans_of(document, limits, 0)
    assert refused == []
    assert set(plans) == {limit.name for limit in limits}
    assert all(plan != scenario for plan in plans.values())


def test_any_two_limits_of_the_example_can_be_lifted_together() -> None:
    """In either order, with changes worked out from the plan they are made to."""
    scenario, document = load(EXAMPLE), read(EXAMPLE)
    limits = limits_of(scenario)
    for first, second in zip(limits, limits[1:] + limits[:1], strict=True):
        assert lifted(document, [first, second]) != scenario
        assert lifted(document, [second, first]) != scenario


def test_one_more_unit_leaves_the_others_their_names() -> None:
    """Names carry their luck: a fleet renamed would meet other luck."""
    scenario = with_lifted(BARE, "one more pumping fleet", "one more milling rig")
    assert [name for name, _ in individuals(scenario.units.pumping_fleets)] == ["Fleet", "Another pumping fleet"]
    assert [name for name, _ in individuals(scenario.units.milling_rigs)] == ["Milling rig", "Another milling rig"]


def test_one_more_unit_of_each_entry_where_a_kind_has_several() -> None:
    """Each entry is its own limit, and two of them can be lifted together."""
    rigs = [{"name": "Coil", "reach": "12000 ft"}, {"kind": "workover rig", "count": 2}]
    stated = BARE | {"units": BARE["units"] | {"milling_rigs": rigs}}
    both = ("one more milling rig like Coil", "one more milling rig like entry 2")
    assert set(both) <= names_of(stated)
    found = individuals(with_lifted(stated, *both).units.milling_rigs)
    assert [rig.kind for _, rig in found] == ["coiled tubing", *["workover rig"] * 2, "coiled tubing", "workover rig"]


def test_hours_and_numbers_of_one_kind_are_lifted_together() -> None:
    """The second change starts from what the first has made of the units."""
    stated = BARE | {"units": BARE["units"] | {"preparation_crews": {"hours": "day shift"}}}
    scenario = with_lifted(stated, "preparation crews around the clock", "one more preparation crew")
    assert [crew.hours for _, crew in individuals(scenario.units.preparation_crews)] == [(0, 24), (0, 24)]


def test_rig_releases_a_day_earlier_but_not_before_the_start() -> None:
    """One day, or what is left of it; releases before the start hold nothing back."""
    wells = [BARE["wells"][0] | {"name": name, "rig_release": date} for name, date in RELEASES.items()]
    stated = BARE | {"wells": wells}
    assert "rig release of Before a day earlier" not in names_of(stated)
    moved = with_lifted(stated, "every rig release a day earlier")
    assert [f"{well.rig_release:%m-%d %H}" for well in moved.wells] == ["02-20 00", "03-01 00", "03-08 06"]
    one = with_lifted(stated, "rig release of Later a day earlier")
    assert [f"{well.rig_release:%m-%d %H}" for well in one.wells] == ["02-20 00", "03-01 12", "03-08 06"]


RELEASES = {"Before": "2027-02-20", "Soon": "2027-03-01 12:00", "Later": "2027-03-09 06:00"}


def test_twice_the_storage_is_filled_no_further_before_the_first_stage() -> None:
    """Else more storage would mean a later start."""
    water = {"sources": [{"name": "River", "rate": "50 kbbl/day"}], "storage": {"capacity": "40 kbbl"}}
    storage = with_lifted(BARE | {"water": water}, "twice the storage").water.storage
    assert (storage.capacity, storage.fill_to) == (80_000, 40_000)


def test_trouble_is_lifted_alone_and_with_all_its_figures() -> None:
    """The other stays as stated."""
    stated = BARE | {"troubles": {"misrun": {"chance": "9 %"}, "pump failure": {}}}
    left = with_lifted(stated, "no pump failure").troubles
    assert set(left) == {"misrun"}
    assert left["misrun"].chance == pytest.approx(0.09)


def test_half_the_swap_whether_stated_or_not() -> None:
    """The default is halved where nothing is stated."""
    two = [BARE["wells"][0], BARE["wells"][0] | {"name": "Heron 2"}]
    stated = BARE | {"wells": two}
    assert with_lifted(stated, "half the swap time").strategy.swap.time == Triangular(1 / 6, 1 / 4, 3 / 8)
    fixed = stated | {"strategy": {"swap": {"time": "40 min"}}}
    assert with_lifted(fixed, "half the swap time").strategy.swap.time == pytest.approx(1 / 3)


@pytest.mark.parametrize(
    ("written", "half"),
    [
        ("30 min", "0.25 h"),
        (0, 0),
        ({"triangular": ["2 h", "4 h", "1 day"]}, {"triangular": ["1.0 h", "2.0 h", "12.0 h"]}),
        ({"lognormal": {"mean": "6 h", "cv": 0.8}}, {"lognormal": {"mean": "3.0 h", "cv": 0.8}}),
        ({"from_design": {"factor": 1.2, "plus": "10 h"}}, {"from_design": {"factor": 1.2, "plus": "5.0 h"}}),
    ],
)
def test_every_time_in_a_duration_is_halved_and_nothing_else(written: object, half: object) -> None:
    """Whatever its form."""
    assert halved(written) == half


def test_user_adds_a_change_or_an_alternative() -> None:
    """PATH=VALUE as in a file, and an alternative by its name."""
    scenario, document = load(EXAMPLE), read(EXAMPLE)
    asked = ("strategy.swap.time={triangular: [1 min, 2 min, 3 min]}", "bigger storage")
    limits = limits_asked(scenario, document, asked)
    plans, _ = plans_of(document, limits[-2:], 2)
    assert [limit.name for limit in limits[-2:]] == list(asked)
    assert plans[asked[0]].strategy.swap.time == Triangular(1 / 60, 2 / 60, 3 / 60)
    assert plans[asked[1]].water.storage.capacity == 120_000


@pytest.mark.parametrize(
    ("also", "said"),
    [
        ("biger storage", "did you mean 'bigger storage'"),
        ("=4", "expected PATH=VALUE"),
        ("strategy.swap.time=", "expected PATH=VALUE"),
        ("no weather", "neither PATH=VALUE nor an alternative"),
    ],
)
def test_what_is_no_change_is_refused(also: str, said: str) -> None:
    """With the option and the text that was typed."""
    with pytest.raises(BadRelaxationError) as refused:
        limits_asked(load(EXAMPLE), read(EXAMPLE), [also])
    assert f"--also '{also}'" in str(refused.value)
    assert said in str(refused.value)


def test_asking_twice_is_refused() -> None:
    """The same change would stand in the list twice."""
    with pytest.raises(BadRelaxationError, match="expected each once"):
        limits_asked(load(EXAMPLE), read(EXAMPLE), ["bigger storage", "bigger storage"])


@pytest.mark.parametrize(
    ("also", "said"),
    [
        ("water.storag.capacity=9 kbbl", "did you mean 'storage'"),
        ("water.storage.capacity=9 barels", "not known"),
        ("water.storage.capacity={a: ", "--also"),
    ],
)
def test_change_to_no_valid_plan_is_refused(also: str, said: str) -> None:
    """As a mistake in a file would be, with the option in the place of the file."""
    document = read(EXAMPLE)
    with pytest.raises(ScenarioError) as refused:
        plans_of(document, limits_asked(load(EXAMPLE), document, [also])[-1:], 1)
    assert said in str(refused.value)
