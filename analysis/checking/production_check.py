"""Tables of `check` on what wells will produce and what pumping them takes, for checking by hand."""

from __future__ import annotations

from rich.table import Table

from analysis.pricing.fuel_use import per_hph
from sim.physics.energy import hydraulic_energy_hph
from sim.physics.production import cumulative_bbl, rate_bbl_per_day
from sim.scenario.equipment import individuals
from sim.scenario.scenario import Scenario
from sim.scenario.treating import held_rates
from sim.scenario.wells import Well

AGES = (30, 90, 365)  # days


def production_tables(scenario: Scenario) -> list[Table]:
    """Oil by age of every well that states its production; energy and fuel of every well that states its pressure."""
    producing = [well for well in scenario.wells if well.production is not None]
    pressed = [well for well in scenario.wells if well.pressure is not None]
    return ([_oil(producing)] if producing else []) + ([_energy(scenario, pressed)] if pressed else [])


def _table(title: str, headings: tuple[str, ...]) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=None, pad_edge=False, header_style="dim")
    table.add_column(headings[0], overflow="fold")
    for heading in headings[1:]:
        table.add_column(heading, justify="right", vertical="bottom")
    return table


def _oil(wells: list[Well]) -> Table:
    rates = tuple(f"rate at day {age}\nbbl/day" for age in AGES)
    volumes = tuple(f"by day {age}\nbbl" for age in AGES)
    table = _table("Oil once on production, without the luck of the well", ("well", "peak\nbbl/day", *rates, *volumes))
    for well in wells:
        assert well.production is not None
        curve = well.production.curve
        numbers = [curve.peak_bbl_per_day, *(float(rate_bbl_per_day(curve, age)) for age in AGES)]
        numbers += [float(cumulative_bbl(curve, age)) for age in AGES]
        table.add_row(well.name, *(f"{number:,.0f}" for number in numbers))
    return table


def _energy(scenario: Scenario, wells: list[Well]) -> Table:
    """By the first fleet, at the rates that it can hold."""
    fuels = per_hph(scenario.fuel) if scenario.fuel is not None else {}
    name, fleet = individuals(scenario.units.pumping_fleets)[0]
    headings = ("well", "hydraulic energy\nhp h", *(fuel.replace(" ", "\n") for fuel in fuels))
    table = _table(f"Pumping by {name}, psi x bbl / 2448", headings)
    for well in wells:
        pressures = held_rates(well, fleet, scenario.strategy.pumped_together).surface_psi.tolist()
        stages = zip(pressures, well.fluid_by_stage, strict=True)
        energy = sum(hydraulic_energy_hph(pressure, fluid) for pressure, fluid in stages)
        table.add_row(well.name, f"{energy:,.0f}", *(f"{energy * each:,.0f}" for each in fuels.values()))
    return table
