"""The rate at which a stage can be pumped within limits of pressure and power: pure formulae.

Flow is followed by the Karman number, Re sqrt(f), of which the Reynolds number is an explicit function. Pipe friction is
then its square, and pressure and power are convex in it, so that Newton's method comes down on the limit from the
design rate in a few steps, for all stages at once.
"""

from __future__ import annotations

from enum import IntEnum
from math import log
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.physics.friction import KARMAN_OFFSET, KARMAN_SLOPE, fanning_friction, reynolds_number
from sim.physics.hydraulics import HORSEPOWER, TreatingPressure, Treatment, treating_pressure
from sim.physics.possible import Numbers, above_zero

AT_REST = 1e-3  # a Karman number at which nothing is seen to flow: less than a barrel in a year
MOST_STEPS = 200
LN_10 = log(10)
SETTLED = 1e-7  # after a step as small as this the error is its square


class Limit(IntEnum):
    """What keeps the rate of a stage from being higher."""

    DESIGN = 0
    PRESSURE = 1
    HORSEPOWER = 2


class RateHeld(NamedTuple):
    """Rate of each stage, and the `Limit` that holds it there."""

    rate_bpm: NDArray[np.float64]
    bound_by: NDArray[np.int64]


class _AtDesign(NamedTuple):
    rate_bpm: Numbers
    pressure: TreatingPressure
    reynolds: Numbers
    karman: Numbers


class _Grown(NamedTuple):
    """Rate and pressure at a Karman number, with their slopes over it."""

    rate_bpm: Numbers
    rate_slope: Numbers
    pressure_psi: Numbers
    pressure_slope: Numbers


def rate_within_bpm(
    design_bpm: Numbers, treatment: Treatment, pressure_limit_psi: Numbers, horsepower: Numbers
) -> RateHeld:
    """The largest rate up to the design at which neither pressure nor hydraulic horsepower is exceeded.

    Infinity stands for no limit. Where the pressure at rest is above the limit already, the rate is 0 and the limit
    PRESSURE. Arrays over the stages, of the shape that the arguments have together.
    """
    above_zero(design_bpm=design_bpm, pressure_limit_psi=pressure_limit_psi, horsepower=horsepower)
    design = _at_design(design_bpm, treatment)
    karman = design.karman
    for _ in range(MOST_STEPS):
        now, before = _grown(karman, design), karman
        by_pressure = before + _step_to_pressure(now, pressure_limit_psi)
        by_power = before + _step_to_power(now, HORSEPOWER * horsepower)
        karman = np.maximum(AT_REST, np.minimum(design.karman, np.minimum(by_pressure, by_power)))
        if np.all(np.abs(karman - before) <= SETTLED * before):
            break
    reached = now.rate_bpm + now.rate_slope * (karman - before)
    rate_bpm = np.where(design.pressure.static_psi < pressure_limit_psi, np.minimum(design_bpm, reached), 0.0)
    limited = np.where(by_pressure <= by_power, 1, 2)
    as_designed = karman >= design.karman
    return RateHeld(np.where(as_designed, design_bpm, rate_bpm), np.where(as_designed, 0, limited))


def _at_design(design_bpm: Numbers, treatment: Treatment) -> _AtDesign:
    t = treatment
    reynolds = reynolds_number(design_bpm, t.inside_diameter_in, t.density_ppg, t.viscosity_cp)
    karman: Numbers = reynolds * np.sqrt(fanning_friction(reynolds))
    return _AtDesign(design_bpm, treating_pressure(design_bpm, t), reynolds, karman)


def _step_to_pressure(now: _Grown, most_psi: Numbers) -> Numbers:
    """How far away on its tangent the pressure meets its limit."""
    return (most_psi - now.pressure_psi) / now.pressure_slope


def _step_to_power(now: _Grown, most_power: Numbers) -> Numbers:
    """The same for pressure x rate. A well that takes fluid by itself needs no power: its step only has to go up."""
    slope = now.pressure_slope * now.rate_bpm + np.maximum(now.pressure_psi, 0.0) * now.rate_slope
    return (most_power - now.pressure_psi * now.rate_bpm) / slope


def _grown(karman: Numbers, design: _AtDesign) -> _Grown:
    """From the design rate to another: perforation friction goes with the square of the rate, pipe friction with that
    of the Karman number.
    """
    reynolds, reynolds_slope = _flow(karman)
    share, share_slope = reynolds / design.reynolds, reynolds_slope / design.reynolds
    perforation_psi = design.pressure.perforation_psi * share**2
    pipe_psi = design.pressure.pipe_psi * (karman / design.karman) ** 2
    return _Grown(
        design.rate_bpm * share,
        design.rate_bpm * share_slope,
        design.pressure.static_psi + perforation_psi + pipe_psi,
        2 * (perforation_psi * share_slope / share + pipe_psi / karman),
    )


def _flow(karman: Numbers) -> tuple[Numbers, Numbers]:
    """Reynolds number and its slope at a Karman number: that of the law with more friction, as `fanning_friction`."""
    inverse_root = KARMAN_SLOPE * np.log10(karman) - KARMAN_OFFSET
    laminar, turbulent = karman**2 / 16, karman * inverse_root
    slope = np.where(laminar < turbulent, karman / 8, inverse_root + KARMAN_SLOPE / LN_10)
    return np.minimum(laminar, turbulent), slope
