"""What `check` prints of the supplies: the arithmetic of stores and trucks, for checking by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf

from rich.table import Table

from analysis.checking.arithmetic import DAY_H, fracturing_span_h
from analysis.checking.haulage_arithmetic import brought, round_trip, trucks_needed
from analysis.checking.supply_arithmetic import SupplySum, supply_sums, unit_of
from sim.scenario.proppant import Trucks
from sim.scenario.scenario import Scenario
from sim.scenario.supplies import Water
from sim.supplies.mean_flow import sources_bbl_per_h

LINES = (
    "a stage takes",
    "comes in a day",
    "that carries, stages a day",
    "the units could do, stages a day",
    "rate that would do, a day",
    "held at the first stage",
    "that is, stages",
    "days of cover",
)


def supply_tables(scenario: Scenario) -> Iterator[Table]:
    """The table of supplies, a column for each, if the scenario states any."""
    sums = supply_sums(scenario)
    if sums:
        title = "Supplies, on averages"
        table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False)
        table.header_style = "dim"
        table.add_column("", overflow="fold")
        for each in sums:
            table.add_column(f"{each.supply},\n{unit_of(each.supply)}", justify="right", overflow="fold")
        for line, *cells in zip(LINES, *(_cells(each) for each in sums), strict=True):
            table.add_row(line, *cells)
        yield table


def _cells(each: SupplySum) -> Iterator[str]:
    yield f"{each.per_stage:,.0f}"
    yield f"{each.per_day:,.0f}"
    yield f"{each.carried:,.1f}"
    yield _number(each.stages_per_day, 1)
    yield _number(each.knee, 0)
    yield f"{each.held:,.0f}"
    yield f"{each.stages_held:,.1f}"
    yield f"{each.days_of_cover:,.1f}"


def _number(value: float, decimals: int) -> str:
    return "no limit" if value == inf else f"{value:,.{decimals}f}"


def supply_sentences(scenario: Scenario) -> Iterator[str]:
    """What the columns mean, and the round of the trucks."""
    sums = supply_sums(scenario)
    if not sums:
        return
    yield (
        "Sources are taken at their mean over the days of fracturing that averages promise: in season, with their "
        "outages and permits, and no pond above its share of the blend; trucks without weather, closures of the road "
        "and queues. The rate that would do is what a stage takes times the stages a day that the units could do, "
        "V / max(P + S, W) in a zipper: more than that brings no stage forward on average. Days of cover: what is "
        "held, at that rate."
    )
    if scenario.water is not None:
        yield _sources(scenario, scenario.water)
    if scenario.proppant is not None and scenario.proppant.trucks is not None:
        knee = next((each.knee for each in sums if each.supply == "proppant"), inf)
        yield from _trucks(scenario.proppant.trucks, knee)


def _sources(scenario: Scenario, water: Water) -> str:
    """What each source could give a day, and what ponds and lines on the way can pass on."""
    could = sources_bbl_per_h(scenario, *fracturing_span_h(scenario))
    limits = {pond.name: pond.outlet for pond in water.ponds} | {line.name: line.limit for line in water.lines}
    limits |= {"the transfer line": water.transfer.limit} if water.transfer else {}
    given = f"{_listed(could)} bbl on a mean day"
    passed = _listed(limits)
    return f"Sources could give: {given}." + (f" On the way no more can pass than: {passed}." if passed else "")


def _listed(rates: Mapping[str, float]) -> str:
    return ", ".join(f"{name} {DAY_H * rate:,.0f}" for name, rate in rates.items())


def _trucks(trucks: Trucks, knee: float) -> Iterator[str]:
    trip, in_all = round_trip(trucks), brought(trucks)
    least, part = in_all.least
    yield (
        f"A truck's round takes {trip.hours:.2f} h on average (load {trip.load_h:.2f}, drive twice {trip.drive_h:.2f}, "
        f"unload {trip.unload_h:.2f}), {trip.a_day:.1f} rounds in the {trip.at_work_h:.1f} h a day it can be at work; "
        f"{trucks.count} trucks of {trucks.payload:,.0f} lb bring {in_all.trucks:,.0f} lb a day if none queues. "
        f"In those hours loaders could do {_number(in_all.loaders, 0)}, "
        f"unload spots {_number(in_all.unload_spots, 0)} lb."
        + ("" if part == "trucks" else f" The {part} are the limit, at {least:,.0f} lb a day.")
    )
    if knee < inf:
        needed = trucks_needed(trucks, knee)
        enough = "enough" if trucks.count >= needed else f"{needed - trucks.count} more than there are"
        yield f"The units at full pace need {needed} trucks (round x rate / payload, rounded up): {enough}."
