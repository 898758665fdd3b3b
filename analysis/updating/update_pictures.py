"""Pictures of an update: how the dates of the pad have moved."""

from __future__ import annotations

from pathlib import Path

from analysis.figures import theme
from analysis.figures.date_history import date_history
from analysis.updating.update import ALL, FIRST
from analysis.updating.update_history import Entry
from sim.scenario.scenario import Scenario

FILES = {FIRST: "first_production", ALL: "every_well_on_production"}


def draw(history: list[Entry], plan: Scenario, folder: Path) -> bool:
    """Draw them into `folder`; of each moment the last forecast counts. Says whether there was anything to draw."""
    latest = {entry.as_of_h: entry for entry in sorted(history, key=lambda entry: entry.as_of_h)}
    drawn = False
    for name, file in FILES.items():
        made = [(at_h, entry.milestones[name]) for at_h, entry in latest.items() if None not in entry.milestones[name]]
        if len(made) > 1:
            known = [(at_h, [hour for hour in hours if hour is not None]) for at_h, hours in made]
            ax = date_history(known, plan.start, f"{plan.title}: {name.lower()}, as forecast over time")
            theme.save(theme.settle(ax), folder / file)
            drawn = True
    return drawn
