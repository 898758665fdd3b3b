"""Which pictures a forecast leaves: the representative replication by unit and by well, the chances, the water."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from analysis.figures import theme
from analysis.figures.chance_curve import chance_curve
from analysis.figures.gantt import gantt_by_unit, gantt_by_well
from analysis.figures.tank_level import tank_level
from analysis.log_frames import intervals_of, levels_of
from analysis.summary import Summary
from sim.log import Log


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
    if scenario.water is not None:
        levels = levels_of(log)
        capacity_bbl = scenario.water.storage.capacity
        title = f"{scenario.title}: water in storage, {which}"
        theme.save(theme.settle(tank_level(levels, intervals, capacity_bbl, start, title=title)), folder / "tank_level")


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
