"""Hydraulic energy of pumping, the fuel it takes, and the carbon dioxide of that. Pure formulae.

Heat and carbon of fuels: 40 CFR 98 subpart C, table C-1 (published; higher heating values), as in the Emission Factors
Hub of the US EPA.
"""

from __future__ import annotations

PSI_BBL_PER_HPH = 40.8 * 60  # hp = psi x bbl/min / 40.8 (common practice)
BTU_PER_HPH = 2544.4335  # of 550 foot-pounds a second for an hour (NIST Special Publication 811, from memory)
KWH_PER_HPH = 0.7456998715822702
DIESEL_MMBTU_PER_GAL = 0.138  # distillate fuel oil No. 2
DIESEL_KG_PER_MMBTU = 73.96
DIESEL_KG_PER_GAL = DIESEL_MMBTU_PER_GAL * DIESEL_KG_PER_MMBTU  # 10.21 in the hub
GAS_KG_PER_MMBTU = 53.06


def hydraulic_energy_hph(pressure_psi: float, volume_bbl: float) -> float:
    """Energy of a volume pumped against a pressure, in hp h: the rate does not matter."""
    return max(pressure_psi, 0.0) * volume_bbl / PSI_BBL_PER_HPH


def heat_mmbtu(energy_hph: float, efficiency: float) -> float:
    """Heat of the fuel that brings so much hydraulic energy."""
    return energy_hph * BTU_PER_HPH / efficiency / 1e6


def diesel_gal(heat: float) -> float:
    """Gallons of diesel that hold so many mmBtu."""
    return heat / DIESEL_MMBTU_PER_GAL
