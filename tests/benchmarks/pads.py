"""Pads of any size for the benchmarks: alike but for the number of wells."""

from __future__ import annotations

from sim.scenario.scenario import Scenario


def many_wells(wells: int, stages: int = 40) -> Scenario:
    """A zipper of two over so many wells, with water, two wireline units and the usual spread of durations."""
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
    )


def undisturbed(scenario: Scenario) -> Scenario:
    """The same plan with nothing that takes hours away: the chain of trades, the log and the water alone."""
    wells = tuple(well.model_copy(update={"pressure": None}) for well in scenario.wells)
    return scenario.model_copy(update={"wells": wells, "troubles": {}, "weather": None, "shifts": None})
