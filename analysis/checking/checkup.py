"""What `padtempo check` prints of a valid scenario: its arithmetic, what averages promise, warnings and defaults."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from rich.console import Console
from rich.table import Table

from analysis.cautions import FULL
from analysis.checking.arithmetic import WellSum, paces, water_per_stage_bbl, well_sums
from analysis.checking.averages import plan_of_averages
from analysis.checking.design_check import design_tables
from analysis.checking.production_check import production_tables
from analysis.checking.supply_check import supply_sentences, supply_tables
from analysis.checking.warnings import warnings_of
from analysis.wording import date_text, strategy_text, tell
from sim.scenario.defaults import defaults_used
from sim.scenario.scenario import Scenario

VOLUMES = ("stages", "fluid\nbbl", "pump-down\nbbl", "proppant\nlb")
HOURS = ("preparation", "pumping", "wireline", "drill-out", "flowback", "one after the\nother, days")


def show_check(scenario: Scenario, console: Console) -> None:
    """Print everything that can be said without running."""
    tell(console, f"{scenario.title}, {strategy_text(scenario)}. {_groups(scenario)}")
    console.print()
    _show_sums(well_sums(scenario), console)
    for table in (*design_tables(scenario), *production_tables(scenario)):
        console.print(table)
        console.print()
    tell(console, _paces(scenario))
    _show_supplies(scenario, console)
    tell(console, _averages(scenario))
    for warning in warnings_of(scenario):
        tell(console, f"Warning: {warning}", style="bold")
    _show_defaults(scenario, console)
    console.print("\nCautions", style="bold")
    for caution in FULL:
        tell(console, f"- {caution}", hanging="  ")


def _groups(scenario: Scenario) -> str:
    groups = "; then ".join(", ".join(well.name for well in group) for group in scenario.groups)
    return f"Wells in rotation: {groups}."


def _show_sums(sums: list[WellSum], console: Console) -> None:
    total = WellSum("all", *(sum(values) for values in zip(*(each[1:] for each in sums), strict=True)))
    console.print(_table("Volumes", VOLUMES, [_volumes(each) for each in (*sums, total)]))
    console.print()
    console.print(_table("Hours of work, every duration at its mean", HOURS, [_hours(each) for each in (*sums, total)]))
    console.print()


def _volumes(each: WellSum) -> list[str]:
    volumes = (each.fluid_bbl, each.pump_down_bbl, each.proppant_lb)
    return [each.well, f"{each.stages:,}", *(f"{value:,.0f}" for value in volumes)]


def _hours(each: WellSum) -> list[str]:
    hours = (each.preparation_h, each.pump_h, each.wireline_h, each.drill_out_h, each.flowback_h)
    return [each.well, *(f"{value:,.0f}" for value in hours), f"{each.all_h / 24:,.1f}"]


def _table(title: str, headings: Sequence[str], rows: list[list[str]]) -> Table:
    """Numbers of each well, and in the last row of all."""
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    table.add_column("well", overflow="fold")
    for heading in headings:
        table.add_column(heading, justify="right", no_wrap=True)
    for number, row in enumerate(rows, start=1):
        table.add_row(*row, style="bold" if number == len(rows) else None)
    return table


def _paces(scenario: Scenario) -> str:
    kept = paces(scenario)
    meant = {"rotation": "rotation of wells between the two"}
    parts = [f"{meant.get(name, name)} {pace:,.1f}" for name, pace in kept._asdict().items() if pace < inf]
    volume = f"{water_per_stage_bbl(scenario):,.0f} bbl"
    water = f" A stage takes {volume} of water on average, pump-down included." if kept.water < inf else ""
    return f"Stages a day that each could keep up: {', '.join(parts)}. The slowest is {kept.slowest}.{water}"


def _show_supplies(scenario: Scenario, console: Console) -> None:
    for table in supply_tables(scenario):
        console.print()
        console.print(table)
    for sentence in supply_sentences(scenario):
        tell(console, sentence)
    console.print()


def _averages(scenario: Scenario) -> str:
    plan = plan_of_averages(scenario)
    start, end = min(plan.fracturing_start_h.values()), max(plan.fracturing_end_h.values())
    first, last = min(plan.on_production_h.values()), max(plan.on_production_h.values())
    return (
        f"A spreadsheet of averages would promise: fracturing {date_text(scenario, start)} to "
        f"{date_text(scenario, end)}, first production {date_text(scenario, first)}, last well "
        f"{date_text(scenario, last)}. It sees no waiting; run `padtempo forecast` for dates with their chances."
    )


def _show_defaults(scenario: Scenario, console: Console) -> None:
    """One default after the other, as it would be stated, then what it means and on whose word."""
    console.print("\nDefaults that were used; state a value in the scenario to replace one", style="bold")
    for path, value, source, meaning in defaults_used(scenario):
        key = path.rpartition(".")[2].replace("_", " ")
        explained = source if meaning == key else f"{meaning}; {source}"
        tell(console, f"{path}: {value}  ({explained})", hanging="    ")
