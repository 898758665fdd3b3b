"""Work that a store can never supply, whatever the luck, is refused before anything is played; what it just can, is."""

from __future__ import annotations

from typing import Any

import pytest

from analysis.checking.store_sizes import too_small_on_average
from sim.activities import MILL_PLUGS
from sim.scenario.problems import ScenarioError
from sim.scenario.scenario import Scenario
from tests.pads import NOW, minutes, units, well
from tests.sim.playing import planned, play, work
from tests.sim.test_supplied_work import SEQUENTIAL, pond

HOUR = minutes(60)


def milled(capacity: str, rule: str = "full stage on hand", rate: float = 100, minimum: str = "0 bbl", **rig: Any
           ) -> Scenario:  # fmt: skip
    """One well of eleven stages, and so of ten plugs; stages need hardly any water."""
    rigs = {"rig_up": NOW, "rig_down": NOW, "per_plug": "30 min"} | rig
    of = [well("A", 11, HOUR, HOUR, toe=True)]
    water = pond(rate, rule, capacity=capacity, on_hand="20 bbl", working_minimum=minimum)
    return planned(of, SEQUENTIAL, water=water, units=units(milling_rigs=rigs))


@pytest.mark.parametrize(
    ("rig", "needed"),
    [
        ({"water_per_plug": "50 bbl"}, 500),
        ({"water_loss": "60 bbl/h"}, 300),  # ten plugs in five hours
        ({"water_per_plug": "50 bbl", "water_loss": "60 bbl/h"}, 800),
        ({"water_loss": "60 bbl/h", "per_plug": {"uniform": ["15 min", "1 h"]}}, 150),  # 2.5 h at least
    ],
)
def test_milling_that_storage_can_never_supply(rig: dict[str, Any], needed: int) -> None:
    """All that a drill-out takes must be on hand, with what circulation loses meanwhile and what is never drawn."""
    assert milled(f"{needed} bbl", **rig).water is not None
    with pytest.raises(ScenarioError, match=rf"less than milling the 10 plugs of A takes; expected at least {needed} "):
        milled(f"{needed - 1} bbl", **rig)
    with pytest.raises(ScenarioError, match=rf"at least {needed + 9} bbl, of which 9 are never drawn, or a start_rule"):
        milled(f"{needed + 8} bbl", minimum="9 bbl", **rig)


def test_milling_that_storage_just_supplies_is_done() -> None:
    """Exactly what is taken: the rig waits until the storage is full, and mills."""
    log = play(milled("500 bbl", water_per_plug="50 bbl"))
    assert [row.end_h - row.start_h for row in work(log, MILL_PLUGS)] == pytest.approx([5])


def test_milling_with_enough_to_finish() -> None:
    """500 bbl in five hours, of which 10 x 5 flow in; at 60 bbl/h of losses the shortest milling needs least."""
    assert milled("450 bbl", "enough to finish", 10, water_per_plug="50 bbl").water is not None
    with pytest.raises(ScenarioError, match=r"takes 500 bbl, of which at most 50 flow in meanwhile; .* 450 bbl"):
        milled("449 bbl", "enough to finish", 10, water_per_plug="50 bbl")
    lossy: dict[str, Any] = {"water_loss": "60 bbl/h", "per_plug": {"uniform": ["15 min", "1 h"]}}
    assert milled("125 bbl", "enough to finish", 10, **lossy).water is not None
    with pytest.raises(ScenarioError, match="takes at least 125 bbl more than flow in meanwhile"):
        milled("124 bbl", "enough to finish", 10, **lossy)


def test_milling_as_it_comes_is_never_refused() -> None:
    """It slows down to what flows in."""
    assert milled("100 bbl", "as it comes", water_per_plug="50 bbl").water is not None


