"""What `padtempo check` prints of a valid scenario: its arithmetic, what averages promise, warnings and defaults."""

from __future__ import annotations

from math import inf

from rich.console import Console
from rich.table import Table

from analysis.arithmetic import WellSum, paces, water_per_stage_bbl, well_sums
from analysis.averages import plan_of_averages
from analysis.cautions import FULL
from analysis.warnings import warnings_of
from analysis.wording import date_text, strategy_text
from sim.scenario.defaults import defaults_used
from sim.scenario.scenario import Scenario


def show_check(scenario: Scenario, console: Console) -> None:
    """Print everything that can be said without running."""
    groups = "; ".join(", ".join(well.name for well in group) for group in scenario.groups)
    console.print(f"{scenario.title}, {strategy_text(scenario)}. Groups: {groups}.\n", highlight=False)
    console.print(_wells(well_sums(scenario)))
    console.print(_paces(scenario), highlight=False)
    console.print(_averages(scenario), highlight=False)
    for warning in warnings_of(scenario):
        console.print(f"Warning: {warning}", style="bold", highlight=False)
    console.print()
    console.print(_defaults(scenario))
    console.print("\nCautions", style="bold")
    for caution in FULL:
        console.print(f"- {caution}", highlight=False)


def _wells(sums: list[WellSum]) -> Table:
    table = _table("The plan's own arithmetic, durations at their means")
    table.add_column("well")
    for heading in (
        "stages",
        "fluid\nbbl",
        "pump-down\nbbl",
        "proppant\nlb",
        "preparation\nh",
        "pumping\nh",
        "wireline\nh",
        "drill-out\nh",
        "flowback\nh",
        "one after\nthe other, days",
    ):
        table.add_column(heading, justify="right")
    for each in sums:
        table.add_row(each.well, *_cells(each, each.all_h))
    total = WellSum("all", *(sum(values) for values in zip(*(each[1:] for each in sums), strict=True)))
    table.add_row(total.well, *_cells(total, total.all_h), style="bold")
    return table


def _cells(each: WellSum, all_h: float) -> list[str]:
    volumes = [f"{each.stages}", f"{each.fluid_bbl:,.0f}", f"{each.pump_down_bbl:,.0f}", f"{each.proppant_lb:,.0f}"]
    hours = [each.preparation_h, each.pump_h, each.wireline_h, each.drill_out_h, each.flowback_h]
    return [*volumes, *(f"{value:,.0f}" for value in hours), f"{all_h / 24:,.1f}"]


def _paces(scenario: Scenario) -> str:
    kept = paces(scenario)
    parts = [f"fleet {kept.fleet:.1f}", f"wireline {kept.wireline:.1f}", f"wells going round {kept.rotation:.1f}"]
    if kept.water < inf:
        parts.append(f"water {kept.water:.1f} (at {water_per_stage_bbl(scenario):,.0f} bbl a stage)")
    return f"\nStages a day that each could keep up: {', '.join(parts)}. The slowest is {kept.slowest}."


def _averages(scenario: Scenario) -> str:
    plan = plan_of_averages(scenario)
    start, end = min(plan.fracturing_start_h.values()), max(plan.fracturing_end_h.values())
    first, last = min(plan.on_production_h.values()), max(plan.on_production_h.values())
    return (
        f"A spreadsheet of averages would promise: fracturing {date_text(scenario, start)} to "
        f"{date_text(scenario, end)}, first production {date_text(scenario, first)}, last well "
        f"{date_text(scenario, last)}. It sees no waiting; run `padtempo forecast` for dates with their chances."
    )


def _defaults(scenario: Scenario) -> Table:
    table = _table("Defaults that were used; state a value in the scenario to replace one")
    for heading in ("where", "value", "source", "meaning"):
        table.add_column(heading)
    for where, value, source, meaning in defaults_used(scenario):
        table.add_row(where, value, source, meaning)
    return table


def _table(title: str) -> Table:
    return Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
