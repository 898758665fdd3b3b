"""What is typed after --vary: whatever the range, its values lie evenly from end to end and mean what they say."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.studies.chosen_milestone import UnknownMilestoneError, chosen
from analysis.studies.paths_in_plan import MOST_VALUES, Axis, axes_of, plans_of
from sim.scenario import Document, read
from sim.scenario.quantities import VOLUME, parse
from tests.scenario.files import FULL

ARRIVES = "units.pumping_fleets.Fleet A.arrives"


@pytest.fixture(scope="module")
def document(tmp_path_factory: pytest.TempPathFactory) -> Document:
    file = tmp_path_factory.mktemp("vary") / "pad.yaml"
    file.write_text(FULL)
    return read(file)


def axis(document: Document, typed: str) -> Axis:
    (found,) = axes_of(document, [typed])
    return found


@settings(derandomize=True, max_examples=60, deadline=None)
@given(
    low=st.integers(1, 900),
    span=st.integers(1, 900),
    count=st.integers(2, MOST_VALUES),
    unit=st.sampled_from(["kbbl", "m3"]),
)
def test_a_range_is_even_and_keeps_its_ends(document: Document, low: int, span: int, count: int, unit: str) -> None:
    """As many values as asked for, each written so that the door reads the number back."""
    found = axis(document, f"water.storage.capacity={low} {unit}..{low + span} {unit}:{count}")
    assert len(found.values) == count
    assert (found.numbers[0], found.numbers[-1]) == (low, low + span)
    steps = [after - before for before, after in zip(found.numbers, found.numbers[1:], strict=False)]
    assert steps == pytest.approx([span / (count - 1)] * (count - 1), rel=1e-4)
    factor = parse(f"1 {unit}", VOLUME)
    assert [parse(value, VOLUME) / factor for value in found.values] == pytest.approx(found.numbers, rel=1e-8)


def test_ends_may_be_typed_in_different_units(document: Document) -> None:
    """The higher end's unit counts; a bare lower end takes it over."""
    found = axis(document, "water.storage.capacity=20000 bbl..60 kbbl:3")
    assert found.values == ("20 kbbl", "40 kbbl", "60 kbbl")
    assert axis(document, "water.storage.capacity=20..60 kbbl:3") == found
    assert found.planned == 60


@pytest.mark.parametrize(
    ("typed", "values"),
    [
        ("units.wireline_units.count=1..4", (1, 2, 3, 4)),
        ("units.wireline_units.count=1..9:5", (1, 3, 5, 7, 9)),
        ("units.wireline_units.count=4,1,2", (1, 2, 4)),
        ("trouble_factor=0..2:3", (0.0, 1.0, 2.0)),
        ("trouble_factor=0.5..1.5:2", (0.5, 1.5)),
        ("troubles.screen-out.chance=1 %..3 %:3", ("1 %", "2 %", "3 %")),
        ("water.storage.capacity=30 kbbl..80 kbbl", tuple(f"{each} kbbl" for each in (30, 40, 50, 60, 70, 80))),
        ("strategy.drill_out=after the pad, after the group", ("after the pad", "after the group")),
        (f"{ARRIVES}=2027-03-08..2027-03-10:3", ("2027-03-08 00:00", "2027-03-09 00:00", "2027-03-10 00:00")),
        (f"{ARRIVES}=2027-03-08 06:00..2027-03-08 18:00:2", ("2027-03-08 06:00", "2027-03-08 18:00")),
        ("wells.Heron 4.stage_design.pump_time.lognormal.P90=2 h..4 h:3", ("2 h", "3 h", "4 h")),
    ],
)  # fmt: skip
def test_values_as_a_user_would_write_them(document: Document, typed: str, values: tuple[object, ...]) -> None:
    """Counts are whole, numbers rise, words stay in their order."""
    assert axis(document, typed).values == values


def test_every_value_makes_its_plan(document: Document) -> None:
    """Fleet arrivals, counts and rates end up where they belong."""
    dates = axis(document, "units.pumping_fleets.Fleet A.arrives=2027-03-08..2027-03-10:3")
    plans = plans_of(document, [{dates.path: value} for value in dates.values], "--vary")
    assert [plan.units.pumping_fleets[0].arrives.day for plan in plans] == [8, 9, 10]
    assert (dates.kind, dates.numbers, dates.planned) == ("date", (0.0, 1.0, 2.0), 0.0)
    assert dates.place_text(1.4) == "2027-03-09"


def test_milestones_are_found_whatever_their_capitals() -> None:
    assert chosen("First Production", ["Heron 1"]).name == "first production"
    assert chosen("heron 1: DRILLED out", ["Heron 1"]).name == "Heron 1: drilled out"
    with pytest.raises(UnknownMilestoneError, match="did you mean 'Heron 1: drilled out'"):
        chosen("Heron 1: driled out", ["Heron 1"])
