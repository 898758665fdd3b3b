"""Why somebody waits: the causes in the log, and who waits for what when nothing can happen any more."""

from __future__ import annotations

from typing import Any

import pytest

from sim.log import Log
from sim.pad import StuckError, simulate
from tests.pads import NOW, minutes, pad, units, well
from tests.sim.playing import LATE_FLOWBACK, causes, planned, rows_of

AT_ONCE = {"rig_up": NOW, "rig_down": NOW}


def wells(names: str, wireline_min: float, **more: Any) -> list[dict]:
    """Wells of two stages of an hour's pumping, with open toes."""
    return [well(name, 2, minutes(wireline_min), minutes(60), toe=True, fluid="900 bbl", **more) for name in names]


def waits(log: Log, unit: str) -> list[tuple[float, float, str]]:
    return [(start_h, end_h, cause) for start_h, end_h, _, cause in rows_of(log, unit) if cause]


@pytest.mark.parametrize("next_well", ["alternate", "first ready", "least advanced", "as listed"])
@pytest.mark.parametrize("when", ["as soon as the fleet is free", "once the next well is ready"])
def test_fleet_that_waits_for_a_run_says_wireline(next_well: str, when: str) -> None:
    """Runs of 5 h, hours of 1 h: whatever the rule and whenever it swaps, it is wireline that holds the fleet up."""
    strategy = {"next_well": next_well, "swap": {"time": "30 min", "when": when}}
    log = simulate(planned(wells("AB", 300), strategy))
    assert causes(log, "Fleet") == {"wireline"}
    assert sum(end_h - start_h for start_h, end_h, _ in waits(log, "Fleet")) > 5


def test_fleet_that_waits_for_preparation_says_what_of_it() -> None:
    """On location from the start: the well is released at 3 h, prepared at 5; then wireline opens the toe until 6."""
    of = [well("A", 1, minutes(60), minutes(60), toe=False, rig_release="2027-03-01 03:00")]
    of[0]["preparation"]["nipple_up"] = "2 h"
    fleet = AT_ONCE | {"arrives": "2027-03-01"}
    log = simulate(planned(of, {"wells_in_rotation": 1}, units=units(pumping_fleets=fleet)))
    assert waits(log, "Fleet") == [(0, 3, "rig release"), (3, 5, "preparation"), (5, 6, "wireline")]


def test_fleet_that_is_rigged_up_waits_for_the_water_system() -> None:
    """The storage is up at 4 h and full at 6."""
    storage = {"capacity": "1800 bbl", "erect": "4 h"}
    water = {"sources": [{"name": "Pond", "rate": "900 bbl/h"}], "storage": storage}
    log = simulate(planned(wells("A", 1), {"wells_in_rotation": 1}, water=water))
    assert waits(log, "Fleet")[0] == (0, 6, "water system")


def test_rigs_and_spreads_wait_for_the_trade_before_them() -> None:
    """Those that are on location from the start wait for fracturing and for drill-out."""
    there = {"arrives": "2027-03-01"}
    stated = units(milling_rigs=AT_ONCE | there, flowback_spreads=LATE_FLOWBACK | there)
    log = simulate(planned(wells("A", 60), {"wells_in_rotation": 1}, units=stated))
    assert waits(log, "Milling rig") == [(0, 3, "fracturing")]
    ((start_h, end_h, cause),) = waits(log, "Flowback spread")
    assert (start_h, cause) == (0, "drill-out")
    assert end_h > 3


def stuck(**water: Any) -> str:
    """What is said of two wells, sequential, when their water never comes: no check has refused this scenario."""
    storage = {"capacity": "5000 bbl", "erect": "1 h", "fill_to": 0, "on_hand": "1000 bbl"} | water.pop("storage", {})
    stated = {"sources": [{"name": "Dry creek", "rate": 0}], "storage": storage} | water
    scenario = pad(wells("AB", 60), {"wells_in_rotation": 1}, water=stated)
    with pytest.raises(StuckError) as error:
        simulate(scenario, replication=3)
    return str(error.value)


@pytest.mark.parametrize("rule", ["full stage on hand", "enough to finish"])
def test_standstill_names_who_waits_for_what(rule: str) -> None:
    """1000 bbl are on hand, and 900 are gone after the first stage: the fleet waits for water, all others for it."""
    assert stuck(start_rule=rule) == (
        "replication 3: nothing can happen any more; Fleet waits for water: source since hour 3.0;"
        " Wireline waits for pumping; Milling rig waits for fracturing; Flowback spread waits for drill-out"
    )


def test_standstill_of_a_stage_that_has_begun() -> None:
    """As it comes, the second stage begins with the 100 bbl that are left, and then nothing more comes."""
    assert "Fleet waits for water: source since hour 3.0;" in stuck(start_rule="as it comes")


def test_standstill_of_storage_that_never_fills() -> None:
    """Nothing flows into a storage that must be full before the first stage."""
    assert "Water storage waits for water: source;" in stuck(storage={"fill_to": "5000 bbl"})


def test_standstill_of_wells_that_nobody_may_prepare() -> None:
    """The first well keeps the only stack until all are fractured, for which the second needs it."""
    stated = units(frac_stacks=1)
    with pytest.raises(StuckError) as error:
        simulate(pad(wells("AB", 60), {"wells_in_rotation": 1, "drill_out": "after the pad"}, units=stated))
    assert "Preparation crew waits for frac stack" in str(error.value)
    assert "Fleet waits for frac stack" in str(error.value)
