"""What `check` shows of the field: where each duration comes from, pressures and rates, troubles, weather."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np
from rich.table import Table

from analysis.checking.averages import AVERAGE
from analysis.wording import in_words
from sim.physics.treating_rate import Limit as BoundBy
from sim.scenario.durations import ByStage, DesignDuration, StageDuration
from sim.scenario.scenario import Scenario
from sim.scenario.shapes import Shape
from sim.scenario.treating import held_rates
from sim.scenario.troubles import USUAL, AnyTrouble, Trouble
from sim.scenario.weather import Weather

BOUND = {BoundBy.DESIGN: "design", BoundBy.PRESSURE: "pressure", BoundBy.HORSEPOWER: "horsepower"}


class Origin(NamedTuple):
    """Where the durations of one kind come from, in which wells."""

    what: str
    origin: str
    wells: str


def origins(scenario: Scenario) -> list[Origin]:
    """Which stage times are computed from the design and which are stated, well by well or for all."""
    found = []
    for what, field in (("pumping a stage", "pump_time"), ("wireline run", "wireline_time")):
        by_origin: dict[str, list[str]] = {}
        for well in scenario.wells:
            by_origin.setdefault(origin_of(getattr(well.stage_design, field)), []).append(well.name)
        for origin, names in by_origin.items():
            found.append(Origin(what, origin, "all wells" if len(by_origin) == 1 else ", ".join(names)))
    return found


def origin_of(stated: StageDuration) -> str:
    """Where a stage's duration comes from, in words."""
    if isinstance(stated, DesignDuration):
        return "from the design"
    if isinstance(stated, ByStage):
        return "stated stage by stage"
    return "stated, fixed" if isinstance(stated, (int, float)) else "stated as a distribution"


def design_tables(scenario: Scenario) -> Iterator[Table]:
    """Tables of what the scenario states; those of which it states nothing are left out."""
    yield _origins(scenario)
    if any(well.pressure is not None for well in scenario.wells):
        yield _rates(scenario)
    if scenario.troubles:
        yield _troubles(scenario)
    if scenario.weather is not None:
        yield _weather(scenario.weather)


def _origins(scenario: Scenario) -> Table:
    table = _table("Where stage times come from", "what", "origin", "wells")
    for origin in origins(scenario):
        table.add_row(*origin)
    return table


def _rates(scenario: Scenario) -> Table:
    fleet, together = scenario.units.pumping_fleets[0], scenario.strategy.pumped_together
    each = f" into each of {in_words(together)} wells" if together > 1 else ""
    title = f"Rates that {fleet.name or 'the fleet'} can hold{each}, bbl/min"
    table = _table(
        title, "well", "design", "at the toe", "at the heel", "bound at the toe by", "highest psi", "rated psi"
    )
    for well in scenario.wells:
        if well.pressure is not None:
            held = held_rates(well, fleet, together)
            rates = (well.stage_design.rate / 60, held.rate_bpm[0], held.rate_bpm[-1])
            bound = BOUND[BoundBy(int(held.bound_by[0]))]
            psi = (float(np.max(held.surface_psi)), well.pressure.stack_rating)
            table.add_row(well.name, *(f"{rate:.0f}" for rate in rates), bound, *(f"{each:,.0f}" for each in psi))
    return table


def _troubles(scenario: Scenario) -> Table:
    often = "" if scenario.trouble_factor == 1 else f", {scenario.trouble_factor:g} times as often"
    title = f"Troubles{often}; usual figures are common practice and assumptions"
    table = _table(title, "trouble", "strikes", "how often", "hours lost, mean", "then", "figures")
    for name, trouble in scenario.troubles.items():
        table.add_row(name, trouble.strikes, *_figures(trouble), origin_of_figures(name, trouble))
    return table


def origin_of_figures(name: str, trouble: AnyTrouble) -> str:
    """Whether how often a trouble strikes and what it costs is stated, usual, or some of it usual."""
    fields, stated = set(type(trouble).model_fields) - {"strikes"}, trouble.model_fields_set
    known = set(USUAL.get(name, {})) if isinstance(trouble, Trouble) else fields
    usual = {key for key in fields & known - stated if getattr(trouble, key) is not None}
    if not usual:
        return "stated"
    return "some usual" if stated & fields else "usual"


def _figures(trouble: AnyTrouble) -> tuple[str, str, str]:
    if isinstance(trouble, Trouble):
        often = f"{100 * trouble.chance:.3g} % of jobs" if trouble.chance is not None else f"each {trouble.every:g} h"
        return often, _mean_h(trouble.lost), trouble.then
    return f"each {trouble.every:g} h of a pump", _mean_h(trouble.repair), f"{trouble.repair_crews} repair crews"


def _mean_h(duration: float | Shape) -> str:
    return f"{AVERAGE.hours('', '', duration):.3g}"


def _weather(weather: Weather) -> Table:
    source = "spells" if weather.spells is not None else "past weather"
    table = _table(f"Weather: {source}", "stops", "when")
    for work, stop in weather.stops.stated().items():
        table.add_row(work.replace("_", " "), " or ".join(str(limit) for limit in stop))
    return table


def _table(title: str, *headings: str) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    for heading in headings:
        table.add_column(heading, overflow="fold")
    return table
