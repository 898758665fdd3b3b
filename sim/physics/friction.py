"""Friction of fluid in pipe and in perforations: pure formulae in the units of the handbooks.

A handbook's constant that rounds an exact factor is replaced by that factor; the docstrings name both. The fluid is
Newtonian.
"""

from __future__ import annotations

from math import log

import numpy as np

from sim.physics.casing import IN3_PER_GAL, velocity_ft_per_s
from sim.physics.possible import Numbers, above_zero, below_one, not_negative

FT_M = 0.3048  # exact; NIST Special Publication 811, from memory
KG_PER_M3_PER_PPG = 0.45359237 / (IN3_PER_GAL * 0.0254**3)  # pound: EIA, State Energy Data, appendix C (published)
REYNOLDS = KG_PER_M3_PER_PPG * FT_M * 0.0254 / 1e-3  # 927.7
PIPE = 2 * (1728 / IN3_PER_GAL) * 12 / (144 * 9.80665 / FT_M)  # 1 / 25.81; with lb/ft3 for ppg, 0.005180
PERFORATION = 0.2369

KARMAN_SLOPE, KARMAN_OFFSET = 4.0, 0.4  # turbulent flow in smooth pipe
VIRK_SLOPE, VIRK_OFFSET = 19.0, 32.4  # the same with as much polymer as helps
TURBULENT = 1000.0  # at this Reynolds number laminar friction is still the larger, and both laws hold a real root


def reynolds_number(
    rate_bpm: Numbers, inside_diameter_in: Numbers, density_ppg: Numbers, viscosity_cp: Numbers
) -> Numbers:
    """Density x velocity x diameter / viscosity, times 927.7.

    928 in Bourgoyne et al., Applied Drilling Engineering, SPE 1986 (from memory).
    """
    above_zero(density_ppg=density_ppg, viscosity_cp=viscosity_cp)
    velocity = velocity_ft_per_s(rate_bpm, inside_diameter_in)
    return REYNOLDS * density_ppg * velocity * inside_diameter_in / viscosity_cp


def _inverse_root(reynolds: Numbers, slope: float, offset: float) -> Numbers:
    """The x = 1/sqrt(f) that solves x = slope log10(Re / x) - offset, by Newton's method.

    The start is so near that four steps reach the last digit for any Reynolds number from 1,000 up.
    """
    target = slope * np.log10(reynolds) - offset
    x: Numbers = target**2 / (target + slope * np.log10(target))
    for _ in range(4):
        x = x + (target - x - slope * np.log10(x)) / (1 + slope / (log(10) * x))
    return x


def fanning_friction(reynolds: Numbers) -> Numbers:
    """Fanning friction factor of smooth pipe: turbulent or laminar (16 / Re), whichever is larger.

    Turbulent by Prandtl and Karman: 1/sqrt(f) = 4 log10(Re sqrt(f)) - 0.4 (textbooks, from memory). The larger of the
    two passes from one to the other without a jump (common practice). Raises ValueError where nothing flows.
    """
    above_zero(reynolds=reynolds)
    turbulent = _inverse_root(np.maximum(reynolds, TURBULENT), KARMAN_SLOPE, KARMAN_OFFSET) ** -2
    friction: Numbers = np.maximum(turbulent, 16 / reynolds)
    return friction


def greatest_friction_reduction(reynolds: Numbers) -> Numbers:
    """Most that polymer can take off the friction of turbulent flow: Virk's asymptote, as a fraction.

    1/sqrt(f) = 19 log10(Re sqrt(f)) - 32.4 (P.S. Virk, AIChE J. 21, 1975, 625-656, from memory). A stated reduction
    beyond it cannot be; field practice is 0.65 to 0.80 (common practice).
    """
    above_zero(reynolds=reynolds)
    least = _inverse_root(np.maximum(reynolds, TURBULENT), VIRK_SLOPE, VIRK_OFFSET) ** -2
    reduction: Numbers = np.maximum(0.0, 1 - least / fanning_friction(reynolds))
    return reduction


def pipe_friction_psi_per_ft(
    rate_bpm: Numbers,
    inside_diameter_in: Numbers,
    density_ppg: Numbers,
    viscosity_cp: Numbers,
    friction_reduction: Numbers = 0.0,
) -> Numbers:
    """F x density x velocity^2 / (25.81 diameter), less the fraction `friction_reduction`.

    25.8 in Bourgoyne et al., Applied Drilling Engineering, SPE 1986 (from memory); the same with lb/ft3 as 0.0052 in
    Petroleum Production Engineering, 2nd ed., eq. 14.81 (published; Guo, Liu, Tan from memory). The reduction is that
    against water at the same rate (M. Habibpour, P.E. Clark, Petroleum Science, 2017, published).
    """
    not_negative(rate_bpm=rate_bpm)
    below_one(friction_reduction=friction_reduction)
    reynolds = reynolds_number(rate_bpm, inside_diameter_in, density_ppg, viscosity_cp)
    friction = fanning_friction(np.maximum(reynolds, 1e-9))  # at rest any factor gives no loss
    velocity = velocity_ft_per_s(rate_bpm, inside_diameter_in)
    return (1 - friction_reduction) * PIPE * friction * density_ppg * velocity**2 / inside_diameter_in


def perforation_friction_psi(
    rate_bpm: Numbers,
    density_ppg: Numbers,
    perforations: Numbers,
    perforation_diameter_in: Numbers,
    discharge_coefficient: Numbers,
) -> Numbers:
    """0.2369 x density x rate^2 / (number^2 x diameter^4 x coefficient^2), all perforations open and alike.

    M.J. Economides, K.G. Nolte, Reservoir Stimulation, 3rd ed. 2000 (from memory). The exact factor is 0.2376;
    discharge coefficients are quoted together with the handbook's, so it stays.
    """
    above_zero(density_ppg=density_ppg, perforations=perforations, perforation_diameter_in=perforation_diameter_in)
    above_zero(discharge_coefficient=discharge_coefficient)
    area = perforations * perforation_diameter_in**2 * discharge_coefficient
    return PERFORATION * density_ppg * rate_bpm**2 / area**2
