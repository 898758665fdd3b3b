"""Which pictures a forecast leaves: the representative replication by unit and by well, the chances, the water."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from analysis.figures import theme
from analysis.figures.chance_curve import Band, chance_curve
from analysis.figures.supply_levels import Feeder, Held, supply_levels
from analysis.figures.tank_level import tank_level
from analysis.figures.unit_gantt import unit_sheets
from analysis.figures.well_gantt import well_sheets
from analysis.forecasting.summary import Summary
from analysis.runs.log_frames import intervals_of, levels_of
from sim import activities
from sim.log import Log
from sim.scenario.scenario import Scenario

BBL = (1e-3, "thousand bbl")
MOST_SHEETS = 8  # of one picture: what somebody will still leaf through
WELLS_ELSEWHERE = "dates.csv has the dates of all wells, stages.csv the stages of this replication."
UNITS_ELSEWHERE = "the tables of the run, tables/log, have every hour of this replication."


def draw(summary: Summary, log: Log, folder: Path) -> None:
    """Draw all pictures of a forecast into `folder`; `log` is that of its representative replication."""
    folder.mkdir(parents=True, exist_ok=True)
    charts = (("chance_done_by", chances(each)) for each in (summary,))
    for name, axes in chain(gantts(summary, log), charts, supply_pictures(summary, log)):  # one in memory at a time
        theme.save(theme.settle(axes), folder / name)


def gantts(summary: Summary, log: Log) -> Iterator[tuple[str, Axes]]:
    """The replication by unit and by well, named as their files; what does not fit goes on further sheets."""
    scenario = summary.forecast.scenario
    start, which = scenario.start, f"median replication ({log.replication})"
    intervals = intervals_of(log)
    wells = summary.forecast.wells
    own = wells[wells["replication"] == log.replication]
    by_unit, by_well = (f"{scenario.title}: {rows}, {which}" for rows in ("units", "wells"))
    units = unit_sheets(intervals, start, by_unit, log.horizon_h, MOST_SHEETS, UNITS_ELSEWHERE)
    yield from _numbered("gantt_by_unit", units)
    yield from _numbered("gantt_by_well", well_sheets(intervals, start, by_well, own, MOST_SHEETS, WELLS_ELSEWHERE))


def _numbered(name: str, sheets: Iterable[Axes]) -> Iterator[tuple[str, Axes]]:
    """Sheets with the names of their files: the first has the plain name."""
    for number, axes in enumerate(sheets, start=1):
        yield (name if number == 1 else f"{name}_{number}"), axes


def supply_pictures(summary: Summary, log: Log) -> Iterator[tuple[str, Axes]]:
    """Water in storage, and where more than that is stated all that is held."""
    scenario = summary.forecast.scenario
    start, which = scenario.start, f"median replication ({log.replication})"
    intervals = intervals_of(log)
    levels = levels_of(log)
    if scenario.water is not None:
        capacity_bbl, title = scenario.water.storage.capacity, f"{scenario.title}: water in storage, {which}"
        yield "tank_level", tank_level(levels, intervals, capacity_bbl, start, supply=activities.WATER, title=title)
    if len(held(scenario)) > 1:
        title = f"{scenario.title}: supplies, {which}"
        axes = supply_levels(levels, intervals, held(scenario), feeders(scenario), start, title=title)
        yield "supply_levels", axes


def held(scenario: Scenario) -> list[Held]:
    """What the pad and its ponds hold, as far as the scenario states it, in the order in which it is shown."""
    found, water, proppant = [], scenario.water, scenario.proppant
    colour = theme.TRADE_COLOURS["water"]
    if water is not None:
        found.append(Held(activities.WATER, water.storage.capacity, water.storage.working_minimum, *BBL, colour))
        found += [Held(pond.name, pond.capacity, pond.working_minimum, *BBL, colour) for pond in water.ponds]
    if proppant is not None:
        sand = theme.TRADE_COLOURS["proppant"]
        found.append(Held(activities.PROPPANT, proppant.storage.capacity, 0.0, 1e-6, "million lb", sand))
    for name, other in scenario.other_supplies.items():
        found.append(Held(name, other.capacity, other.working_minimum, 1.0, "bbl", theme.OTHER))
    return found


def feeders(scenario: Scenario) -> list[Feeder]:
    """The sources that may deliver less than their rate."""
    sources = scenario.water.sources if scenario.water else ()
    return [Feeder(source.name, source.rate) for source in sources if not source.is_steady]


def chance_curves(summary: Summary) -> dict[str, NDArray[np.float64]]:
    """Hours of the milestones that the curves show, in every replication."""
    played = summary.forecast
    columns = {"First production": "first_production_h", "Every well on production": "all_on_production_h"}
    curves = {name: np.asarray(played.pads[column], dtype=np.float64) for name, column in columns.items()}
    if len(played.scenario.wells) == 1:
        curves.pop("First production")
    return curves


def chances(summary: Summary, bands: Mapping[str, Band] | None = None) -> Axes:
    """Chance done by a date, with the confidence of the curves if it is given."""
    curves, scenario = chance_curves(summary), summary.forecast.scenario
    return chance_curve(
        curves,
        scenario.start,
        plan_of_averages={name: summary.milestone(name).averages_h for name in curves},
        horizon_h=scenario.horizon,
        bands=bands,
        title=f"{scenario.title}: chance done by a date",
    )
