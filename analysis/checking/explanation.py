"""The arithmetic of a stage on the terminal."""

from __future__ import annotations

from rich.console import Console
from rich.table import Table

from analysis.cautions import SHORT
from analysis.checking.explain import Stage, explain
from analysis.wording import tell
from sim.scenario.problems import did_you_mean
from sim.scenario.scenario import Scenario


class NoSuchStageError(Exception):
    """The scenario has no such well, or the well no such stage."""


def show_explanation(scenario: Scenario, well: str, number: int, console: Console) -> None:
    """Print it. Raises NoSuchStageError with what there is instead."""
    table = Table(box=None, pad_edge=False, show_header=False)
    table.add_column(overflow="fold")
    table.add_column(overflow="fold")
    table.add_column(justify="right", no_wrap=True)
    for line in explain(find_stage(scenario, well, number)):
        table.add_row(line.topic, line.reckoning, line.result)
    tell(console, f"{scenario.title}: {well}, stage {number} from the toe")
    console.print()
    console.print(table)
    console.print()
    tell(console, SHORT, style="dim")


def find_stage(scenario: Scenario, well: str, number: int) -> Stage:
    """The stage of that number in the well of that name."""
    names = [each.name for each in scenario.wells]
    found = next((each for each in scenario.wells if each.name == well), None)
    if found is None:
        raise NoSuchStageError(f"no well called {well!r}{did_you_mean(well, names)}; wells: {', '.join(names)}")
    if not 1 <= number <= found.stage_count:
        raise NoSuchStageError(f"{well} has no stage {number}; expected 1, at the toe, to {found.stage_count}")
    return Stage(scenario, found, number)
