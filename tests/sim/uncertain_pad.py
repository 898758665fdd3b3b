"""A small pad on which every replication goes another way."""

from __future__ import annotations

from sim.scenario.scenario import Scenario
from tests.pads import minutes, pad, units, well
from tests.sim.playing import LATE_FLOWBACK


def uncertain_pad() -> Scenario:
    """A zipper of two wells of five stages, with water enough and uncertain times."""
    wireline = {"pert": [minutes(60), minutes(90), minutes(200)]}
    pump = {"lognormal": {"mean": minutes(80), "cv": 0.3}}
    wells = [well(name, 5, wireline, pump, toe=True, fluid="900 bbl") for name in ("A", "B")]
    water = {"sources": [{"name": "Pond", "rate": "700 bbl/h"}], "storage": {"capacity": "2000 bbl", "erect": "1 h"}}
    return pad(wells, {}, units=units(flowback_spreads=LATE_FLOWBACK), water=water)
