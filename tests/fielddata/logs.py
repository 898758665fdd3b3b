"""Small stage logs as text, and the pad they tell of."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from analysis.field.reading import FieldLog, read_log
from sim.log import Log
from sim.scenario import load, load_stated
from sim.scenario.scenario import Scenario

SCENARIOS = Path(__file__).parents[2] / "scenarios"
HEADINGS = "start,end,unit,activity,well,stage,cause,remarks"
SIX_WELLS = SCENARIOS / "six_well_pad.yaml"

SMALL: dict[str, Any] = {
    "title": "Curlew Flat",
    "start": "2027-03-01 06:00",
    "horizon": "90 day",
    "well_defaults": {
        "measured_depth": "15000 ft",
        "lateral_length": "5000 ft",
        "stages": 5,
        "stage_design": {"fluid": "9000 bbl"},
    },
    "wells": [{"name": "Curlew 1"}, {"name": "Curlew 2"}],
    "units": {
        "preparation_crews": {},
        "pumping_fleets": {"name": "Fleet A"},
        "wireline_units": {},
        "milling_rigs": {},
        "flowback_spreads": {},
    },
    "troubles": {"screen-out": {}, "misrun": {}},
}


@cache
def small_pad() -> Scenario:
    return load_stated(SMALL)


@cache
def six_wells() -> Scenario:
    return load(SIX_WELLS)


def read(
    folder: Path, *rows: str, headings: str = HEADINGS, columns: str | None = None, strict: bool = False
) -> FieldLog:
    """The log of these lines, read for the small pad."""
    file = folder / "log.csv"
    file.write_text("\n".join([headings, *rows]) + "\n", encoding="utf-8")
    mapped = None
    if columns is not None:
        mapped = folder / "columns.yaml"
        mapped.write_text(columns, encoding="utf-8")
    return read_log(file, small_pad(), mapped, strict=strict)


def told(log: FieldLog) -> list[tuple[int, str, bool]]:
    """Row, message and whether it was left out, of every oddity."""
    return [(finding.row, finding.message, finding.left_out) for finding in log.findings]


def written(scenario: Scenario, log: Log) -> str:
    """A simulated log as a sheet, exact to the microsecond."""
    lines = [HEADINGS]
    for row in log.intervals:
        if row.activity != "arrive":
            start, end = (scenario.moment_at(hours).isoformat(" ") for hours in (row.start_h, row.end_h))
            lines.append(f'{start},{end},{row.unit},{row.activity},{row.well},{row.stage or ""},{row.cause},"=1, 2"')
    return "\n".join(lines) + "\n"
