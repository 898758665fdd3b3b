"""The rate at which a stage can be pumped within limits of pressure and power: pure formulae.

Flow is followed by its drag: the square root of pipe friction over that at the design rate. By the law of Prandtl and
Karman the rate is an explicit function of it. Pressure and power are convex in it, so that the tangents of Newton's
method come down on the limit from the design in a few steps, for all stages at once.
"""

from __future__ import annotations

from enum import IntEnum
from math import log, log10
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from sim.physics.friction import KARMAN_OFFSET, KARMAN_SLOPE, fanning_friction, reynolds_number
from sim.physics.hydraulics import HORSEPOWER, TreatingPressure, Treatment, treating_pressure
from sim.physics.possible import Numbers, above_zero

AT_REST = 1e-12  # drag at which nothing is seen to flow
MOST_STEPS = 200
SETTLED = 1e-7  # after a step as small as this the error is about its square
LN_10 = log(10)
LAMINAR_FOR_SURE = KARMAN_SLOPE * log10(100) - KARMAN_OFFSET  # 1/sqrt(f) where Re sqrt(f) is 100, or Re about 600


Truths: TypeAlias = bool | NDArray[np.bool_]


class Limit(IntEnum):
    """What keeps the rate of a stage from being higher."""

    DESIGN = 0
    PRESSURE = 1
    HORSEPOWER = 2


class RateHeld(NamedTuple):
    """Rate of each stage, and the number of the `Limit` that holds it there."""

    rate_bpm: NDArray[np.float64]
    bound_by: NDArray[np.int64]


class _Design(NamedTuple):
    """Pressure at the design rate, and how the rate, as a share of the design, follows from drag d.

    In laminar flow the share is `laminar` d^2; in turbulent flow d (`turbulent` + `steepening` log10 d), with the
    bracket no less than `gentlest`.
    """

    rate_bpm: Numbers
    pressure: TreatingPressure
    laminar: Numbers
    turbulent: Numbers
    steepening: Numbers
    gentlest: Numbers


class _Flow(NamedTuple):
    """Rate and pressure at a drag, with their slopes over it."""

    rate_bpm: Numbers
    rate_slope: Numbers
    pressure_psi: Numbers
    pressure_slope: Numbers


def rate_within_bpm(
    design_bpm: Numbers, treatment: Treatment, pressure_limit_psi: Numbers, horsepower: Numbers
) -> RateHeld:
    """The largest rate up to the design at which neither pressure nor hydraulic horsepower is exceeded.

    Infinity stands for no limit. Where the pressure at rest is at the limit already, the rate is 0 and the limit
    PRESSURE. Arrays over the stages, of the shape that the arguments have together.
    """
    above_zero(design_bpm=design_bpm, pressure_limit_psi=pressure_limit_psi, horsepower=horsepower)
    design = _design(design_bpm, treatment)
    drag, pressure_first = _drag_within(design, pressure_limit_psi, HORSEPOWER * horsepower)
    reached = np.minimum(design_bpm, design_bpm * _share(drag, design)[0])
    rate_bpm = np.where(design.pressure.static_psi < pressure_limit_psi, reached, 0.0)
    bound_by = np.where(drag >= 1, Limit.DESIGN, np.where(pressure_first, Limit.PRESSURE, Limit.HORSEPOWER))
    return RateHeld(np.where(drag >= 1, design_bpm, rate_bpm), bound_by)


def _drag_within(design: _Design, most_psi: Numbers, most_power: Numbers) -> tuple[Numbers, Truths]:
    """The largest drag up to 1 at which neither is exceeded, and whether pressure is the first to bind."""
    drag: Numbers = 1.0
    for _ in range(MOST_STEPS):
        before, flow = drag, _flow(drag, design)
        by_pressure = before + _step_to_pressure(flow, most_psi)
        by_power = before + _step_to_power(flow, most_power)
        drag = np.maximum(AT_REST, np.minimum(1.0, np.minimum(by_pressure, by_power)))
        if np.max(np.abs(drag - before) / before) <= SETTLED:
            break
    return drag, by_pressure <= by_power


def _design(rate_bpm: Numbers, treatment: Treatment) -> _Design:
    t = treatment
    reynolds = reynolds_number(rate_bpm, t.inside_diameter_in, t.density_ppg, t.viscosity_cp)
    friction = fanning_friction(reynolds)
    root: Numbers = np.sqrt(friction)
    inverse_root = KARMAN_SLOPE * np.log10(reynolds * root) - KARMAN_OFFSET  # 1 / root in turbulent flow
    return _Design(
        rate_bpm,
        treating_pressure(rate_bpm, treatment),
        laminar=reynolds * friction / 16,
        turbulent=root * inverse_root,
        steepening=root * KARMAN_SLOPE,
        gentlest=root * LAMINAR_FOR_SURE,
    )


def _flow(drag: Numbers, design: _Design) -> _Flow:
    """Pipe friction goes with the square of drag, perforation friction with the square of the rate."""
    share, share_slope = _share(drag, design)
    perforation_psi = design.pressure.perforation_psi * share
    pipe_psi = design.pressure.pipe_psi * drag
    return _Flow(
        design.rate_bpm * share,
        design.rate_bpm * share_slope,
        design.pressure.static_psi + perforation_psi * share + pipe_psi * drag,
        2 * (perforation_psi * share_slope + pipe_psi),
    )


def _share(drag: Numbers, design: _Design) -> tuple[Numbers, Numbers]:
    """Rate over design rate and its slope: the law with more friction lets less through, as in `fanning_friction`."""
    steep = np.maximum(design.gentlest, design.turbulent + design.steepening * np.log10(drag))
    laminar, turbulent = design.laminar * drag**2, drag * steep
    slope = np.where(laminar < turbulent, 2 * design.laminar * drag, steep + design.steepening / LN_10)
    return np.minimum(laminar, turbulent), slope


def _step_to_pressure(flow: _Flow, most_psi: Numbers) -> Numbers:
    """How far away on its tangent the pressure meets its limit."""
    return (most_psi - flow.pressure_psi) / flow.pressure_slope


def _step_to_power(flow: _Flow, most_power: Numbers) -> Numbers:
    """The same for pressure x rate. A well that takes fluid by itself needs no power: its step only has to go up."""
    slope = flow.pressure_slope * flow.rate_bpm + np.maximum(flow.pressure_psi, 0.0) * flow.rate_slope
    return (most_power - flow.pressure_psi * flow.rate_bpm) / slope
