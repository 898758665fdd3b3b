"""Which pictures a forecast leaves: the representative replication by unit and by well, the chances, the water."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from analysis.figures import theme
from analysis.figures.chance_curve import chance_curve
from analysis.figures.gantt import gantt_by_unit, gantt_by_well
from analysis.figures.supply_levels import Feeder, Held, supply_levels
from analysis.figures.tank_level import tank_level
from analysis.log_frames import intervals_of, levels_of
from analysis.summary import Summary
from sim import activities
from sim.log import Log
from sim.scenario.scenario import Scenario

BBL = (1e-3, "thousand bbl")


def draw(summary: Summary, log: Log, folder: Path) -> None:
    """Draw all pictures of a forecast into `folder`; `log` is that of its representative replication."""
    folder.mkdir(parents=True, exist_ok=True)
    scenario = summary.forecast.scenario
    start, which = scenario.start, f"median replication ({log.replication})"
    intervals = intervals_of(log)
    wells = summary.forecast.wells
    own = wells[wells["replication"] == log.replication]
    by_unit = gantt_by_unit(intervals, start, title=f"{scenario.title}: units, {which}", horizon_h=log.horizon_h)
    by_well = gantt_by_well(intervals, start, title=f"{scenario.title}: wells, {which}", wells=own)
    theme.save(theme.settle(by_unit), folder / "gantt_by_unit")
    theme.save(theme.settle(by_well), folder / "gantt_by_well")
    _draw_chances(summary, folder)
    levels = levels_of(log)
    if scenario.water is not None:
        capacity_bbl, title = scenario.water.storage.capacity, f"{scenario.title}: water in storage, {which}"
        water = tank_level(levels, intervals, capacity_bbl, start, supply=activities.WATER, title=title)
        theme.save(theme.settle(water), folder / "tank_level")
    if len(held(scenario)) > 1:
        title = f"{scenario.title}: supplies, {which}"
        supplies = supply_levels(levels, intervals, held(scenario), feeders(scenario), start, title=title)
        theme.save(theme.settle(supplies), folder / "supply_levels")


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


def _draw_chances(summary: Summary, folder: Path) -> None:
    played = summary.forecast
    columns = {"First production": "first_production_h", "Every well on production": "all_on_production_h"}
    curves = {name: np.asarray(played.pads[column], dtype=np.float64) for name, column in columns.items()}
    promised = {name: summary.milestone(name).averages_h for name in curves}
    if len(played.scenario.wells) == 1:
        curves.pop("First production")
    axes = chance_curve(
        curves,
        played.scenario.start,
        plan_of_averages={name: promised[name] for name in curves},
        horizon_h=played.scenario.horizon,
        title=f"{played.scenario.title}: chance done by a date",
    )
    theme.save(theme.settle(axes), folder / "chance_done_by")
