"""A small pad with prices, production and fuel, a few replications of it, and sums straight from raw log rows."""

from __future__ import annotations

from functools import cache
from typing import Any

from analysis.forecasting.forecast import Forecast, forecast, tables
from analysis.pricing.amounts import measure_for
from sim.log import Interval, Log
from sim.pad import simulate
from sim.scenario.scenario import Scenario
from tests.pads import pad, units, well

PRICES: dict[str, Any] = {
    "units": {
        "Fleet": {
            "day": "48000 USD/day",
            "standby_day": "24000 USD/day",
            "mobilisation": "5000 USD",
            "per_stage": "900 USD",
        },
        "wireline_units": {"day": "12000 USD/day", "per_plug": "300 USD"},
        "milling_rigs": {"day": "24000 USD/day", "per_well": "700 USD", "per_plug": "50 USD"},
        "flowback_spreads": {"day": "2400 USD/day"},
        "preparation_crews": {"day": "4800 USD/day"},
    },
    "crews": {"supervision": "2400 USD/day"},
    "overheads": {"rentals": "240 USD/day"},
    "water": "0.50 USD/bbl",
    "proppant": "40 USD/ton",
    "diesel": "4 USD/gal",
    "oil": "50 USD/bbl",
    "gas": "2 USD/mcf",
    "operating": "5 USD/bbl",
    "produced_water": "1 USD/bbl",
    "royalty": "20 %",
    "tax": "5 %",
    "discount": "12 %",
    "evaluated_over": "720 day",
}
PRODUCTION: dict[str, Any] = {
    "peak": "800 bbl/day",
    "days_to_peak": "10 day",
    "b": 1.0,
    "gas_oil_ratio": "1.5 mcf/bbl",
    "water_cut": "50 %",
}
FUEL: dict[str, Any] = {"per_hour": {"milling_rigs": "21 gal/h"}, "trucks": {"count": 2, "per_hour": "1 gal/h"}}
PRESSURE = {"true_vertical_depth": "10000 ft", "stack_rating": "15000 psi"}
DESIGN = {"fluid": "2000 bbl", "proppant": "100 klb", "rate": "80 bbl/min"}


def priced_pad(wells: int = 3, **more: Any) -> Scenario:
    """Wells of a few stages with exponential luck in wireline and flowback, fractured two at a time."""
    stated = [
        well(f"w{number}", 2 + number, {"exponential": "2 h"}, {"uniform": ["1 h", "2 h"]}, toe=True)
        | {
            "stage_design": DESIGN
            | {"wireline_time": {"exponential": "2 h"}, "pump_time": {"uniform": ["1 h", "2 h"]}},
            "production": PRODUCTION,
            "pressure": PRESSURE,
        }
        for number in range(1, wells + 1)
    ]
    spreads = {"rig_up": "1 h", "duration": {"exponential": "12 day"}, "turn_in_line": "1 h"}
    some = units(flowback_spreads=spreads, milling_rigs={"rig_up": "2 h", "rig_down": "1 h", "per_plug": "10 min"})
    start = {"start": "2027-01-20 06:00", "horizon": "300 day", "prices": PRICES, "fuel": FUEL}
    strategy = more.pop("strategy", {"wells_in_rotation": 2})
    return pad(stated, strategy, **(start | {"units": some} | more))


@cache
def played(replications: int = 6) -> Forecast:
    """A forecast of the pad."""
    return forecast(priced_pad(), replications)


def of_one(scenario: Scenario, log: Log) -> Forecast:
    """Tables of a single replication, from its log."""
    return Forecast(scenario, log.seed, 1, **tables([measure_for(scenario)(log)]))


@cache
def log_of(replication: int) -> Log:
    """The raw log of one replication of the pad."""
    return simulate(priced_pad(), replication)


def hours(log: Log, unit: str, *kinds: str) -> float:
    """Hours of a unit on location of some kinds, row by row; wells pumped together are none here."""
    return sum(
        _length(row) for row in log.intervals if row.unit == unit and row.kind in kinds and row.activity != "arrive"
    )


def _length(row: Interval) -> float:
    return row.end_h - row.start_h
