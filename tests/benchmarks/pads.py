"""Pads of any size for the benchmarks: alike but for the number of wells."""

from __future__ import annotations

from typing import Any

from sim.scenario.scenario import Scenario

PRICES = {
    "units": {
        "preparation_crews": {"day": "6 kUSD/day"},
        "pumping_fleets": {"day": "60 kUSD/day", "standby_day": "40 kUSD/day"},
        "wireline_units": {"day": "10 kUSD/day", "per_stage": "2500 USD"},
        "milling_rigs": {"day": "30 kUSD/day"},
        "flowback_spreads": {"day": "5 kUSD/day"},
    },
    "water": "0.5 USD/bbl",
    "diesel": "3.6 USD/gal",
}
FUEL = {"pumping": "diesel", "per_hour": {"wireline_units": "0.5 bbl/h", "pumping_fleets": "3 bbl/h"}}


def many_wells(wells: int, stages: int = 40, **more: Any) -> Scenario:
    """A zipper of two over so many wells, with water, two wireline units and the usual spread of durations.

    `more` sections of a scenario are taken as they are.
    """
    design = {"fluid": "9500 bbl"}
    geometry = {"measured_depth": "20000 ft", "lateral_length": "9600 ft", "stages": stages, "stage_design": design}
    return Scenario.model_validate(
        {
            "start": "2027-03-01",
            "horizon": "8000 day",
            "wells": [{"name": f"Well {number}"} | geometry for number in range(1, wells + 1)],
            "units": {
                "preparation_crews": {},
                "pumping_fleets": {},
                "wireline_units": {"count": 2},
                "milling_rigs": {},
                "flowback_spreads": {"count": 3},
            },
            "water": {
                "sources": [{"name": "Intake", "rate": "80 kbbl/day"}],
                "storage": {"capacity": "60 kbbl"},
            },
        }
        | more
    )


def undisturbed(scenario: Scenario) -> Scenario:
    """The same plan with nothing that takes hours away: the chain of trades, the log and the water alone."""
    wells = tuple(well.model_copy(update={"pressure": None}) for well in scenario.wells)
    return scenario.model_copy(update={"wells": wells, "troubles": {}, "weather": None, "shifts": None})