def test_the_rig_counts_that_needs_least() -> None:
    """Of two that reach the toe; one that does not reach it helps nobody."""
    rigs = [
        {"name": "Thirsty", "per_plug": "30 min", "water_per_plug": "50 bbl"},
        {"name": "Dry", "per_plug": "30 min", "water_per_plug": "5 bbl", "reach": "11000 ft"},
    ]
    of = [well("A", 11, HOUR, HOUR, toe=True)]
    water = pond(100, capacity="100 bbl", on_hand="20 bbl")
    assert planned(of, SEQUENTIAL, water=water, units=units(milling_rigs=rigs)).water is not None
    rigs[1]["reach"] = "9000 ft"
    with pytest.raises(ScenarioError, match="milling the 10 plugs of A takes; expected at least 500 bbl"):
        planned(of, SEQUENTIAL, water=water, units=units(milling_rigs=rigs))


def supplied(rule: str, capacity: str, rate: str = "10 bbl/h", pump: Any = HOUR) -> Scenario:
    """Two wells pumped together; each stage takes 20 bbl, and 30 more an hour of the two."""
    of = [well(name, 2, HOUR, pump, toe=True) for name in "AB"]
    fuel = {"per_stage": "20 bbl", "per_hour": "30 bbl/h", "rate": rate, "capacity": capacity, "start_rule": rule}
    strategy = {"wells_in_rotation": 2, "pumped_together": 2}
    return planned(of, strategy, other_supplies={"fuel": fuel})


def test_another_supply_that_is_never_enough() -> None:
    """40 bbl and 30 an hour: 70 in an hour; 60 where 10 flow in meanwhile; a lognormal time may be very short."""
    assert supplied("full stage on hand", "70 bbl").other_supplies
    with pytest.raises(
        ScenarioError, match=r"fuel.capacity: less than stage 1 of A and B takes; expected at least 70 "
    ):
        supplied("full stage on hand", "69 bbl")
    assert supplied("enough to finish", "60 bbl").other_supplies
    with pytest.raises(ScenarioError, match="takes at least 60 bbl more than flow in meanwhile"):
        supplied("enough to finish", "59 bbl")
    assert supplied("as it comes", "1 bbl").other_supplies
    assert supplied("full stage on hand", "40 bbl", pump={"lognormal": {"mean": "1 h", "cv": 0.5}}).other_supplies


def test_proppant_at_a_rate_that_is_never_enough_to_finish() -> None:
    """10,000 lb in an hour in which 1,000 are brought: 9,000 must be on hand."""
    of = [well("A", 2, HOUR, HOUR, toe=True)]
    of[0]["stage_design"]["proppant"] = "10 klb"

    def held(capacity: str) -> Scenario:
        proppant = {"rate": "1 klb/h", "start_rule": "enough to finish", "storage": {"capacity": capacity}}
        return planned(of, SEQUENTIAL, proppant=proppant)

    assert held("9 klb").proppant is not None
    with pytest.raises(ScenarioError, match=r"takes 10,000 lb, of which at most 1,000 flow in meanwhile; .* 9,000 lb"):
        held("8.9 klb")


def test_what_would_never_start_on_average_is_warned_of() -> None:
    """Milling takes 150 bbl at least and 375 on average (ten plugs at 37.5 min, 60 bbl/h); a stage 70 bbl in 1 h."""
    lossy: dict[str, Any] = {"water_loss": "60 bbl/h", "per_plug": {"uniform": ["15 min", "1 h"]}}
    (warning,) = too_small_on_average(milled("374 bbl", **lossy))
    assert warning.startswith("Milling the 10 plugs of A takes 375 bbl on average, and storage holds 374 bbl to draw")
    assert not list(too_small_on_average(milled("375 bbl", **lossy)))
    short = supplied("full stage on hand", "69 bbl", pump={"lognormal": {"mean": "1 h", "cv": 0.5}})
    assert [text.split(",")[0] for text in too_small_on_average(short)] == [
        "A stage of mean length takes 70 bbl of fuel"
    ]
