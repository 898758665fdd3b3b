"""Energy, heat and carbon dioxide against published factors and the definitions of the units.

40 CFR 98 subpart C, table C-1 (published): distillate fuel oil No. 2 0.138 mmBtu/gal and 73.96 kg/mmBtu, natural gas
53.06 kg/mmBtu. The hub of the US EPA rounds diesel to 10.21 kg/gal (value from memory).
"""

from __future__ import annotations

import pytest

from sim.physics.energy import (
    BTU_PER_HPH,
    DIESEL_KG_PER_GAL,
    GAS_KG_PER_MMBTU,
    diesel_gal,
    heat_mmbtu,
    hydraulic_energy_hph,
)
from sim.physics.hydraulics import hydraulic_horsepower

PSI_PA, BBL_M3, HPH_J = 6894.757293168361, 0.158987294928, 745.6998715822702 * 3600
BTU_J = 1055.05585262  # international table (from memory)


def test_energy_is_power_times_time() -> None:
    """9000 psi at 90 bbl/min for two hours, by the horsepower of the same library and by joules."""
    energy = hydraulic_energy_hph(9000.0, 90.0 * 120)
    assert energy == pytest.approx(2 * float(hydraulic_horsepower(9000.0, 90.0)), rel=1e-3)
    assert energy == pytest.approx(9000 * PSI_PA * 10800 * BBL_M3 / HPH_J, rel=1e-3)  # 40.8 is rounded from 40.816


def test_a_well_that_drinks_by_itself_takes_no_energy() -> None:
    """A negative pressure at the wellhead gives nothing back."""
    assert hydraulic_energy_hph(-100.0, 9000.0) == 0


def test_heat_of_a_horsepower_hour() -> None:
    """2544.43 Btu; at 35 % efficiency 0.0527 gal of diesel."""
    assert pytest.approx(HPH_J / BTU_J, rel=1e-6) == BTU_PER_HPH
    assert diesel_gal(heat_mmbtu(1.0, 0.35)) == pytest.approx(2544.4335 / 0.35 / 138_000, rel=1e-12)


def test_carbon_dioxide_as_published() -> None:
    """Kilograms of a gallon of diesel and of a million Btu of gas."""
    assert round(DIESEL_KG_PER_GAL, 2) == 10.21
    assert GAS_KG_PER_MMBTU == 53.06
