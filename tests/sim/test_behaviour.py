"""More of anything does no harm, and helps where it was short: paired replications under common luck (invariant 8)."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from analysis.measures import measure
from sim.activities import supply_of
from sim.scenario.scenario import Scenario
from tests.pads import minutes
from tests.sim.playing import causes, planned, play
from tests.theory.tolerance import STANDARD_ERRORS

PAIRS = 80
SEED = 8

Parts = dict[str, dict[str, Any]]

WELL = {
    "measured_depth": "18000 ft",
    "lateral_length": "8000 ft",
    "stages": 6,
    "preparation": {"nipple_up": {"triangular": ["1 h", "2 h", "5 h"]}, "pressure_test": "1 h"},
    "toe": "toe sleeve",
    "stage_design": {
        "fluid": "5000 bbl",
        "pump_time": {"lognormal": {"mean": minutes(100), "cv": 0.35}},
        "wireline_time": {"pert": [minutes(70), minutes(110), minutes(300)]},
        "pump_down": "100 bbl",
    },
}

UNITS: Parts = {
    "preparation_crews": {"hours": "day shift"},
    "pumping_fleets": {"arrives": "2027-03-01", "rig_up": "24 h", "rig_down": "12 h"},
    "wireline_units": {"count": 2, "rig_up": "0 h"},
    "milling_rigs": {},
    "flowback_spreads": {
        "count": 3,
        "duration": {"triangular": ["2 day", "3 day", "6 day"]},
        "turn_in_line": "6 h",
    },
}

WATER: Parts = {
    "sources": {"rate": "1800 bbl/h"},
    "storage": {"capacity": "8000 bbl", "erect": "8 h"},
}


def pad(water: Parts | None = None, swap: str = "30 min", **changes: dict[str, Any]) -> Scenario:
    """Four wells in zippers of two, with one of each unit and water that sometimes runs short; some of it changed."""
    stated = {kind: UNITS[kind] | changes.get(kind, {}) for kind in UNITS}
    supply = {part: WATER[part] | (water or {}).get(part, {}) for part in WATER}
    sources = [{"name": "Pond"} | supply["sources"]]
    wells = [WELL | {"name": name} for name in ("A", "B", "C", "D")]
    return planned(
        wells, {"swap": {"time": swap}}, units=stated, water={"sources": sources, "storage": supply["storage"]}
    )


def last_on_production_h(scenario: Scenario) -> np.ndarray:
    ends = [measure(play(scenario, number, SEED)).pad.all_on_production_h for number in range(PAIRS)]
    return np.array(ends)


@pytest.fixture(scope="module")
def unchanged_h() -> np.ndarray:
    """Makespans of the pad as it is."""
    return last_on_production_h(pad())


MORE: dict[str, dict[str, Any]] = {
    "water": {"water": {"sources": {"rate": "4000 bbl/h"}}},
    "storage": {"water": {"storage": {"capacity": "40000 bbl", "fill_to": "8000 bbl"}}},
    "crews": {"preparation_crews": {"count": 2}},
    "hours of the crew": {"preparation_crews": {"hours": "around the clock"}},
    "fleets": {"pumping_fleets": {"count": 2}},
    "wireline units": {"wireline_units": {"count": 3}},
    "rigs": {"milling_rigs": {"count": 2}},
    "spreads": {"flowback_spreads": {"count": 4}},
    "speed at the valves": {"swap": "10 min"},
}


ALONE = sorted(MORE.keys() - {"fleets"})
"""A second fleet does harm where wireline or water is short: both groups are then slow, and end late, side by side."""


@pytest.mark.parametrize("what", ALONE)
def test_more_does_no_harm(unchanged_h: np.ndarray, what: str) -> None:
    """The mean makespan is not worse beyond the 95 % confidence interval of the paired difference."""
    later_h = last_on_production_h(pad(**MORE[what])) - unchanged_h
    assert later_h.mean() <= 1.96 * later_h.std(ddof=1) / np.sqrt(PAIRS)


SHORT: dict[str, dict[str, Any]] = {
    "water": {"water": {"sources": {"rate": "1000 bbl/h"}}},
    "storage": {"water": {"storage": {"capacity": "5100 bbl"}}},
    "crews": {"preparation_crews": {"count": 1, "hours": "06:00 - 10:00"}},
    "fleets": {
        "wireline_units": {"count": 4},
        "water": {"sources": {"rate": "20 kbbl/h"}, "storage": {"capacity": "60 kbbl"}},
        "preparation_crews": {"count": 2},
        "milling_rigs": {"count": 4},
        "flowback_spreads": {"count": 4},
    },
    "wireline units": {"wireline_units": {"count": 1}, "swap": "10 min", "water": {"sources": {"rate": "9 kbbl/h"}}},
    "rigs": {"milling_rigs": {"per_plug": "8 h"}},
    "spreads": {"flowback_spreads": {"count": 1}},
    "speed at the valves": {"swap": "3 h"},
}


@pytest.mark.parametrize("what", SHORT)
def test_more_helps_where_it_is_short(what: str) -> None:
    """Where something holds the pad back, more of it brings the last well forward, beyond any doubt of chance."""
    short = SHORT[what]
    enough = {part: _merged(short.get(part), MORE[what].get(part)) for part in short | MORE[what]}
    sooner_h = last_on_production_h(pad(**short)) - last_on_production_h(pad(**enough))
    assert sooner_h.mean() > STANDARD_ERRORS * sooner_h.std(ddof=1) / np.sqrt(PAIRS)


def _merged(one: Any, other: Any) -> Any:
    """What is short, with more of it laid over; both are nested alike."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one | {key: _merged(one.get(key), value) for key, value in other.items()}
    return one if other is None else other


def test_wireline_unit_that_must_rig_up_does_no_harm() -> None:
    """A second unit that comes early enough to be rigged up when it is needed delays nothing."""
    one, two = ({"count": count, "rig_up": "12 h", "arrives": "2027-03-01"} for count in (1, 2))
    later_h = last_on_production_h(pad(wireline_units=two)) - last_on_production_h(pad(wireline_units=one))
    assert later_h.mean() <= 1.96 * later_h.std(ddof=1) / np.sqrt(PAIRS)


def test_water_without_limit_removes_waits_for_water() -> None:
    """A pad short of water waits for it; with an ocean beside it, or with none stated, nobody does."""
    ocean: Parts = {"sources": {"rate": "400 kbbl/h"}, "storage": {"capacity": "900 kbbl"}}
    dry, wet = pad(water=SHORT["water"]["water"]), pad(water=ocean)
    unstated = dry.model_copy(update={"water": None})
    for number in range(5):
        assert "water" in {supply_of(cause) for cause in causes(play(dry, number, SEED))}
        assert "water" not in {supply_of(cause) for cause in causes(play(wet, number, SEED))}
        assert not {"water", "water system"} & {supply_of(cause) for cause in causes(play(unstated, number, SEED))}


def test_common_luck_sharpens_the_comparison(unchanged_h: np.ndarray) -> None:
    """Pairing is what makes 80 replications enough: the difference varies less than the two makespans together."""
    faster_h = last_on_production_h(pad(swap="10 min"))
    apart = unchanged_h.var(ddof=1) + faster_h.var(ddof=1)
    assert (unchanged_h - faster_h).var(ddof=1) < 0.5 * apart
